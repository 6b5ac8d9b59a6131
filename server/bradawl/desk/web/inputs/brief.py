"""The form of a brief: what a car is wanted for."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData

from bradawl.desk.model.typed_values import Problems, amount, day, whole
from bradawl.desk.model.visits.brief import field_title
from bradawl.desk.web import forms
from bradawl.judge.record.visit_facts import USES


def brief_typed(form: FormData, problems: Problems) -> dict[str, Any]:
    """The brief as typed; None for a field left empty."""
    typed: dict[str, Any] = {
        "uses": [use for use in USES if forms.is_ticked(form, f"use-{use}")] or None
    }
    typed["labor_paid"] = forms.is_ticked(form, "labor_paid") or None
    for name in ("budget", "value_good", "hourly_rate", "margin"):
        typed[name] = None
        with problems.of(name):
            text = forms.text(form, name, 20)
            typed[name] = amount(text, field_title(name)) if text else None
    with problems.of("deadline"):
        text = forms.date_text(form, "deadline")
        typed["deadline"] = day(text, field_title("deadline")) if text else None
    with problems.of("originality"):
        text = forms.text(form, "originality", 10).rstrip("% ")
        typed["originality"] = whole(text or "100", field_title("originality"), 0, 300)
    return typed
