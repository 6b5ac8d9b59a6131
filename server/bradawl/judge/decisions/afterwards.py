"""How the car stands now, after work: the same answers, without what work has closed with proof.

What was found stays what it was found to be, and a seal covers it; this is said beside it. Every
finding that is closed counts as looked at and fine, before two findings are held together: what
only a mended leak made dangerous is not dangerous any more. So closing one never makes an answer
worse.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..grading import combinations
from ..grading import items as grading
from . import drive_home, effects

if TYPE_CHECKING:
    from ..values.types import Afterwards, Grade, Rules, VisitFacts


def without(judged: combinations.Judged, closed: list[str]) -> combinations.Judged:
    """A copy of the judgments, from before any was raised, in which closed items are fine."""
    left = combinations.Judged()
    for item in judged.items:
        if item in closed:
            left.items[item] = grading.blank()
            left.items[item]["state"], left.items[item]["grade"] = "done", "none"
        else:
            left.items[item] = judged.items[item].copy()
            left.items[item]["reasons"] = list(judged.items[item]["reasons"])
            left.measures[item] = judged.measures.get(item) or []
            left.choices[item] = judged.choices.get(item) or []
    return left


def now(
    order: list[str],
    asked: list[str],
    found: combinations.Judged,
    left: combinations.Judged,
    closed: list[str],
    rules: Rules,
    facts: VisitFacts,
) -> Afterwards | None:
    """What is closed, what is still dangerous, which grades are others now, and the drive.

    None where work closed nothing but what was fine before.

    `found` are the judgments as they were found, `left` is of `without`; `asked` are the items that
    the drive looks at, in walk order.
    """
    mended = [
        item for item in closed if item not in found.items or found.items[item]["grade"] != "none"
    ]
    if not mended:
        return None
    combinations.raise_grades(rules, left)
    does = effects.find(order, left, rules, effects.circumstances(facts, rules))
    grades: dict[str, Grade | None] = {}
    for item in order:
        if left.items[item]["grade"] != found.items[item]["grade"]:
            grades[item] = left.items[item]["grade"]
    return {
        "mended": mended,
        "dangerous": [item for item in order if left.items[item]["grade"] == "dangerous"],
        "grades": grades,
        "drive_home": drive_home.drive_home(asked, left, rules, facts, does),
    }
