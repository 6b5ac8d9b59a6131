"""What the car is wanted for, as it stands in the record."""

from __future__ import annotations

from typing import Any

from bradawl.desk.model import findings
from bradawl.desk.model.labels import car_name
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot

MET = {"unknown": "not known", "yes": "met", "no": "not met"}


def brief_of(snapshot: Snapshot) -> dict[str, Any]:
    """The brief as it stands; None where nobody said."""
    amounts = ("budget", "hourly_rate", "margin", "value_good")
    return {
        **{name: cell_values.whole(findings.value(snapshot, f"brief/{name}")) for name in amounts},
        "deadline": cell_values.text(findings.value(snapshot, "brief/deadline")),
        "uses": cell_values.uses(snapshot.cells),
        "musts": musts_of(snapshot),
        "originality": percent_of(snapshot),
        "car": car_name(snapshot.cells),
    }


def percent_of(snapshot: Snapshot) -> int:
    """How much of a stated loss of originality counts, in per cent; 100 when nobody said."""
    held = cell_values.whole(findings.value(snapshot, "brief/originality"), 0, 300)
    return 100 if held is None else held


def musts_of(snapshot: Snapshot) -> list[dict[str, str]]:
    """What the car must have, and whether it does: [{"text", "met": unknown | yes | no}, …]."""
    return cell_values.musts(findings.value(snapshot, "brief/musts"))


def musts_for(
    snapshot: Snapshot, musts: list[dict[str, str]] | None
) -> list[dict[str, str]] | None:
    """The same must-haves for another car, which keeps what is known of it."""
    known = {one["text"]: one["met"] for one in musts_of(snapshot)}
    copied = [
        {"text": one["text"], "met": known.get(one["text"], "unknown")} for one in musts or []
    ]
    return copied or None


def opposed_wishes(snapshot: Snapshot) -> list[str]:
    """Sentences for wishes that work against each other, as the judge names them."""
    brief = snapshot.assessment.get("brief") or {}
    return [
        str(one.get("text") or one.get("reason") or "")
        for one in brief.get("conflicts", ())
        if isinstance(one, dict)
    ]
