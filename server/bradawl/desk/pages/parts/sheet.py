"""The parts sheet: its page, what was changed in it, what others changed meanwhile."""

# No postponed annotations here: FastAPI reads those of the routes.
import threading
from collections.abc import Collection
from typing import Annotated, Any

from fastapi import APIRouter, Body, Response
from fastapi.responses import JSONResponse

from bradawl.desk.model.parts.changes import Change, apply, with_puts
from bradawl.desk.model.parts.columns import COLUMNS, choices
from bradawl.desk.model.parts.lines import Line, Sheet, counted
from bradawl.desk.web.context import Desk, DeskHere, Person, Writer
from bradawl.desk.web.visit_page import VisitPage, render_visit

pages = APIRouter(prefix="/visits/{visit}/parts")
MOST_CHANGES = 20_000  # 800 lines of a list pasted at once
LONGEST_TEXT = 4_000
#: Reading what stands and writing over it is one step: two tabs send at the same time.
_writing = threading.Lock()


@pages.get("")
def show_sheet(page: VisitPage, person: Person) -> Response:
    sheet = Sheet(page.snapshot)
    return render_visit(
        page,
        "parts/sheet.html",
        tab="parts",
        sheet=sheet,
        columns=COLUMNS,
        groups=sheet.groups(),
        counted={job.id: counted(sheet, job) for job in sheet.plan.jobs},
        choices={column.key: choices(column.key) for column in COLUMNS if column.kind == "choice"},
        new=Line("", {}),
        by=page.desk.device_of(person)[:12],
        stamp=stamp_of(page.desk, page.visit),
    )


@pages.post("/changes")
def save_changes(
    desk: DeskHere,
    visit: str,
    writer: Writer,
    changes: Annotated[list[tuple[str, str, str]], Body(max_length=MOST_CHANGES)],
    since: Annotated[str, Body(max_length=100)] = "",
) -> Response:
    """Record what can be; say what stands in the way of the rest."""
    cut = [Change(path[:300], was[:LONGEST_TEXT], now[:LONGEST_TEXT]) for path, was, now in changes]
    with _writing:
        before = stamp_of(desk, visit)
        snapshot = desk.snapshot(visit)
        outcome = apply(Sheet(snapshot), cut)
        desk.log.append(writer, visit, outcome.puts)
    is_planned = any(not path.startswith("parts/") for path, _ in outcome.puts)
    after = desk.snapshot(visit) if is_planned else with_puts(snapshot, outcome.puts, before)
    sheet = Sheet(after)
    answer: dict[str, Any] = {
        "cells": {path: _cell_at(sheet, path) for path in outcome.taken},
        "conflicts": outcome.conflicts,
        "problems": outcome.problems,
        "stamp": stamp_of(desk, visit),
    }
    if since != before:
        answer |= {"all": _everything(sheet), **_worked_out(sheet)}
    else:
        touched = {path.split("/")[1] for path in outcome.taken}
        answer |= _worked_out(sheet, touched)
    return JSONResponse(answer)


@pages.get("/cells")
def show_cells(desk: DeskHere, visit: str, since: str = "") -> Response:
    """Everything that stands in the sheet; only the stamp where nothing changed since."""
    stamp = stamp_of(desk, visit)
    if stamp == since:
        return JSONResponse({"stamp": stamp})
    sheet = Sheet(desk.snapshot(visit))
    return JSONResponse({"all": _everything(sheet), **_worked_out(sheet), "stamp": stamp})


def stamp_of(desk: Desk, visit: str) -> str:
    """What changes with every event of a visit."""
    for line in desk.log.visits_named([visit]):
        return f"{line.last_at}/{line.events}"
    return ""


def _everything(sheet: Sheet) -> dict[str, Any]:
    cells: dict[str, Any] = {}
    for line in sheet.lines:
        cells |= sheet.cells_of(line)
    groups = sheet.groups()
    for group in groups:
        for column in COLUMNS:
            if sheet.is_open(group, column):
                cells[f"job/{group.id}/{column.key}"] = sheet.job_cell(group, column)
    return {
        "cells": cells,
        "lines": [[line.id, line.job] for line in sheet.lines],
        "jobs": [group.id for group in groups],
    }


def _worked_out(sheet: Sheet, touched: Collection[str] | None = None) -> dict[str, Any]:
    """Sums of lines and jobs, which follow from other cells; of the lines `touched`, or of all."""
    total = next(column for column in COLUMNS if column.key == "total")
    lines = [line for line in sheet.lines if touched is None or line.id in touched]
    sums = {f"parts/{line.id}": sheet.cell(line, total).shown for line in lines}
    sums |= {f"job/{job}": said for job, said in sheet.sums_by_job().items()}
    return {"sums": sums, "totals": sheet.totals()}


def _cell_at(sheet: Sheet, path: str) -> Any:
    area, _, rest = path.partition("/")
    name, _, key = rest.rpartition("/")
    column = next((column for column in COLUMNS if column.key == key), None)
    if column is None:
        return ["", ""]
    if area == "parts":
        return sheet.cell(sheet.all_lines.get(name) or Line(name, {}), column)
    group = next((one for one in sheet.groups() if one.id == name), None)
    return sheet.job_cell(group, column) if group else ["", ""]
