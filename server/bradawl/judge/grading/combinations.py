"""Two findings together can be worse than either: grades raised by rules that are data.

A combination only ever raises; an item nobody looked at meets no condition. One of what must be
near holds only where its findings may share a place of the car.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import grades
from ..values.saying import said, title
from . import limits

if TYPE_CHECKING:
    from ..values.types import (
        Combination,
        Condition,
        Contradiction,
        ItemJudgment,
        Measure,
        Place,
        RaisedGrades,
        Reason,
        Rules,
        Said,
    )

_PLACES: tuple[Place, ...] = ("front", "middle", "rear")


class Judged:
    """What the rules of combination may look at: judgments, measures and choices by item."""

    def __init__(self) -> None:
        self.items: dict[str, ItemJudgment] = {}
        self.measures: dict[str, list[Measure]] = {}
        self.choices: dict[str, list[str]] = {}  # first the one that holds


def _is_met(condition: Condition, item: str, judged: Judged) -> bool:
    judgment = judged.items.get(item)
    if judgment is None or not judgment["applies"]:
        return False
    if condition.get("at_least") is not None:
        grade = judgment["grade"]
        if grade not in grades.FAULTS or limits.is_worse(condition["at_least"], grade):
            return False
    if condition.get("choice") is not None:
        wanted = _listed(condition["choice"])
        if not [choice for choice in judged.choices.get(item, []) if choice in wanted]:
            return False
    if condition.get("fact") is not None:
        for measure in judged.measures.get(item, []):
            if measure["of"] == condition["fact"] and limits.matches(condition, measure):
                return True
        return False
    return True


def _listed(value: str | list[str]) -> list[str]:
    return [value] if isinstance(value, str) else value


def items_of(condition: Condition, judged: Judged, rules: Rules, place: Place | None) -> list[str]:
    """The items that meet a condition; with a place, only those whose findings may lie there."""
    return [
        item
        for item in _listed(condition["item"])
        if _is_met(condition, item, judged) and _lies_at(rules, item, place)
    ]


def _lies_at(rules: Rules, item: str, place: Place | None) -> bool:
    """Whether a finding of the item may lie at the place: one that names no place may anywhere."""
    places = rules["items"][item].get("places") or []
    return place is None or not places or place in places


def _involved(rule: Combination, judged: Judged, rules: Rules) -> list[str]:
    """The items that meet the rule's conditions, each once, sorted; empty when it does not hold."""
    involved: dict[str, bool] = {}
    for place in _PLACES if rule.get("near") else (None,):
        for item in met_at(rule, judged, rules, place):
            involved[item] = True
    return sorted(involved)


def met_at(
    rule: Combination | Contradiction, judged: Judged, rules: Rules, place: Place | None
) -> list[str]:
    """The items that meet the rule's conditions at one place of the car, or anywhere."""
    involved: list[str] = []
    for condition in rule.get("all") or []:
        items = items_of(condition, judged, rules, place)
        if not items:
            return []
        involved = involved + items
    alternatives: list[Condition] = rule.get("any") or []  # type: ignore[assignment]
    met: list[str] = []
    for condition in alternatives:
        met = met + items_of(condition, judged, rules, place)
    return involved + met if met or not alternatives else []


def _sentence(rule: Combination) -> Said:
    return said("reason-combination", {"reason": title("combination", rule["id"])})


def _raise_item(rule: Combination, items: list[str], item: str, judgment: ItemJudgment) -> None:
    reason: Reason = {
        "code": "combination",
        "said": _sentence(rule),
        "source": rule.get("source", ""),
        "with": [other for other in items if other != item],
    }
    if limits.is_worse(rule["grade"], judgment["grade"]):
        judgment["grade"], judgment["by"], judgment["state"] = rule["grade"], "combination", "done"
        judgment["reasons"].insert(0, reason)
    else:
        judgment["reasons"].append(reason)


def raise_grades(rules: Rules, judged: Judged) -> list[RaisedGrades]:
    """Raise the grades that combinations raise, and say which.

    Every rule sees the grades from before any was raised, so the order of rules is no matter.
    """
    met = []
    for rule in rules.get("combinations") or []:
        items = _involved(rule, judged, rules)
        if items:
            met.append((rule, items))
    raised: list[RaisedGrades] = []
    for rule, items in met:
        faulty = [item for item in items if judged.items[item]["grade"] in grades.FAULTS]
        for item in rule.get("raises") or faulty:
            judgment = judged.items.get(item)
            if judgment is not None and judgment["applies"]:
                _raise_item(rule, items, item, judgment)
        raised.append(
            {"id": rule["id"], "items": items, "grade": rule["grade"], "said": _sentence(rule)}
        )
    return raised
