"""The rows of a list as lines of the parts list: what becomes of each, and how they are taken back.

A cell that cannot be read is no reason to lose it: it goes into its line's note as it was typed.
What was read in at once is one entry at imports/<id>; the ids of its lines follow from that id.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from bradawl import language
from bradawl.common.display_text import for_line
from bradawl.common.errors import ApiError
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.lists.columns import LEFT_OUT, Heading
from bradawl.desk.model.lists.files import Table, Value
from bradawl.desk.model.parts.columns import FIELDS, Column
from bradawl.desk.model.parts.lines import Sheet
from bradawl.desk.model.parts.values import read
from bradawl.desk.model.plan.sheet_files import as_typed
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger.fields import is_id
from bradawl.language import text

__all__ = ["Import", "Row", "imports_of", "line_id", "puts_of", "rows_of", "taken_back"]

PATH = "imports/"
NAME_LIMIT = 120


@dataclass
class Row:
    """One row of a list: what is to be recorded of it, and what could not be read."""

    number: int
    shown: dict[str, str] = field(default_factory=dict)  # by column
    values: dict[str, Any] = field(default_factory=dict)  # by recorded name
    problems: list[str] = field(default_factory=list)
    is_known: bool = False  # whether such a line stands on the list

    @property
    def is_empty(self) -> bool:
        return not self.values


def rows_of(sheet: Sheet, table: Table, head: int, headings: Sequence[Heading]) -> list[Row]:
    """The rows below the headings, each read as a line."""
    known = {_same(line.fields) for line in sheet.lines}
    rows = []
    for number, cells in table.rows.items():
        if number > head:
            row = _read_row(number, cells, headings, lambda: sheet.job_titles)
            row.is_known = not row.is_empty and _same(row.values) in known
            rows.append(row)
    return rows


def _same(fields: Mapping[str, Any]) -> tuple[str, str]:
    what, number = (cell_values.text(fields.get(key)).casefold() for key in ("what", "number"))
    return what, number


def _read_row(
    number: int,
    cells: Sequence[Value],
    headings: Sequence[Heading],
    jobs: Callable[[], Mapping[str, str]],
) -> Row:
    row = Row(number)
    notes: list[str] = []
    for heading in headings:
        cell = cells[heading.number] if heading.number < len(cells) else Value("")
        if not cell.text or heading.column == LEFT_OUT:
            continue
        column = FIELDS.get(heading.column)
        typed = _said(cell, column)
        if column is None:
            notes.append(text("desk-parts-list-noted", what=heading.title, typed=typed))
        elif column.key == "note":
            notes.insert(0, typed)
            row.shown["note"] = typed
        else:
            row.shown[column.key] = typed
            try:
                values = read(column, typed, jobs)
                row.values |= {key: value for key, value in values.items() if value is not None}
            except ApiError as wrong:
                row.problems.append(wrong.message)
                notes.append(text("desk-parts-list-noted", what=heading.title, typed=typed))
    note, limit = "\n".join(notes), FIELDS["note"].limit
    if len(note) > limit:
        row.problems.append(text("desk-parts-list-note-cut", most=limit))
    if note:
        row.values["note"] = note[:limit]
    return row


def _said(cell: Value, column: Column | None) -> str:
    """A cell as the reader would type it."""
    if cell.kind == "day":
        return language.date(cell.text)
    if cell.kind == "number" and column is not None and column.is_figure:
        return language.decimal(cell.text)
    return as_typed(cell.text).strip()


def line_id(import_id: str, number: int) -> str:
    """The line that a row becomes: sent twice, it is the same line."""
    return hashlib.sha256(f"{import_id}/{number}".encode()).hexdigest()[:12]


def puts_of(import_id: str, name: str, day: str, rows: Sequence[Row]) -> Puts:
    """The lines, and last the entry that says that they came together."""
    puts: Puts = []
    for n, row in enumerate(rows):
        line = line_id(import_id, n)
        puts += [(f"parts/{line}/{key}", value) for key, value in sorted(row.values.items())]
    said = {"name": for_line(name, NAME_LIMIT), "date": day, "lines": len(rows)}
    return [*puts, (PATH + import_id, said)]


@dataclass(frozen=True)
class Import:
    """A list that was read in, and what became of its lines since."""

    id: str
    name: str
    date: str
    lines: list[str]
    standing: list[str]  # as they were read in
    changed: list[str]  # that somebody worked on since, and that still stand

    @property
    def is_gone(self) -> bool:
        return not self.standing and not self.changed


def imports_of(snapshot: Snapshot) -> list[Import]:
    """Every list that was read into a record, the newest first."""
    found = []
    for event in snapshot.events:
        path = event["put"]
        cell = snapshot.cells.get(path)
        name = path.removeprefix(PATH)
        if path.startswith(PATH) and is_id(name) and cell is not None and cell["at"] == event["at"]:
            value = cell_values.mapping(cell["value"])
            count = min(cell_values.whole(value.get("lines"), 0) or 0, 100_000)
            lines = [line_id(name, n) for n in range(count)]
            changed = _changed(snapshot, event, set(lines))
            there = [line for line in lines if _stands(snapshot, line)]
            found.append(
                Import(
                    id=name,
                    name=for_line(cell_values.text(value.get("name")), NAME_LIMIT),
                    date=cell_values.text(value.get("date")),
                    lines=lines,
                    standing=[one for one in there if one not in changed],
                    changed=[one for one in there if one in changed],
                )
            )
    return found[::-1]


def _stands(snapshot: Snapshot, line: str) -> bool:
    return cell_values.value(snapshot.cells, f"parts/{line}/removed") is not True


def _changed(snapshot: Snapshot, entry: Mapping[str, Any], lines: Collection[str]) -> set[str]:
    """The lines that got an event which did not come with the entry's own."""
    found = set()
    for event in snapshot.events:
        parts = event["put"].split("/")
        came_with_it = event["device"] == entry["device"] and event["seq"] < entry["seq"]
        if parts[0] == "parts" and len(parts) == 3 and parts[1] in lines and not came_with_it:
            found.add(parts[1])
    return found


def taken_back(read_in: Import) -> Puts:
    """The puts that take the lines of a list off again; what was worked on since stays."""
    return [(f"parts/{line}/removed", True) for line in read_in.standing]
