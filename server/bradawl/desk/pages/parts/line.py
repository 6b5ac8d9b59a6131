"""One line of the parts list as a form, for browsers without scripts and for small screens."""

# No postponed annotations here: FastAPI reads those of the routes.
import secrets
from typing import Annotated

from fastapi import APIRouter, Query, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model.parts.changes import Change, apply
from bradawl.desk.model.parts.columns import COLUMNS, choices
from bradawl.desk.model.parts.lines import LINE_ID, Line, Sheet, counted
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import PageRequest, VisitForm, VisitPage, render_visit
from bradawl.language import message, text

pages = APIRouter(prefix="/visits/{visit}/parts/line")
ID_BYTES = 6


@pages.get("/new")
def show_new(page: VisitPage, job: Annotated[str, Query(max_length=200)] = "") -> Response:
    """A line that is not there yet; with how many pieces were counted at the car."""
    sheet = Sheet(page.snapshot)
    planned = next((one for one in sheet.plan.jobs if one.id == job), None)
    given = {"job": job if job in sheet.job_titles else ""}
    if planned is not None:
        given["quantity"] = counted(sheet, planned)
    return _form(page, sheet, Line(secrets.token_hex(ID_BYTES), {}), given)


@pages.get("/{line}")
def show_line(page: VisitPage, line: str) -> Response:
    sheet = Sheet(page.snapshot)
    return _form(page, sheet, _line_of(sheet, line), {})


@pages.post("/{line}")
def save_line(posted: VisitForm, line: str) -> Response:
    """Record what was changed; what somebody else changed meanwhile is shown beside it."""
    sheet = Sheet(posted.snapshot)
    if not LINE_ID.fullmatch(line):
        raise _unknown()
    changed = forms.changed(posted.form)
    if forms.is_ticked(posted.form, "removed"):
        changed["removed"] = ("", "1")
    columns = {column.key: column for column in COLUMNS}
    outcome = apply(
        sheet, [Change(f"parts/{line}/{key}", was, now) for key, (was, now) in changed.items()]
    )
    for path, sentence in outcome.problems.items():
        posted.problems.sentences.append(sentence)
        posted.problems.fields.add(path.rpartition("/")[2])
    for path, cell in outcome.conflicts.items():
        key = path.rpartition("/")[2]
        title = columns[key].title
        stands = cell.shown or text("desk-parts-nothing")
        sentence = text("desk-parts-other", what=title, stands=stands)
        posted.problems.sentences.append(sentence)
        posted.problems.fields.add(key)
    if posted.problems:
        return _form(posted, sheet, sheet.all_lines.get(line) or Line(line, {}), {})
    return posted.record(outcome.puts, f"parts#line-{line}")


def _line_of(sheet: Sheet, name: str) -> Line:
    line = sheet.all_lines.get(name)
    if line is None or line.removed:
        raise _unknown()
    return line


def _unknown() -> ApiError:
    return ApiError("unknown_line", message("desk-parts-no-line"), 404)


def _form(page: PageRequest, sheet: Sheet, line: Line, given: dict[str, str]) -> Response:
    return render_visit(
        page,
        "parts/line.html",
        tab="parts",
        sheet=sheet,
        line=line,
        given=given,
        columns=[column for column in COLUMNS if not column.is_fixed],
        choices={column.key: choices(column.key) for column in COLUMNS if column.kind == "choice"},
    )
