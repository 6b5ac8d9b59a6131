"""What a job by the piece takes, and from how many pieces on replacing the whole is cheaper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact
from .estimates import hundredths, price, sixths

if TYPE_CHECKING:
    from ..values.types import Fact, Offer, PiecePrice, Rates, RemedyRule

    Job = tuple[list[int], list[str]]  # parts and hours, each low, likely, high

WIRES = "wires"
MOST_PIECES = 200  # beyond which nobody mends one by one


def count(remedy: RemedyRule, facts: dict[str, Fact]) -> int:
    """How many pieces were counted; one where nobody counted.

    Of wires the greater of what was counted on the whole and of what was recorded one by one.
    """
    per = remedy.get("per") or ""
    most = _figure(facts, per)
    return max(most, _figure(facts, WIRES + "_all")) if per == WIRES else most


def _figure(facts: dict[str, Fact], name: str) -> int:
    counted = facts.get(name)
    number = exact.parse(counted["value"]) if counted is not None else None
    return 1 if number is None else number[0] // number[1]


def job(remedy: RemedyRule, facts: dict[str, Fact], pieces: int) -> Job:
    """Parts and hours for so many pieces, and what some kinds of wires among them take on top."""
    parts, hours = remedy["parts"], remedy["hours"]
    each = remedy.get("each")
    if each and pieces > 1:
        parts, hours = _more((parts, hours), each, pieces - 1)
    kinds = remedy.get("kinds") or {}
    for kind in sorted(kinds):
        counted = facts.get(WIRES + "_" + kind)
        if counted is not None:
            parts, hours = _more((parts, hours), kinds[kind], _figure(facts, WIRES + "_" + kind))
    return parts, hours


def _more(done: Job, each: PiecePrice, pieces: int) -> Job:
    parts = [done[0][n] + pieces * each["parts"][n] for n in range(3)]
    hours = []
    for n in range(3):
        total = hundredths(done[1][n]) + pieces * hundredths(each["hours"][n])
        hours.append("%d.%02d" % (total // 100, total % 100))
    return parts, hours


def tips_at(
    offers: list[Offer], rules: list[RemedyRule], facts: dict[str, Fact], rates: Rates
) -> None:
    """Say of each job by the piece from how many pieces on an assembly of the item is cheaper.

    `offers` are those of one item; what the desk wrote itself has no pieces. 0: never.
    """
    whole = [sixths(offer["cost"]) for offer in offers if offer["kind"] == "assembly"]
    for remedy in rules:
        for offer in offers if remedy.get("each") and whole else []:
            if offer["id"].split("/")[1] != remedy["id"] or offer["origin"] != "checklist":
                continue
            offer["pieces"], offer["tips_at"] = count(remedy, facts), 0
            for pieces in range(1, MOST_PIECES + 1):
                parts, hours = job(remedy, facts, pieces)
                if sixths(price(parts, hours, rates["rate"], offer["counted"])) > min(whole):
                    offer["tips_at"] = pieces
                    break
