"""The forms of a complaint: a test's outcome and readings, causes ruled out, tools not at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import item_of, reading_fields
from bradawl.desk.model.typed_values import FieldError
from bradawl.desk.model.typed_values import reading as typed_reading
from bradawl.desk.web import forms
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import listed, message, unit_name

if TYPE_CHECKING:
    from bradawl.judge.values.types import Symptom


def outcome_typed(snapshot: Snapshot, symptom: Symptom, form: FormData) -> Puts:
    """The puts of one test's form. Raises FieldError."""
    name = forms.text(form, "test", 60)
    test = next((test for test in symptom["tests"] if test["id"] == name), None)
    if test is None:
        raise FieldError(message("desk-symptom-test-gone"))
    outcome = forms.text(form, "outcome", 60)
    path = f"trouble/{symptom['id']}/tests/{name}"
    if forms.is_ticked(form, "back"):
        return change_to(snapshot, path, None)
    if outcome not in [row["id"] for row in test["outcomes"]]:
        raise FieldError(message("desk-symptom-choose", test=test["title"]))
    puts: Puts = change_to(snapshot, path, {"outcome": outcome})
    takes = test.get("takes", "")
    rule = item_of(snapshot.texts, takes) if takes else None
    for reading in reading_fields(rule or {}, f"items/{takes}"):
        typed = forms.text(form, reading["name"], 40)
        if typed:
            units = reading["units"]
            unit = forms.text(form, f"{reading['name']}:unit", 12)
            if units and unit not in units:
                names = listed([unit_name(name) for name in units], last="or")
                raise FieldError(
                    message("desk-reading-unit-wrong", reading=reading["title"], units=names)
                )
            value = typed_reading(typed, unit, reading["title"])
            puts += change_to(snapshot, reading["name"], value)
    return puts


def standing_typed(symptom: Symptom, form: FormData) -> Puts:
    """What a form says of a cause (`out`, `why`), a test (`skip`) or a tool (`lack`).

    With `back` it is taken back. Raises FieldError.
    """
    is_back = forms.is_ticked(form, "back")
    cause, test, tool = (forms.text(form, key, 60) for key in ("out", "skip", "lack"))
    start = f"trouble/{symptom['id']}"
    if cause in [row["id"] for row in symptom["causes"]]:
        why = forms.text(form, "why", 300)
        if not why and not is_back:
            raise FieldError(message("desk-symptom-why-out"))
        value = {"state": "ruled_out", "why": why}
        return [(f"{start}/causes/{cause}", None if is_back else value)]
    if test in [row["id"] for row in symptom["tests"]]:
        return [(f"{start}/skipped/{test}", None if is_back else True)]
    if tool in [name for row in symptom["tests"] for name in row.get("tools", ())]:
        return [(f"trouble/tools/{tool}", None if is_back else "missing")]
    raise FieldError(message("desk-symptom-test-gone"))
