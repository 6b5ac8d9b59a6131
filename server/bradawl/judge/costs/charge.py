"""What the repairs and everything that was not seen to be fine come to together, exactly.

What is fine costs nothing. What nobody looked at is held for: its chance times what it costs. A
fault costs its repair, and never less than what was held for it, so that finding one never makes
the car dearer. A remedy touches holds: it costs at least what is held for all that it renews, and
nothing of that is held besides. Of all ways to put everything right the least charge counts: a
cover with costs that only rise with faults, of sets that do not depend on what was looked at.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..decisions.check_plan import expected_cost
from ..values import exact
from . import further
from .cover import least
from .estimates import sixths

if TYPE_CHECKING:
    from ..values.types import Exact, NeededWork, Offer, Piece, Rules
    from .cover import Candidate

SIXTHS = 6


class Hold:
    """What is held for one kind of damage: the most of the items that see it and are not fine."""

    def __init__(self) -> None:
        self.rows: list[tuple[Exact, str]] = []  # (amount, item), the largest first

    def add(self, amount: Exact, item: str) -> None:
        place = len(self.rows)
        while place and exact.less(self.rows[place - 1][0], amount):
            place -= 1
        self.rows.insert(place, (amount, item))


class Charge:
    """`amount` in money; `rows` what of it is held, (amount, item, freed if the item is fine)."""

    def __init__(self, amount: Exact, rows: list[tuple[Exact, str, Exact]], proven: bool) -> None:
        self.amount = amount
        self.rows = rows
        self.proven = proven

    def raise_to(self, amount: Exact, item: str) -> None:
        """Hold for `item` what `amount` exceeds the charge by, if it does."""
        if not exact.less(self.amount, amount):
            return
        more = exact.subtract(amount, self.amount)
        for n, row in enumerate(self.rows):
            if row[1] == item:
                more = exact.add(more, row[0])
                del self.rows[n]
                break
        self.rows.append((more, item, exact.ZERO))
        self.amount = amount


def unit(item: str, rules: Rules) -> str:
    """The kind of damage that an item sees: its group's, or its own."""
    rule = rules["items"].get(item)
    group = rule.get("hold_group") if rule is not None else None
    return "group " + group if group else item


def holds(
    order: list[str], fine: dict[str, bool], rules: Rules, stated: dict[str, Piece]
) -> dict[str, Hold]:
    """What is held, by kind of damage, for the items of `order` that are not fine.

    What somebody `stated` of an item's failure is held for it too, the greater of the two: it is
    the same failure.
    """
    held: dict[str, Hold] = {}
    for item in order:
        amount = exact.ZERO if item in fine else expected_cost(rules["items"][item])
        if item in stated:
            own = exact.divide((further.weight(stated[item]), 1), (further.HUNDREDTHS, 1))
            amount = own if exact.less(amount, own) else amount
        if amount[0] > 0:
            held.setdefault(unit(item, rules), Hold()).add(amount, item)
    return held


def charge(held: dict[str, Hold], musts: list[str], work: NeededWork, rules: Rules) -> Charge:
    """The least charge for all that must be put right and all that is held.

    `work` has the offers of the whole family and those that were picked by hand.
    """
    scale = SIXTHS
    for name in sorted(held):
        d = held[name].rows[0][0][1]
        a, b = scale, d
        while b:
            a, b = b, a % b
        scale = scale * d // a
    amounts: dict[str, int] = {}
    for name in held:
        amount = held[name].rows[0][0]
        amounts[name] = amount[0] * (scale // amount[1])
    touched: dict[str, bool] = {}
    total = 0
    left = musts
    rest: list[Offer] = []
    chosen: list[Offer] = []
    for offer in work["family"]:
        if offer["id"] in work["picked"]:
            total += _on_top(offer, amounts, scale, touched, rules)
            for name in _touched(offer, amounts, rules):
                touched[name] = True
            left = [name for name in left if name not in offer["covers"]]
            chosen.append(offer)
        else:
            rest.append(offer)
    candidates: list[Candidate] = []
    for offer in rest:
        covers = [name for name in sorted(set(offer["covers"])) if name in left]
        if covers:
            fresh = [name for name in _touched(offer, amounts, rules) if name not in touched]
            cost = _on_top(offer, amounts, scale, touched, rules)
            candidates.append((cost, offer["id"], covers, fresh))
    names, proven = least(candidates, amounts)
    for offer in rest:
        if offer["id"] in names:
            total += _on_top(offer, amounts, scale, touched, rules)
            for name in _touched(offer, amounts, rules):
                touched[name] = True
            chosen.append(offer)
    for name in amounts:
        total += amounts[name]
    rows = _rows(held, touched) + _more_than_repairs(chosen, held, amounts, scale, rules)
    for offer in chosen:
        if offer["kind"] == further.KIND:  # no work yet: what is expected to fail is held for
            rows.append(((sixths(offer["cost"]), SIXTHS), offer["item"], exact.ZERO))
    return Charge(exact.divide((total, 1), (scale, 1)), rows, proven)


def _touched(offer: Offer, amounts: dict[str, int], rules: Rules) -> list[str]:
    """The holds that the work takes away."""
    names: dict[str, bool] = {}
    for item in offer.get("touches") or []:
        name = unit(item, rules)
        if name in amounts:
            names[name] = True
    return sorted(names)


def _on_top(
    offer: Offer, amounts: dict[str, int], scale: int, before: dict[str, bool], rules: Rules
) -> int:
    """What the offer adds to all that is held; what was touched `before` is not held any more."""
    held = again = 0
    for name in _touched(offer, amounts, rules):
        held += amounts[name]
        again += amounts[name] if name in before else 0
    cost = sixths(offer["cost"]) * (scale // SIXTHS)
    return max(cost, held) - held + again


def _rows(held: dict[str, Hold], touched: dict[str, bool]) -> list[tuple[Exact, str, Exact]]:
    """The holds that no work takes away."""
    rows = []
    for name in sorted(held):
        if name not in touched:
            most = held[name].rows
            second = most[1][0] if len(most) > 1 else exact.ZERO
            rows.append((most[0][0], most[0][1], exact.subtract(most[0][0], second)))
    return rows


def _more_than_repairs(
    chosen: list[Offer], held: dict[str, Hold], amounts: dict[str, int], scale: int, rules: Rules
) -> list[tuple[Exact, str, Exact]]:
    """What is held beyond the cost of the work that takes it away, for the dearest of it."""
    rows = []
    for offer in chosen:
        names = _touched(offer, amounts, rules)
        more = -sixths(offer["cost"]) * (scale // SIXTHS)
        for name in names:
            more += amounts[name]
        if more <= 0:
            continue
        largest = names[0]
        for name in names:
            if amounts[name] > amounts[largest]:
                largest = name
        rows.append((exact.divide((more, 1), (scale, 1)), held[largest].rows[0][1], exact.ZERO))
    return rows
