"""What somebody changed in the parts sheet, cell by cell, held against what stands by now.

A change is [path, was, now]: the texts of a cell before and after. A cell that nobody else touched
takes the new text; one that reads otherwise by now is a conflict, which is shown, not written.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from bradawl.common.errors import ApiError
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.parts.columns import FIELDS, Column
from bradawl.desk.model.parts.lines import LINE_ID, Group, Line, Sheet
from bradawl.desk.model.parts.values import Cell, read
from bradawl.desk.model.plan.edits import remedy_edit, wish_edit
from bradawl.desk.model.typed_values import FieldError, amount, hours, three_points
from bradawl.inspection import cell_values
from bradawl.language import message, text

if TYPE_CHECKING:
    from bradawl.desk.model.plan.types import Job
    from bradawl.inspection.snapshot import Snapshot

__all__ = ["Change", "Outcome", "apply", "with_puts"]


class Change(NamedTuple):
    """One cell before and after, as texts."""

    path: str
    was: str
    now: str


@dataclass
class Outcome:
    """What became of changes: what to record, what somebody else changed, what nobody can read."""

    puts: Puts = field(default_factory=list)
    taken: list[str] = field(default_factory=list)  # paths that hold what was typed
    conflicts: dict[str, Cell] = field(default_factory=dict)  # what stands there instead
    problems: dict[str, str] = field(default_factory=dict)


def apply(sheet: Sheet, changes: Iterable[Change]) -> Outcome:
    """Sort changes into what is recorded, what is in conflict and what is wrong."""
    outcome = Outcome()
    jobs: dict[str, dict[str, Any]] = {}
    for change in changes:
        try:
            if change.path.startswith("job/"):
                _job_change(sheet, change, jobs, outcome)
            else:
                _line_change(sheet, change, outcome)
        except ApiError as wrong:
            outcome.problems[change.path] = wrong.message
    for name, typed in jobs.items():
        outcome.puts += _job_puts(sheet, name, typed)
    return outcome


def with_puts(snapshot: Snapshot, puts: Puts, at: str) -> Snapshot:
    """The snapshot as it stands once lines of the parts list were written, without judging anew."""
    cells = dict(snapshot.cells)
    for path, value in puts:
        cells[path] = {"value": value, "at": at, "others": []}
    return replace(snapshot, cells=cells)


def _line_change(sheet: Sheet, change: Change, outcome: Outcome) -> None:
    area, _, rest = change.path.partition("/")
    name, _, key = rest.partition("/")
    if area != "parts" or not LINE_ID.fullmatch(name):
        raise FieldError(message("desk-parts-no-cell", path=change.path))
    line = sheet.all_lines.get(name) or Line(name, {})
    if key == "removed":
        if line.removed != bool(change.now):
            outcome.puts.append((change.path, True if change.now else None))
        outcome.taken.append(change.path)
        return
    column = FIELDS.get(key)
    if column is None or column.is_fixed:
        raise FieldError(message("desk-parts-no-cell", path=change.path))
    now, stands = change.now.strip(), sheet.cell(line, column)
    if now != stands.raw:
        if not _is_as_it_was(sheet, line, column, change.was, stands):
            outcome.conflicts[change.path] = stands
            return
        for recorded, value in read(column, now, lambda: sheet.job_titles).items():
            path = f"parts/{name}/{recorded}"
            outcome.puts += change_to(sheet.snapshot, path, value)
    outcome.taken.append(change.path)


def _is_as_it_was(sheet: Sheet, line: Line, column: Column, was: str, stands: Cell) -> bool:
    """Whether a cell still holds what the page showed; one that is not there yet, nothing."""
    return was.strip() == stands.raw or (line.id not in sheet.all_lines and not was.strip())


def _job_change(
    sheet: Sheet, change: Change, jobs: dict[str, dict[str, Any]], outcome: Outcome
) -> None:
    name, _, key = change.path.removeprefix("job/").rpartition("/")
    job = next((job for job in sheet.plan.jobs if job.id == name), None)
    column = FIELDS.get(key)
    group = Group(name, "", job)
    if job is None or column is None or not sheet.is_open(group, column):
        raise FieldError(message("desk-parts-no-cell", path=change.path))
    now, stands = change.now.strip(), sheet.job_cell(group, column)
    if now != stands.raw:
        if change.was.strip() != stands.raw:
            outcome.conflicts[change.path] = stands
            return
        jobs.setdefault(name, {}).update(_job_read(job, column, now))
    outcome.taken.append(change.path)


def _job_read(job: Job, column: Column, typed: str) -> dict[str, Any]:
    """What was typed into a job's row. Raises FieldError."""
    if column.key == "need":
        return read(column, typed, dict)
    mark = "/" if "/" in typed else "-"
    figures = [part.strip() for part in typed.replace("–", "-").split(mark)]
    if len(figures) > 3 or not all([*figures, True] if typed else [True]):
        raise FieldError(message("desk-parts-price-wrong", what=column.title, typed=typed))
    if len(figures) == 2:
        figures = [figures[0], "", figures[1]]
    elif len(figures) == 1:
        figures = ["", figures[0], ""]
    if column.key == "price":
        parts = three_points(figures, column.title, amount, 0)
        if len(figures) == 3 and figures[0] and not figures[1]:
            parts[1] = (parts[0] + parts[2] + 1) // 2
        return {"parts": parts}
    return {"hours": three_points(figures, column.title, hours, "0")}


def _job_puts(sheet: Sheet, name: str, typed: dict[str, Any]) -> Puts:
    remedy = sheet.plan.remedies.get(name)
    if remedy is not None:
        stands = {key: getattr(remedy, key) for key in ("title", "kind", *_ROW)}
        return remedy_edit(remedy, {**stands, **typed})
    job = next(job for job in sheet.plan.jobs if job.id == name)
    wish = cell_values.mapping(cell_values.value(sheet.snapshot.cells, f"plan/{name}"))
    stands = {"title": job.title or text("judge-wish"), **{key: getattr(job, key) for key in _ROW}}
    return wish_edit(name, wish, {**stands, **typed}, sheet.snapshot.texts["rules"])


_ROW = ("parts", "hours", "need", "loss")
