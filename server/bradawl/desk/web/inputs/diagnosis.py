"""The form of one test: its outcome, and the readings that it takes."""

from __future__ import annotations

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.diagnosis.causes import test_view
from bradawl.desk.model.diagnosis.symptoms import Symptom
from bradawl.desk.model.typed_values import FieldError
from bradawl.desk.model.typed_values import reading as typed_reading
from bradawl.desk.web import forms
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import listed, message, unit_name


def outcome_typed(snapshot: Snapshot, symptom: Symptom, form: FormData) -> Puts:
    """The puts of one test's form. Raises FieldError."""
    name = forms.text(form, "test", 60)
    test = next((test for test in symptom.tests if test.id == name), None)
    if test is None:
        raise FieldError(message("desk-symptom-test-gone"))
    outcome = forms.text(form, "outcome", 60)
    path = f"trouble/{symptom.id}/tests/{test.id}"
    if forms.is_ticked(form, "back"):
        return change_to(snapshot, path, None)
    if outcome not in test.outcomes:
        raise FieldError(message("desk-symptom-choose", test=test.title))
    puts: Puts = change_to(snapshot, path, {"outcome": outcome})
    for reading in test_view(snapshot, test)["readings"]:
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
