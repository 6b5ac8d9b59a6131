"""Models that a shop remembers: which of them a car is, and where it says to look first.

A model stands at models/<id> of the shop's own scope: {"make", "model", "from", "to", "facts",
"look", "notes"}; its facts are those of a car, its `look` names items with how often they are bad.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values import exact
from ..values.ascii_text import lower
from ..values.saying import said, title
from . import visit_facts

if TYPE_CHECKING:
    from ..values.types import Cells, Json, Reason, Rules, VisitFacts

PATH = "models/"
LOOK = "look_first"  # the fact of a car that holds what its model says to look at first
#: How often a weak point is bad at least: our own assumption.
CHANCES = {"often": "0.5", "sometimes": "0.25"}
_MOST_PERCENT = 95
_SPARE = " -_./,'"


def name_key(text: str) -> str:
    """A make or model without case, blanks and what people write between words."""
    key = lower(text)
    for sign in _SPARE:
        key = key.replace(sign, "")
    return key


def _named(value: Json) -> str:
    return name_key(value) if isinstance(value, str) else ""


def is_model(model: Json, car: dict[str, Json]) -> bool:
    """Whether a car with those facts is of that model, by make, model and year."""
    if not isinstance(model, dict):
        return False
    year = visit_facts.whole(car.get("year"))
    for name in ("make", "model"):
        own = _named(car.get(name))
        if not own or own != _named(model.get(name)):
            return False
    first, last = visit_facts.whole(model.get("from")), visit_facts.whole(model.get("to"))
    if year is None or (first is not None and year < first):
        return False
    return last is None or year <= last


def fitting(cells: Cells, car: dict[str, Json]) -> list[dict[str, Any]]:
    """The shop's models that a car is of: [{"id", "value"}], sorted by id."""
    found = []
    for path in sorted(cells):
        value = cells[path]["value"]
        if path.startswith(PATH) and is_model(value, car):
            found.append({"id": path[len(PATH) :], "value": value})
    return found


def weak_points(facts: VisitFacts) -> list[tuple[str, str, str]]:
    """(item, chance, note) of what the car's model says to look at first; what is damaged is not
    there.
    """
    rows: list[tuple[str, str, str]] = []
    recorded = facts["car"].get(LOOK)
    for entry in recorded if isinstance(recorded, list) else []:
        if not isinstance(entry, dict) or not isinstance(entry.get("item"), str):
            continue
        percent = visit_facts.whole(entry.get("percent"))
        chance = CHANCES.get(str(entry.get("chance")), "")
        if percent is not None and percent > 0:
            chance = "0.%02d" % min(percent, _MOST_PERCENT)
        note = entry.get("note")
        if chance:
            rows.append((str(entry["item"]), chance, note if isinstance(note, str) else ""))
    return rows


def raised(rules: Rules, facts: VisitFacts) -> Rules:
    """The rules, by which the model's weak points are bad at least as often as it says.

    A chance is never lowered, so that a note makes no car dearer.
    """
    points = weak_points(facts)
    if not points:
        return rules
    local: Any = dict(rules)
    local["items"] = dict(rules["items"])
    for item, chance, _ in points:
        rule = local["items"].get(item)
        if rule is None or not rule.get("unseen"):
            continue
        unseen = dict(rule["unseen"])
        least = exact.figure(chance) or exact.ZERO
        if exact.less(exact.figure(str(unseen["chance"])) or exact.ZERO, least):
            unseen["chance"] = chance
            local["items"][item] = dict(rule)
            local["items"][item]["unseen"] = unseen
    checked: Rules = local
    return checked


def reasons(item: str, facts: VisitFacts) -> list[Reason]:
    """Where the car's model says to look first at an item."""
    found: list[Reason] = []
    for name, _, note in weak_points(facts):
        if name == item:
            sentence = said("reason-look", {"item": title("item", item)})
            if note:
                sentence = said("reason-look-note", {"note": note.rstrip(".")})
            found.append({"code": "look_first", "said": sentence, "source": ""})
    return found
