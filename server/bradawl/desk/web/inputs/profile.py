"""The form of a car's profile: facts that are picked, texts, figures and where each was read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from starlette.datastructures import FormData

from bradawl.desk.model.profiles.figures import LONGEST, Field, Group
from bradawl.desk.model.typed_values import FieldError, Problems, reading
from bradawl.desk.web import forms
from bradawl.judge.record.profile import WHERE
from bradawl.judge.values import exact
from bradawl.judge.values import typed as typed_texts
from bradawl.language import listed, message, unit_name


def profile_typed(form: FormData, groups: Iterable[Group], problems: Problems) -> dict[str, Any]:
    """What was typed by the fact's name; None for a field left empty."""
    typed: dict[str, Any] = {}
    for group in groups:
        for field in group.fields:
            with problems.of(field.name):
                typed[field.name] = _typed(form, field)
    return typed


def _typed(form: FormData, field: Field) -> Any:
    entry = forms.text(form, field.name, LONGEST)
    where = forms.text(form, f"{field.name}:from", 20)
    unit = forms.text(form, f"{field.name}:unit", 12)
    if entry == field.typed and (not field.is_figure or (unit, where) == (field.unit, field.where)):
        return field.value
    if not entry:
        return None
    if field.choices and entry not in dict(field.choices):
        raise FieldError(message("desk-profile-choice", title=field.title))
    if not field.is_figure:
        return entry
    if unit not in field.units:
        names = listed([unit_name(name) for name in field.units], last="or")
        raise FieldError(message("desk-reading-unit-wrong", reading=field.title, units=names))
    value: dict[str, Any] = reading(entry, unit, field.title)
    if exact.parse(typed_texts.number(value.get("read") or value["typed"], True)) is None:
        raise FieldError(message("desk-error-number", what=field.title, typed=entry))
    return {**value, "from": where} if where in WHERE else value
