"""The sums of the shop: of all its cars, a currency at a time; and orders whose shares differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bradawl.desk.model.visits.summary import Summary


@dataclass(frozen=True)
class ShopSums:
    """What all cars of one currency come to; amounts in cents, hours in hundredths."""

    currency: str
    cars: int
    price_cents: int
    spent_cents: int
    partner_cents: int
    committed_cents: int
    still_cents: int
    total_cents: int
    hours_done: int
    hours_left: int
    firm: bool  # whether nothing of what is still expected is estimated
    sold_cents: int
    outcome_cents: int  # of the cars that were sold, without my own hours


def totals_of(cars: Sequence[Summary]) -> list[ShopSums]:
    """The sums of each currency, in the order of their names."""
    found = []
    for currency in sorted({car.candidate.currency for car in cars}):
        lines = [car.money for car in cars if car.candidate.currency == currency]
        found.append(
            ShopSums(
                currency=currency,
                cars=len(lines),
                price_cents=sum(line.price_cents or 0 for line in lines),
                spent_cents=sum(line.spent_cents for line in lines),
                partner_cents=sum(line.partner_cents for line in lines),
                committed_cents=sum(line.committed_cents for line in lines),
                still_cents=sum(line.still_cents for line in lines),
                total_cents=sum(line.total_cents for line in lines),
                hours_done=sum(line.hours_done for line in lines),
                hours_left=sum(line.hours_left for line in lines),
                firm=all(line.firm for line in lines),
                sold_cents=sum(line.sold_cents or 0 for line in lines),
                outcome_cents=sum(line.without_hours or 0 for line in lines),
            )
        )
    return found


@dataclass(frozen=True)
class Differing:
    """An order whose shares do not come to what was paid, and the cars that hold one."""

    total_cents: int
    shares_cents: int
    cars: tuple[tuple[str, str], ...]  # visit and name
    currency: str


def orders_that_differ(cars: Sequence[Summary]) -> list[Differing]:
    """Orders of which a share was corrected or taken back, so that they no longer add up."""
    held: dict[str, list[tuple[Summary, int, int]]] = {}
    for car in cars:
        for name, total, share, _ in car.money.orders:
            held.setdefault(name, []).append((car, total, share))
    differ = []
    for name in sorted(held):
        total = held[name][0][1]
        shares = sum(share for _, _, share in held[name])
        if shares != total:
            owners = {car.visit: car.name for car, _, _ in held[name]}
            currency = held[name][0][0].candidate.currency
            differ.append(Differing(total, shares, tuple(sorted(owners.items())), currency))
    return differ
