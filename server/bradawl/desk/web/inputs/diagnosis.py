"""The forms of a complaint: a test's outcome and readings, causes ruled out, tools not at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import item_of, reading_fields
from bradawl.desk.model.typed_values import FieldError
from bradawl.desk.model.typed_values import reading as typed_reading
from bradawl.desk.web import forms
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.trouble import repeats
from bradawl.language import listed, message, text, unit_name

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


def reading_typed(snapshot: Snapshot, symptom: Symptom, form: FormData, now_ms: int) -> Puts:
    """A reading of a test (`test`, `reading`), or what a test showed after the fix (`after`).

    Raises FieldError.
    """
    start = f"trouble/{symptom['id']}"
    name = forms.text(form, "test", 60)
    test = next((test for test in symptom["tests"] if test["id"] == name), None)
    if test is None:
        raise FieldError(message("desk-symptom-test-gone"))
    after = forms.text(form, "after", 60)
    if after:
        if after not in [row["id"] for row in test["outcomes"]]:
            raise FieldError(message("desk-symptom-choose", test=test["title"]))
        return change_to(snapshot, f"{start}/after/{name}", {"outcome": after})
    back = forms.text(form, "back", 200)
    if back.startswith(f"{start}/readings/"):
        return change_to(snapshot, back, None) if back in snapshot.cells else []
    wanted = forms.text(form, "reading", 60)
    reading = next((row for row in test.get("measures", ()) if row["id"] == wanted), None)
    if reading is None:
        raise FieldError(message("desk-symptom-test-gone"))
    unit = forms.text(form, "unit", 12) or reading["units"][0]
    if unit not in reading["units"]:
        names = listed([unit_name(one) for one in reading["units"]], last="or")
        raise FieldError(message("desk-reading-unit-wrong", reading=reading["title"], units=names))
    value: dict[str, Any] = {**typed_reading(forms.text(form, "typed", 40), unit, reading["title"])}
    if repeats.point({"phase": "before", **value}) is None:
        raise FieldError(message("desk-error-number", what=reading["title"], typed=value["typed"]))
    value["phase"] = "after" if forms.text(form, "phase", 10) == "after" else "before"
    minute = forms.text(form, "minute", 12)
    if minute:
        value["minute"] = typed_reading(minute, "min", text("trouble-measure-minute"))["typed"]
    value["conditions"] = {
        one: word
        for one in test.get("conditions", ())
        if (word := forms.text(form, f"condition-{one}", 20))
    }
    place = f"{start}/readings/{name}/{wanted}"
    while f"{place}/{now_ms}" in snapshot.cells:  # a moment of its own for each
        now_ms += 1
    return [(f"{place}/{now_ms}", value)]
