"""Readings of a complaint that are taken again: with their conditions, before and after the fix."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact, typed, units
from . import evidence

if TYPE_CHECKING:
    from ..values.types import Cells, Json, ReadingPoint, ReadingSeries, Symptom, TestAfter

PHASES = ("before", "after")


def series(symptom: Symptom, cells: Cells) -> list[ReadingSeries]:
    """Every reading that was taken for the complaint, by test and reading, in the order taken.

    {"typed", "unit", "phase": before|after, "conditions": {name: word}, "minute"?: text} stands at
    trouble/SYMPTOM/readings/TEST/READING/N. What is no number is passed over.
    """
    rows: list[ReadingSeries] = []
    for test in symptom["tests"]:
        for reading in test.get("measures") or []:
            points = _points(symptom["id"], test["id"], reading["id"], cells)
            if points:
                row: ReadingSeries = {
                    "test": test["id"],
                    "reading": reading["id"],
                    "points": points,
                }
                rows.append(row)
    return rows


def _points(symptom: str, test: str, reading: str, cells: Cells) -> list[ReadingPoint]:
    start = evidence.path_of(symptom, "readings", test) + "/" + reading + "/"
    ready = []
    rows: dict[str, ReadingPoint] = {}
    for path in cells:
        if not path.startswith(start):
            continue
        row = point(cells[path]["value"])
        if row is not None:
            row["at"], row["path"] = cells[path]["at"], path
            ready.append((cells[path]["at"], path))
            rows[path] = row
    return [rows[path] for _, path in sorted(ready)]


def point(value: Json) -> ReadingPoint | None:
    """A recorded reading with its figure in base units; None for what is no number of a unit."""
    entry, unit = evidence.text_of(value, "typed"), evidence.text_of(value, "unit")
    number = exact.parse(typed.number(evidence.text_of(value, "read") or entry, True))
    if number is None or not units.is_known(unit) or not isinstance(value, dict):
        return None
    phase = evidence.text_of(value, "phase")
    conditions = value.get("conditions")
    held: dict[str, str] = {}
    if isinstance(conditions, dict):
        for name in sorted(conditions):
            word = conditions[name]
            if isinstance(word, str) and word:
                held[name] = word
    return {
        "typed": entry,
        "unit": unit,
        "number": exact.decimal(units.to_base(number, unit), 3),
        "phase": "after" if phase == "after" else "before",
        "conditions": held,
        "minute": _minute(evidence.text_of(value, "minute")),
        "at": "",
        "path": "",
    }


def _minute(text: str) -> str:
    """Minutes since the beginning as decimal text; "" where nobody said."""
    number = exact.parse(typed.number(text, True)) if text else None
    return "" if number is None or number[0] < 0 else exact.decimal(number, 2)


def after(symptom: Symptom, cells: Cells) -> list[TestAfter]:
    """The tests that were done again after the fix, with what they showed before and after."""
    rows: list[TestAfter] = []
    for test in symptom["tests"]:
        names = [row["id"] for row in test["outcomes"]]
        cell = cells.get(evidence.path_of(symptom["id"], "after", test["id"]))
        then = evidence.text_of(cell["value"], "outcome") if cell is not None else ""
        if cell is not None and then in names:
            first = cells.get(evidence.path_of(symptom["id"], "tests", test["id"]))
            before = evidence.text_of(first["value"], "outcome") if first is not None else ""
            rows.append(
                {
                    "test": test["id"],
                    "before": before if before in names else "",
                    "after": then,
                    "at": cell["at"],
                }
            )
    return rows
