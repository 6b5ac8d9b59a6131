"""The form of the wires of one item: what was shown, what was typed, what is taken back."""

from __future__ import annotations

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import Problems
from bradawl.desk.model.wires import LIMITS, changes
from bradawl.desk.web import forms
from bradawl.inspection.snapshot import Snapshot


def wires_typed(snapshot: Snapshot, form: FormData, item: str, problems: Problems) -> Puts:
    """The puts of an item's wires; fields are named `WIRE:FIELD`, with `:unit` and `:seen`."""
    typed: dict[str, dict[str, tuple[str, str, str]]] = {}
    taken_back = []
    for name in form:
        wire, _, field = name.partition(":")
        if field == "take-back" and forms.is_ticked(form, name):
            taken_back.append(wire)
        if not field or ":" in field or field == "take-back":
            continue
        with problems.of(name):
            typed.setdefault(wire, {})[field] = (
                forms.text(form, f"{name}:seen", 500),
                forms.text(form, name, LIMITS.get(field, 40)),
                forms.text(form, f"{name}:unit", 5),
            )
    return changes(snapshot, item, typed, taken_back, problems)
