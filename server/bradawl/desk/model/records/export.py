"""The record of a visit as one JSON document with a published schema (`static/`)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.desk.model import photo_views
from bradawl.desk.model.labels import car_name
from bradawl.desk.model.records.import_files import RECORD
from bradawl.inspection.snapshot import Snapshot

VERSION = 2
SCHEMA_ADDRESS = "/desk/static/record-2.schema.json"
EVENT_FIELDS = ("device", "seq", "prev", "at", "scope", "put", "commit", "over")


def record_of(snapshot: Snapshot) -> dict[str, Any]:
    """The record as JSON values: every event as it was recorded, and its checklist.

    A value is the text that was recorded, so that anyone can make its commitment and the event's
    hash again; an erased one has neither text nor salt.
    """
    return {
        "$schema": SCHEMA_ADDRESS,
        "format": RECORD,
        "version": VERSION,
        "visit": snapshot.visit,
        "car": car_name(snapshot.cells),
        "photos": photo_views.photos_of(snapshot),
        "checklist": snapshot.bundle,
        "events": [_exported(event) for event in snapshot.events],
    }


def _exported(event: Mapping[str, Any]) -> dict[str, Any]:
    plain = {name: event[name] for name in EVENT_FIELDS}
    if event.get("erased"):
        return {**plain, "erased": True}
    return {**plain, "salt": event["salt"], "value": event["text"]}
