"""The top price and the first offer, and what is said of both."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..decisions.drive_home import named_items
from ..values import exact
from ..values.saying import of_unit, said
from . import charge, further
from .known import Known

if TYPE_CHECKING:
    from ..values.types import Exact, NeededWork, Price, Rules, SaidArgument, SaidMoney, Totals


ENOUGH_PERCENT = 50  # of what matters: with less seen, no price is quoted
ROOM_PERCENT = 95  # of the top price: who opens at it has nowhere to go; assumption
LOWEST_OFFER_PERCENT = 60  # of what is asked: an offer below it ends the talk; assumption


def worth_of(value: int | None, factor: Exact) -> int | None:
    return None if value is None else exact.half_up(exact.multiply((value, 1), factor), 0)


def bound_of(
    known: Known, works: list[NeededWork], price: Price, factor: Exact, rules: Rules
) -> int | None:
    """The top price if all that is not known for a fault turns out fine; never below 0.

    `works`: as asked for, and as measured where somebody called a danger milder; the dearer counts.
    """
    worth = worth_of(price["value"], factor)
    if worth is None:
        return None
    fine = known.at_best()
    unsure = ["baseline/" + row for row in known.unproven]
    held = charge.holds(known.order, fine, rules, works[0]["stated"])
    dearest = exact.ZERO
    for work in works:
        musts = [
            name
            for name in work["musts"]
            if further.item_of(name) not in fine and name not in unsure
        ]
        amount = charge.charge(held, musts, work, rules).amount
        dearest = amount if exact.less(dearest, amount) else dearest
    return max(worth - exact.half_up(dearest, 0) - price["margin"], 0)


def _is_open(price: Price, top: int) -> bool:
    """Whether only what nobody saw speaks against the car: it may yet be worth what is asked."""
    bound, asking, worth = price["bound"], price["asking"], price["worth"]
    if top > 0 or bound is None or worth is None:
        return False
    return bound >= asking > 0 if asking is not None else 2 * bound >= worth


def set_price(
    price: Price, held_back: int, totals: Totals, percent: int, currency: str, cheaper: bool
) -> None:
    """Fill in the top price, the opening and what is said of them; `percent` was seen."""
    worth, asking = price["worth"], price["asking"]
    if worth is None:
        return
    top = worth - totals["expected"] - held_back - price["margin"]
    if percent < ENOUGH_PERCENT or _is_open(price, top):
        price["said"] = said("price-too-little", {"share": of_unit((percent, 1), "%")})
        return
    price["walk_away"] = max(top, 0)
    cautious = min(top - max(totals["p90"] - totals["expected"], 0), top * ROOM_PERCENT // 100)
    lower = (price["value"] or worth) - worth + held_back if cheaper else 0
    opening = _opening(price, cautious, lower)
    price["opening"] = opening
    if top <= 0:
        price["said"] = said("price-none", {"over": money_said(-top, currency)})
        return
    args: dict[str, SaidArgument] = {"top": money_said(top, currency)}
    if asking == 0:
        price["said"] = said("price-free", args)
        return
    if opening == 0:
        price["said"] = said("price-little", args)
    else:
        args["opening"] = money_said(opening, currency)
        price["said"] = said("price", args)
    if asking is not None:
        price["said"]["then"] = [said("price-asked", {"asking": money_said(asking, currency)})]


def _opening(price: Price, cautious: int, lower: int) -> int:
    """What to offer first: never what is asked where something argues for less.

    `lower`: by how much besides the repairs.
    """
    opening, asking = cautious, price["asking"]
    if asking is not None:
        less = lower
        for argument in price["arguments"]:
            less += argument["amount"]
        opening = min(opening, max(asking - less, asking * LOWEST_OFFER_PERCENT // 100))
    return max(opening, 0)


def say_bound(price: Price, currency: str) -> None:
    """Enough seen: it cannot become worth what is asked, whatever the rest is like."""
    bound, asking = price["bound"], price["asking"]
    if price["walk_away"] == 0 and bound == 0:
        return  # it has been said that no price is right
    if bound is not None and asking is not None and bound < asking:
        sentence = said("price-enough-seen", {"bound": money_said(bound, currency)})
        price["said"]["then"] = price["said"].get("then", []) + [sentence]


def say_no_figure(price: Price, unpriced: list[str], rules: Rules) -> None:
    """What in somebody's own words has no figure: no price is for it as well."""
    named = [item for item in unpriced if rules["items"][item].get("own")]
    if named and price["walk_away"] is not None:
        sentence = said("price-no-figure", {"items": named_items(named)})
        price["said"]["then"] = price["said"].get("then", []) + [sentence]


def money_said(amount: int, currency: str) -> SaidMoney:
    return {"money": amount, "currency": currency}
