"""The forms that add to an inspection at the desk, or correct what it says of car and seller."""

from __future__ import annotations

import secrets
from typing import Any

from starlette.datastructures import FormData

from bradawl.desk.model import findings, recorded
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import item_of, label
from bradawl.desk.model.typed_values import FieldError, Problems, amount, reading, whole
from bradawl.desk.web import forms
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.record.own_findings import is_own
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message, text

#: What may be corrected, in the order of the form.
FACTS = (
    *("car/make", "car/model", "car/year", "car/registration", "car/vin", "car/odometer"),
    *("car/colour", "about/seller", "about/place", "about/asking_price"),
)
OWN = "own"
NOTE_LIMIT = 2000
WHY_LIMIT = 400


def stands(snapshot: Snapshot, path: str) -> str:
    """What the form shows of a fact: as it would be typed."""
    value = recorded.value(snapshot, path)
    if path == "car/odometer":
        return cell_values.words(cell_values.mapping(value).get("typed"))
    return cell_values.words(value)


def facts_typed(snapshot: Snapshot, form: FormData, problems: Problems) -> Puts:
    """The puts for what differs from what the form showed, each with why.

    A field that was left alone writes nothing, whatever somebody else wrote meanwhile.
    """
    puts: Puts = []
    for path in FACTS:
        with problems.of(path):
            typed = forms.text(form, path, 200)
            unit = forms.text(form, f"{path}:unit", 4)
            shown = forms.text(form, f"{path}:was", 200), forms.text(form, f"{path}:unit-was", 4)
            if (typed, unit) != shown:
                puts += change_to(snapshot, path, _fact(snapshot, path, typed, unit))
    return puts + reasons(snapshot, form, puts, problems)


def _fact(snapshot: Snapshot, path: str, typed: str, unit: str) -> Any:
    what = label(path, snapshot.texts)
    if not typed:
        return None
    if path == "car/odometer":
        return reading(typed, unit if unit in ("mi", "km") else "mi", what)
    if path == "car/year":
        return whole(typed, what, 1885, 2100)
    if path == "about/asking_price":
        return amount(typed, what)
    return typed


def reasons(snapshot: Snapshot, form: FormData, puts: Puts, problems: Problems) -> Puts:
    """Why, beside each put; asked for where something stood there or the visit is signed."""
    why = ""
    with problems.of("why"):
        why = forms.text(form, "why", WHY_LIMIT)
        corrects = [path for path, _ in puts if recorded.value(snapshot, path) not in (None, "")]
        if puts and not why and (corrects or snapshot.seals):
            raise FieldError(message("desk-amend-why-missing"))
    return [(f"amend/{path}", {"why": why}) for path, _ in puts] if why else []


def finding_typed(
    snapshot: Snapshot, form: FormData, has_photo: bool, problems: Problems
) -> tuple[str, Puts]:
    """The item that something was added to, and the puts; photos are added by the page."""
    name = forms.text(form, "item", 80)
    puts: Puts = []
    with problems.of("item"):
        if name == OWN:
            name = _new_own(snapshot, forms.text(form, "area", 60))
            words = forms.text(form, "title", 120)
            if not words:
                raise FieldError(message("desk-amend-title-missing"))
            puts.append((f"items/{name}/text", words))
        elif item_of(snapshot.texts, name) is None and name not in findings.own_findings(snapshot):
            raise FieldError(message("desk-amend-item-missing"))
    grade = forms.text(form, "grade", 20)
    with problems.of("grade"):
        if grade and grade not in (*FAULTS, "none"):
            raise FieldError(message("desk-amend-grade-missing"))
        if puts and grade not in FAULTS:
            raise FieldError(message("desk-amend-grade-missing"))
        if grade:
            puts += change_to(snapshot, f"items/{name}/grade", {"grade": grade})
    with problems.of("cost"):
        cost = forms.text(form, "cost", 20)
        if cost and not is_own(name):
            raise FieldError(message("desk-amend-own-cost-else"))
        if cost:
            figure = amount(cost, text("desk-amend-own-cost"))
            puts += change_to(snapshot, f"items/{name}/cost", [figure, figure, figure])
    with problems.of("note"):
        note = forms.text(form, "note", NOTE_LIMIT)
        if note:
            before = cell_values.words(recorded.value(snapshot, f"items/{name}/note"))
            puts += change_to(snapshot, f"items/{name}/note", f"{before}\n{note}".strip())
    if not problems and not puts and not has_photo:
        with problems.of("note"):
            raise FieldError(message("desk-amend-empty"))
    return name, puts + reasons(snapshot, form, puts, problems)


def _new_own(snapshot: Snapshot, area: str) -> str:
    if area not in {one["id"] for one in snapshot.bundle.get("areas", ())}:
        raise FieldError(message("desk-amend-area-missing"))
    # random, as on a phone: two that write without sight of one another write of two findings
    return f"{area}.own-{secrets.token_hex(4)}"


def grades() -> list[tuple[str, str]]:
    """The grades that may be given, in words; the worst first."""
    return [(grade, text(f"grade-{grade}")) for grade in ("dangerous", "major", "minor", "none")]
