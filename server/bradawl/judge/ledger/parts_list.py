"""The lines of a car's parts list: a cell a column at parts/<id>/<column>, read into one line.

A line may name a job of the plan, and entries of the ledger may name the line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import fields
from .part_price import AMOUNTS, line_cents, unit_cents

if TYPE_CHECKING:
    from ..values.types import Cells, Json, PartOrigin, PartsLine, PartState

__all__ = ["COLUMNS", "ORIGINS", "STATES", "line_cents", "lines", "read", "unit_cents"]

STATES: tuple[PartState, ...] = (
    "needed",
    "asked",
    "quoted",
    "ordered",
    "arrived",
    "fitted",
    "returned",
)
ORIGINS: tuple[PartOrigin, ...] = ("original", "new", "used", "reproduction")
TEXTS = (
    "job",
    "what",
    "number",
    "also_fits",
    "quantity",
    "condition",
    "vendor",
    "where",
    "reply",
    "old_kept_at",
    "note",
    "hours_planned",
    "hours_done",
)
DAYS = ("asked_on", "due_on", "return_by")
#: Every column, in the order in which a parts list is read.
COLUMNS = TEXTS + AMOUNTS + DAYS + ("need", "state", "origin", "removed")


def lines(cells: Cells) -> list[PartsLine]:
    """Every line of a record, removed ones too, by id; one of which nothing was said is none."""
    columns: dict[str, dict[str, Json]] = {}
    for path in sorted(cells):
        parts = path.split("/")
        value = cells[path]["value"]
        if parts[0] == "parts" and len(parts) == 3 and parts[2] in COLUMNS and value is not None:
            columns.setdefault(parts[1], {})[parts[2]] = value
    return [read(name, columns[name]) for name in sorted(columns)]


def read(name: str, columns: dict[str, Json]) -> PartsLine:
    """One line from its cells, with every column what it should be."""
    return {
        "id": name,
        "job": fields.text(columns.get("job")),
        "what": fields.text(columns.get("what")),
        "number": fields.text(columns.get("number")),
        "also_fits": fields.text(columns.get("also_fits")),
        "quantity": fields.text(columns.get("quantity")),
        "need": columns.get("need") is not False,
        "state": _state(columns.get("state")),
        "origin": _origin(columns.get("origin")),
        "condition": fields.text(columns.get("condition")),
        "vendor": fields.text(columns.get("vendor")),
        "where": fields.text(columns.get("where")),
        "quote_cents": fields.cents(columns.get("quote_cents")),
        "low_cents": fields.cents(columns.get("low_cents")),
        "likely_cents": fields.cents(columns.get("likely_cents")),
        "high_cents": fields.cents(columns.get("high_cents")),
        "freight_cents": fields.cents(columns.get("freight_cents")),
        "core_cents": fields.cents(columns.get("core_cents")),
        "asked_on": fields.day(columns.get("asked_on")),
        "reply": fields.text(columns.get("reply")),
        "due_on": fields.day(columns.get("due_on")),
        "return_by": fields.day(columns.get("return_by")),
        "old_kept_at": fields.text(columns.get("old_kept_at")),
        "note": fields.text(columns.get("note")),
        "hours_planned": fields.text(columns.get("hours_planned")),
        "hours_done": fields.text(columns.get("hours_done")),
        "removed": columns.get("removed") is True,
    }


def _state(value: Json) -> PartState:
    for state in STATES:
        if value == state:
            return state
    return "needed"


def _origin(value: Json) -> PartOrigin | None:
    for origin in ORIGINS:
        if value == origin:
            return origin
    return None
