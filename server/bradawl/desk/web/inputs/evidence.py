"""The form of a receipt: its photo and its date make maintenance documented."""

from __future__ import annotations

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import FieldError, Problems, date_of, reading
from bradawl.desk.web import forms
from bradawl.language import message, text


def receipt_typed(form: FormData, item: str, has_photo: bool, problems: Problems) -> Puts:
    """The puts that make an item documented; a photo and a date are the least."""
    puts: Puts = [(f"items/{item}/choice", "documented")]
    with problems.of("done_on"):
        when = date_of(forms.date_text(form, "done_on"), text("desk-work-done-on"))
        puts.append((f"items/{item}/readings/done_on/one", {"typed": when, "unit": ""}))
    with problems.of("photo"):
        if not has_photo:
            raise FieldError(message("desk-receipt-photo-missing"))
    distance = forms.text(form, "done_at", 20)
    if distance:
        unit = "mi" if forms.text(form, "done_at-unit", 4) == "mi" else "km"
        with problems.of("done_at"):
            value = reading(distance, unit, text("desk-receipt-odometer"))
            puts.append((f"items/{item}/readings/done_at/one", value))
    return puts
