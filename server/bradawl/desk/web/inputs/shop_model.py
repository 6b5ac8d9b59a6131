"""The form of a model that the shop remembers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from starlette.datastructures import FormData

from bradawl.desk.model.profiles.figures import Group
from bradawl.desk.model.typed_values import FieldError, Problems, whole
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.profile import profile_typed
from bradawl.judge.record.shop_models import CHANCES
from bradawl.language import message, text

#: Rows for weak points beyond those that stand there.
MORE_ROWS = 4
MOST_ROWS = 60


def model_typed(
    form: FormData,
    groups: Iterable[Group],
    kept: Mapping[str, Any],
    titles: Mapping[str, str],
    problems: Problems,
) -> dict[str, Any]:
    """The model as typed; `kept` are facts that the form does not show, `titles` those of items."""
    value: dict[str, Any] = {}
    for name in ("make", "model"):
        with problems.of(name):
            value[name] = forms.text(form, name, 60)
            if not value[name]:
                raise FieldError(message("desk-models-no-name", field=text(f"desk-models-{name}")))
    for name in ("from", "to"):
        with problems.of(name):
            typed = forms.text(form, name, 4)
            if typed:
                value[name] = whole(typed, text(f"desk-models-{name}"), 1886, 2100)
    with problems.of("notes"):
        value["notes"] = forms.text(form, "notes", 2000)
    facts = profile_typed(form, groups, problems)
    value["facts"] = {
        **kept,
        **{name: fact for name, fact in facts.items() if fact is not None},
    }
    value["look"] = list(_looks(form, titles, problems))
    return value


def _looks(
    form: FormData, titles: Mapping[str, str], problems: Problems
) -> Iterable[dict[str, Any]]:
    by_title = {title.casefold(): item for item, title in titles.items()}
    for n in range(MOST_ROWS):
        row: dict[str, Any] = {}
        with problems.of(f"look-{n}"):
            typed = forms.text(form, f"look-{n}:item", 80)
            note = forms.text(form, f"look-{n}:note", 200)
            chance = forms.text(form, f"look-{n}:chance", 10)
            if not typed:
                continue
            item = by_title.get(typed.casefold())
            if item is None:
                raise FieldError(message("desk-models-no-check", typed=typed))
            row = {"item": item, "note": note}
            if chance.isascii() and chance.isdigit():
                row["percent"] = int(chance)
            else:
                row["chance"] = chance if chance in CHANCES else "sometimes"
        if row:
            yield row
