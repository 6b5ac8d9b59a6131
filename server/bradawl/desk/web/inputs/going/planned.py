"""The forms of the load list and of the haul plan."""

from __future__ import annotations

from typing import Any

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.typed_values import reading, whole
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection import cell_values
from bradawl.inspection.going import planned
from bradawl.language import text

_MOST_STRAPS = 40


def _changed(posted: FormRequest, path: str, name: str, to: Any, what: str) -> Puts:
    """The put of a field that was changed on its page."""
    stands = cell_values.value(posted.snapshot.cells, path)
    if not forms.is_changed(posted.form, name, to, stands, what, posted.problems):
        return []
    return change_to(posted.snapshot, path, to)


def load_typed(posted: FormRequest, lines: list[planned.Line]) -> Puts:
    """What is packed and what is left at home."""
    puts: Puts = []
    for line in lines:
        name = f"load-{line.id}"
        if name not in posted.form:
            continue
        with posted.problems.of(name):
            state = forms.text(posted.form, name, 10)
            to = state if state in planned.STATES else None
            puts += _changed(posted, f"load/{line.id}", name, to, line.title)
    return puts


def haul_typed(posted: FormRequest) -> Puts:
    """Choices, weights with their unit, a count and words; what is left out is taken back."""
    form, puts = posted.form, []
    for field, answers in planned.CHOICES.items():
        with posted.problems.of(field):
            chosen = forms.text(form, field, 20)
            to: Any = chosen if chosen in answers else None
            puts += _changed(posted, f"haul/{field}", field, to, _named(field))
    for field in planned.WEIGHTS:
        with posted.problems.of(field):
            typed, unit = forms.text(form, field, 20), forms.text(form, f"{field}-unit", 5)
            unit = unit if unit in planned.UNITS else planned.UNITS[0]
            to = reading(typed, unit, _named(field)) if typed else None
            puts += _changed(posted, f"haul/{field}", field, to, _named(field))
    with posted.problems.of(planned.STRAPS):
        typed = forms.text(form, planned.STRAPS, 5)
        count = str(whole(typed, _named("straps"), 0, _MOST_STRAPS)) if typed else None
        puts += _changed(posted, f"haul/{planned.STRAPS}", planned.STRAPS, count, _named("straps"))
    for field in planned.WORDS:
        with posted.problems.of(field):
            words = forms.text(form, field, 200) or None
            puts += _changed(posted, f"haul/{field}", field, words, _named(field))
    return puts


def _named(field: str) -> str:
    return text("before-haul-" + field.replace("_", "-"))
