"""The money of a car in one line, in no language: it is kept with the car's summary."""

from __future__ import annotations

from dataclasses import dataclass

from bradawl.desk.model.money.car import money_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger import life

#: Paths that only a car has on which somebody spent, or means to.
_OF_MONEY = ("ledger/", "parts/", "life/", "work/")


@dataclass(frozen=True)
class MoneyLine:
    """Amounts in cents, hours in hundredths; None where nobody said."""

    state: str
    price_cents: int | None = None
    spent_cents: int = 0
    partner_cents: int = 0
    committed_cents: int = 0
    still_cents: int = 0
    total_cents: int = 0
    left_cents: int | None = None
    deposits_cents: int = 0
    hours_done: int = 0
    hours_left: int = 0
    firm: bool = True
    conflicts: int = 0
    sold_cents: int | None = None
    without_hours: int | None = None
    with_hours: int | None = None
    orders: tuple[tuple[str, int, int, int], ...] = ()  # id, total, share, cars

    @property
    def is_own(self) -> bool:
        """Whether the car is the shop's, or was until it was sold."""
        return self.state in life.OWNED or self.state == "sold"

    @property
    def is_of_interest(self) -> bool:
        """Whether the shop's sums take it in: its own, or one on which somebody spent."""
        return self.is_own or bool(self.total_cents or self.hours_done)


def money_line(snapshot: Snapshot) -> MoneyLine:
    """The money of one car in a line; of a car that nobody spent on, its state alone."""
    if not any(path.startswith(_OF_MONEY) for path in snapshot.cells):
        return MoneyLine(life.now(snapshot.cells)["state"])
    money = money_of(snapshot)
    sums, outcome = money.sums, money.outcome
    counted = [group["counts"] for group in money.groups if group["counts"] is not None]
    return MoneyLine(
        state=money.state["state"],
        price_cents=money.bought["price_cents"] if money.bought else None,
        spent_cents=sums["spent_cents"],
        partner_cents=sums["partner_cents"],
        committed_cents=sums["committed_cents"],
        still_cents=sums["still_cents"],
        total_cents=sums["total_cents"],
        left_cents=sums["left_cents"],
        deposits_cents=money.deposits_cents,
        hours_done=sums["hours_done"],
        hours_left=sums["hours_left"],
        firm=sums["firm"],
        conflicts=sum(len(group["open"]) > 1 for group in money.groups),
        sold_cents=outcome.sold_cents if outcome else None,
        without_hours=outcome.without_hours if outcome else None,
        with_hours=outcome.with_hours if outcome else None,
        orders=tuple(
            (order["id"], order["total_cents"], entry["amount_cents"], len(order["cars"]))
            for entry in counted
            if (order := entry["order"]) is not None
        ),
    )
