"""Two findings together can be worse than either: grades raised by rules that are data.

A combination only ever raises; an item nobody looked at meets no condition.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import words
from . import limits

if TYPE_CHECKING:
    from ..values.types.loose import Json, Measure, Rules


class Judged:
    """What the rules of combination may look at: judgements, measures and choices by item."""

    def __init__(self) -> None:
        self.items: dict[str, Json] = {}
        self.measures: dict[str, list[Measure]] = {}
        self.choices: dict[str, list[str]] = {}  # first the one that holds


def _met(condition: Json, item: str, judged: Judged) -> bool:
    one = judged.items.get(item)
    if one is None or not one["applies"]:
        return False
    if condition.get("at_least") is not None:
        grade = one["grade"]
        if grade in (None, "uninspected") or limits.is_worse(condition["at_least"], grade):
            return False
    if condition.get("choice") is not None:
        wanted = condition["choice"]
        wanted = [wanted] if isinstance(wanted, str) else wanted
        if not [one for one in judged.choices.get(item, []) if one in wanted]:
            return False
    if condition.get("fact") is not None:
        for found in judged.measures.get(item, []):
            if found["of"] == condition["fact"] and limits.matches(condition, found):
                return True
        return False
    return True


def _items_of(condition: Json, judged: Judged) -> list[str]:
    named = condition["item"]
    named = [named] if isinstance(named, str) else named
    return [item for item in named if _met(condition, item, judged)]


def _involved(rule: Json, judged: Judged) -> list[str]:
    """The items that meet the rule's conditions, each once, sorted; empty when it does not hold."""
    found: dict[str, bool] = {}
    for condition in rule.get("all") or []:
        items = _items_of(condition, judged)
        if not items:
            return []
        for item in items:
            found[item] = True
    some = rule.get("any") or []
    if some:
        hit = False
        for condition in some:
            for item in _items_of(condition, judged):
                found[item] = True
                hit = True
        if not hit:
            return []
    return sorted(found)


def raise_grades(rules: Rules, judged: Judged) -> list[Json]:
    """Raise the grades that combinations raise, and say which: [{"id", "items", "grade", "text"}].

    Every rule sees the grades from before any was raised, so the order of rules is no matter.
    """
    held = []
    for rule in rules.get("combinations") or []:
        items = _involved(rule, judged)
        if items:
            held.append((rule, items))
    said = []
    for rule, items in held:
        faulty = [item for item in items if judged.items[item]["grade"] in words.FAULTS]
        for item in rule.get("raises") or faulty:
            one = judged.items.get(item)
            if one is None or not one["applies"]:
                continue
            reason = {
                "code": "combination",
                "text": rule["reason"],
                "source": rule.get("source", "practice"),
                "with": [other for other in items if other != item],
            }
            if limits.is_worse(rule["grade"], one["grade"]):
                one["grade"], one["by"], one["state"] = rule["grade"], "combination", "done"
                one["reasons"].insert(0, reason)
            else:
                one["reasons"].append(reason)
        said.append(
            {"id": rule["id"], "items": items, "grade": rule["grade"], "text": rule["reason"]}
        )
    return said
