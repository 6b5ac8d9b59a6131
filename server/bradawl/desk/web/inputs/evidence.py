"""The form of a receipt: its photo and its date make maintenance documented."""

from __future__ import annotations

import re

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import FieldError, Problems
from bradawl.desk.web import forms
from bradawl.language import message

WHEN = re.compile(r"\d{4}(-\d{2}){0,2}")


def receipt_typed(form: FormData, item: str, has_photo: bool, problems: Problems) -> Puts:
    """The puts that make an item documented; a photo and a date are the least."""
    puts: Puts = [(f"items/{item}/choice", "documented")]
    with problems.of("done_on"):
        when = forms.text(form, "done_on", 40)
        if not WHEN.fullmatch(when):
            raise FieldError(message("desk-receipt-date-wrong"))
        puts.append((f"items/{item}/readings/done_on/one", {"typed": when, "unit": ""}))
    with problems.of("photo"):
        if not has_photo:
            raise FieldError(message("desk-receipt-photo-missing"))
    distance = forms.text(form, "done_at", 20)
    if distance:
        unit = "mi" if forms.text(form, "done_at-unit", 4) == "mi" else "km"
        puts.append((f"items/{item}/readings/done_at/one", {"typed": distance, "unit": unit}))
    return puts
