"""The brief: what the car is wanted for, as it stands in the record."""

from __future__ import annotations

from typing import Any

from bradawl.desk.model import recorded
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import car_name
from bradawl.inspection import cell_values
from bradawl.inspection.going.wants import copied
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import say, text

#: What is the same for every candidate; what a car is worth and what it has is its own.
SHARED = ("uses", "budget", "deadline", "originality", "hourly_rate", "labor_paid", "margin")


def field_title(name: str) -> str:
    """What a field of the brief is called, on its page and where it is wrong."""
    return text("desk-path-brief-" + name.replace("_", "-"))


def brief_of(snapshot: Snapshot) -> dict[str, Any]:
    """The brief as it stands; None where nobody said."""
    amounts = ("budget", "hourly_rate", "margin", "value_good")
    return {
        **{name: cell_values.whole(recorded.value(snapshot, f"brief/{name}")) for name in amounts},
        "deadline": cell_values.text(recorded.value(snapshot, "brief/deadline")),
        "labor_paid": recorded.value(snapshot, "brief/labor_paid") is True,
        "uses": cell_values.uses(snapshot.cells),
        "originality": percent_of(snapshot),
        "car": car_name(snapshot.cells),
    }


def shown_brief(snapshot: Snapshot) -> dict[str, Any]:
    """The brief as its form is read where nobody changes anything: None for an empty field."""
    brief = brief_of(snapshot)
    names = (*SHARED, "value_good")
    return {name: None if brief[name] in ("", []) else brief[name] for name in names}


def percent_of(snapshot: Snapshot) -> int:
    """How much of a stated loss of originality counts, in per cent; 100 when nobody said."""
    percent = cell_values.whole(recorded.value(snapshot, "brief/originality"), 0, 300)
    return 100 if percent is None else percent


def opposed_wishes(snapshot: Snapshot) -> list[str]:
    """Sentences for wishes that work against each other, as the judge names them."""
    brief = snapshot.assessment.get("brief") or {}
    return [
        say(conflict["said"], snapshot.texts["rules"]) for conflict in brief.get("conflicts", ())
    ]


def brief_changes(snapshot: Snapshot, brief: dict[str, Any]) -> Puts:
    """The puts that make a typed brief this car's."""
    return [put for name in brief for put in change_to(snapshot, f"brief/{name}", brief[name])]


def shared_changes(given: Snapshot, taking: Snapshot, brief: dict[str, Any]) -> Puts:
    """The puts that give another car what its brief shares with a typed one, must-haves too."""
    shared = {name: brief[name] for name in SHARED}
    return brief_changes(taking, shared) + copied(given.cells, taking.cells)
