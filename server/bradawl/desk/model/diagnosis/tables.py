"""The complaint tables of a visit: those of its checklist, or of today's where it has none."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from bradawl.common.errors import ApiError
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import current, message
from bradawl.language.checklist_texts import WRITTEN_IN, texts_for

if TYPE_CHECKING:
    from bradawl.judge.values.types import Symptom


def symptoms(snapshot: Snapshot) -> dict[str, Symptom]:
    """The tables by id, as they were written: what the judge and the record take."""
    return {table["id"]: table for table in _holding(snapshot).get("symptoms", ())}


def symptoms_in_words(snapshot: Snapshot) -> dict[str, Symptom]:
    """The tables by id, in the language of whoever reads now."""
    bundle = _holding(snapshot)
    if current().locale != WRITTEN_IN:
        bundle = texts_for(bundle, current().locale).bundle
    return {table["id"]: table for table in bundle.get("symptoms", ())}


def symptom(snapshot: Snapshot, name: str) -> Symptom:
    """Raises ApiError 404 for a symptom that is in no table."""
    table = symptoms(snapshot).get(name)
    if table is None:
        raise ApiError("unknown_symptom", message("desk-symptom-unknown"), 404)
    return table


def _holding(snapshot: Snapshot) -> Mapping[str, Any]:
    own: Any = snapshot.bundle
    today: Any = snapshot.today
    return own if own.get("symptoms") else today() or {}
