"""The forms of must-haves and reasons to leave."""

from __future__ import annotations

import secrets
from typing import Any

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import FieldError, amount
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection.going.wants import add_musts
from bradawl.judge.record.wants import DISTANCES, FIGURES, MOST_MUSTS
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message, text

SIDES = ("must", "leave")
#: What may tell of a line of one's own; of a must-have only its buyer's word.
TELLS = ("so", "check", *FIGURES)


def taken(posted: FormRequest, names: list[str], sides: dict[str, str]) -> Puts:
    """Wants of the checklist; `sides` has the side of each by id."""
    cells = posted.snapshot.cells
    musts = [name for name in names if sides.get(name) == "must"]
    with posted.problems.of("take"):
        if not [name for name in names if name in sides]:
            raise FieldError(message("purpose-none-ticked"))
        if len(add_musts(cells, musts)) + _count(posted) > MOST_MUSTS:
            raise FieldError(message("purpose-five"))
    puts: Puts = add_musts(cells, musts)
    return puts + [(f"wants/{name}/leave", True) for name in names if sides.get(name) == "leave"]


def _count(posted: FormRequest) -> int:
    cells = posted.snapshot.cells
    return sum(path.endswith("/must") and cells[path]["value"] is not None for path in cells)


def own_typed(posted: FormRequest, checks: set[str]) -> Puts:
    """A line of one's own, with what tells of it."""
    side = forms.text(posted.form, "side", 10)
    tells = forms.text(posted.form, "tells", 10) if side == "leave" else "so"
    name = secrets.token_hex(6)
    puts: Puts = []
    with posted.problems.of("words"):
        words = forms.text(posted.form, "words", 160)
        if not words and tells not in TELLS[1:]:
            raise FieldError(message("purpose-own-empty"))
        puts = [(f"wants/{name}/words", words)] if words else []
    with posted.problems.of("most"):
        if tells in FIGURES:
            most = amount(forms.text(posted.form, "most", 20), text(f"purpose-tells-{tells}"))
            puts.append((f"wants/{name}/figure", _figure(posted, tells, most)))
    with posted.problems.of("check"):
        if tells == "check":
            item = forms.text(posted.form, "check", 80)
            grade = forms.text(posted.form, "grade", 12)
            if item not in checks or grade not in FAULTS:
                raise FieldError(message("purpose-check-missing"))
            puts.append((f"wants/{name}/check", {"item": item, "at_least": grade}))
    with posted.problems.of("side"):
        if side == "must" and _count(posted) >= MOST_MUSTS:
            raise FieldError(message("purpose-five"))
    added = add_musts(posted.snapshot.cells, [name]) if side == "must" else []
    return (added or [(f"wants/{name}/leave", True)]) + puts


def _figure(posted: FormRequest, of: str, most: int) -> dict[str, Any]:
    unit = forms.text(posted.form, "unit", 4)
    figure: dict[str, Any] = {"of": of, "above": most}
    if of == "odometer":
        figure["unit"] = unit if unit in DISTANCES else DISTANCES[0]
    return figure


def answered(posted: FormRequest, name: str) -> Puts:
    """What the buyer says of a want; nothing takes it back."""
    so = {"yes": True, "no": False}.get(forms.text(posted.form, "so", 5))
    return [(f"wants/{name}/so", so)]
