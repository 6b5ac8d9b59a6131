"""The brief: what the car is wanted for, as it stands in the record."""

from __future__ import annotations

from typing import Any

from bradawl.desk.model import recorded
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import car_name
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import say, text

#: What is the same for every candidate; what a car is worth and what it has is its own.
SHARED = ("uses", "budget", "deadline", "originality", "hourly_rate", "labor_paid", "margin")
#: Whether a car has what it must have (`desk-met-…`).
MET = ("unknown", "yes", "no")


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
        "musts": musts_of(snapshot),
        "originality": percent_of(snapshot),
        "car": car_name(snapshot.cells),
    }


def shown_brief(snapshot: Snapshot) -> dict[str, Any]:
    """The brief as its form is read where nobody changes anything: None for an empty field."""
    brief = brief_of(snapshot)
    names = (*SHARED, "value_good", "musts")
    return {name: None if brief[name] in ("", []) else brief[name] for name in names}


def percent_of(snapshot: Snapshot) -> int:
    """How much of a stated loss of originality counts, in per cent; 100 when nobody said."""
    percent = cell_values.whole(recorded.value(snapshot, "brief/originality"), 0, 300)
    return 100 if percent is None else percent


def musts_of(snapshot: Snapshot) -> list[dict[str, str]]:
    """What the car must have, and whether it does: [{"text", "met": unknown | yes | no}, …]."""
    return cell_values.musts(recorded.value(snapshot, "brief/musts"))


def musts_for(
    snapshot: Snapshot, musts: list[dict[str, str]] | None
) -> list[dict[str, str]] | None:
    """The same must-haves for another car, which keeps what is known of it."""
    answers = {must["text"]: must["met"] for must in musts_of(snapshot)}
    copied = [
        {"text": must["text"], "met": answers.get(must["text"], "unknown")} for must in musts or []
    ]
    return copied or None


def opposed_wishes(snapshot: Snapshot) -> list[str]:
    """Sentences for wishes that work against each other, as the judge names them."""
    brief = snapshot.assessment.get("brief") or {}
    return [
        say(conflict["said"], snapshot.texts["rules"]) for conflict in brief.get("conflicts", ())
    ]


def brief_changes(snapshot: Snapshot, brief: dict[str, Any]) -> Puts:
    """The puts that make a typed brief this car's."""
    return [put for name in brief for put in change_to(snapshot, f"brief/{name}", brief[name])]


def shared_changes(snapshot: Snapshot, brief: dict[str, Any]) -> Puts:
    """The puts that give another car what its brief shares with a typed one."""
    shared = {name: brief[name] for name in SHARED}
    return brief_changes(snapshot, {**shared, "musts": musts_for(snapshot, brief["musts"])})
