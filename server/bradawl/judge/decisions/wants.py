"""Whether a must-have is met and whether a reason to leave came true, and which checks tell.

Both are judged alike: something speaks against it, or all that tells was looked at and nothing did,
or nobody knows yet. No want changes a grade, what anything costs, or the drive home.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..record import visit_facts
from ..values import exact, units
from ..values.saying import said
from . import claims

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        Clause,
        Money,
        Price,
        Rules,
        VisitFacts,
        Want,
        WantJudgment,
        WantStanding,
    )

#: How much a check tells on which a reason to leave hangs, and on which a must-have.
_LEAVE, _MUST = 9, 5


def judge(
    facts: VisitFacts, judged: Judged, order: list[str], money: Money, rules: Rules
) -> list[WantJudgment]:
    """Every want of the record; `order` is every item that applies."""
    return [_judge(want, facts, judged, order, money, rules) for want in facts.get("wants") or []]


def _judge(
    want: Want, facts: VisitFacts, judged: Judged, order: list[str], money: Money, rules: Rules
) -> WantJudgment:
    items = [item for item in want["items"] if item in order]
    item = claims.found(want["checks"], judged, items, rules)
    left = [one for one in items if not claims.are_seen([one], judged)]
    parts: list[WantStanding] = []
    if want["checks"]:
        parts.append("against" if item else "open" if left or not items else "fine")
    for name in sorted(want["car"]):
        value = facts["car"].get(name)
        parts.append(_standing(None if value is None else value not in want["car"][name]))
    if "figure" in want:
        parts.append(_standing(_is_beyond(want, facts, money)))
    if want["asks"]:
        # a must-have that is not so, a reason to leave that is
        is_bad = (want["side"] == "leave") in want["so"]
        parts.append(_standing(is_bad if want["so"] else None))
    standing = next(one for one in ("against", "open", "fine") if one in parts)
    row: Any = {key: want[key] for key in ("id", "side", "title", "asks")}
    row["standing"], row["items"], row["item"] = standing, items, item
    row["open"] = left if standing == "open" else []
    if item:
        row["said"] = said("claim-against", claims.shown(item, judged))
    read: WantJudgment = row
    return read


def _standing(is_bad: bool | None) -> WantStanding:
    return "open" if is_bad is None else "against" if is_bad else "fine"


def _is_beyond(want: Want, facts: VisitFacts, money: Money) -> bool | None:
    """Whether a figure is beyond its most; of work also with what is held for what nobody saw."""
    of, most = want["figure"]["of"], want["figure"]["above"]
    if of == "work":
        work = money["totals"]["expected"]
        return None if work <= most < work + money["reserve"]["amount"] else work > most
    if of == "odometer":
        km = visit_facts.distance_km(facts["car"].get(of))
        limit = units.to_base((most, 1), want["figure"]["unit"])
        return None if km is None else exact.less(limit, km)
    asked = money["price"]["asking"]
    return None if asked is None else asked > most


def leading(rows: list[WantJudgment]) -> dict[str, int]:
    """The checks that tell of what nobody knows yet, and how much each tells."""
    found: dict[str, int] = {}
    for row in rows:
        for item in row["open"]:
            found[item] = max(found.get(item, 0), _LEAVE if row["side"] == "leave" else _MUST)
    return found


def room(price: Price, expected: int, reserve: int) -> int | None:
    """How far the top price lies above the price asked, sign kept; None where one is missing."""
    worth, asking = price.get("worth"), price["asking"]
    if worth is None or price["walk_away"] is None or asking is None:
        return None
    return worth - expected - reserve - price["margin"] - asking


def rank_of(rows: list[WantJudgment], left: int | None) -> list[int]:
    """Where a car stands among others, the best first: the fewest reasons to leave that came true,
    must-haves not met, must-haves not known; then one that has a price, and the most `left` between
    top price and price asked.
    """
    counts = [0, 0, 0]
    for row in rows:
        if row["standing"] == "against":
            counts[0 if row["side"] == "leave" else 1] += 1
        elif row["standing"] == "open" and row["side"] == "must":
            counts[2] += 1
    return counts + [1 if left is None else 0, -(left or 0)]


def rank(rows: list[WantJudgment], money: Money) -> list[int]:
    expected, reserve = money["totals"]["expected"], money["reserve"]["amount"]
    return rank_of(rows, room(money["price"], expected, reserve))


def told(rows: list[WantJudgment], side: str) -> list[Clause]:
    """The reasons to leave that came true, or the must-haves that are not met."""
    clauses: list[Clause] = []
    for row in rows:
        if row["side"] == side and row["standing"] == "against":
            args = row["said"]["args"].copy() if row["item"] else {}
            args["want"] = row["title"]
            name = "want-" + side + ("-by" if row["item"] else "-true")
            clauses.append({"said": said(name, args), "item": row["item"]})
    return clauses
