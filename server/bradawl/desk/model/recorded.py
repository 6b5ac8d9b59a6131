"""What the log says of one path: a value in words, when it counts as recorded, by which device."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.desk.model.labels import value_text
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import text


def zone_of(snapshot: Snapshot) -> str:
    """The visit's own offset from UTC, such as `+01:00`; empty when nobody recorded it."""
    return cell_values.moment(value(snapshot, "about/started")).zone


def value(snapshot: Snapshot, path: str) -> Any:
    """The standing value at a path, or None."""
    return cell_values.value(snapshot.cells, path)


def rank_of(event: Mapping[str, Any]) -> str:
    """When an event counts as recorded: its stamp, or what a wrong clock was corrected to."""
    return str(event.get("rank") or event["at"])


def said_value(snapshot: Snapshot | None, path: str, recorded: Any) -> str:
    """A value of an inspection, said in its currency and with its checklist's words."""
    if snapshot is None:
        return value_text(path, recorded, {})
    return value_text(path, recorded, snapshot.texts, cell_values.currency(snapshot.cells))


def event_text(event: Mapping[str, Any], snapshot: Snapshot | None) -> str:
    """An event's value, said; says so where it was erased or excluded."""
    if event.get("erased"):
        return text("desk-value-erased")
    said = said_value(snapshot, event["put"], event["value"])
    return text("desk-value-excluded", value=said) if event.get("fenced") else said


def author_of(at: str) -> str:
    """The device that made a stamp: its last 32 characters."""
    return at[-32:]
