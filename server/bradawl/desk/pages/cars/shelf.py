"""A car's name in the lists, and what was put away: archived, deleted, never begun; and back."""

from fastapi import APIRouter, Request, Response

from bradawl.common.display_text import for_line
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import NAME_LIMIT
from bradawl.desk.model.typed_values import FieldError
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere
from bradawl.desk.web.rendering import render
from bradawl.desk.web.visit_page import FormRequest, VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.inspection.shelf import ARCHIVED, DELETED, NAME, SHELVES, shelf_of
from bradawl.language import message

pages = APIRouter()


@pages.get("/shelved")
def show_shelved(request: Request, desk: DeskHere) -> Response:
    found, unread = desk.summaries.shelved()
    return render(
        request,
        "cars/shelved.html",
        shelves=[(shelf, found[shelf]) for shelf in SHELVES if found.get(shelf)],
        unread=unread,
    )


@pages.get("/visits/{visit}/shelf")
def show_shelf(page: VisitPage) -> Response:
    cells = page.snapshot.cells
    return render_visit(
        page,
        "cars/shelf.html",
        tab="shelf",
        shelf=shelf_of(cells),
        given=for_line(cell_values.words(cell_values.value(cells, NAME)), NAME_LIMIT),
        is_signed=_is_signed(page),
    )


@pages.post("/visits/{visit}/shelf")
def put_away(posted: VisitForm) -> Response:
    """Rename a car, or move it between the lists and what was put away: entries of its log."""
    puts: Puts = []
    with posted.problems.of("act"):
        puts = _puts(posted, forms.text(posted.form, "act", 20))
    if posted.problems:
        return show_shelf(posted)
    if puts:
        posted.desk.log.append(posted.device, posted.visit, puts)
        posted.desk.summaries.refresh(posted.visit)
    return forms.back(f"/desk/visits/{posted.visit}/shelf")


def _puts(posted: FormRequest, act: str) -> Puts:
    snapshot = posted.snapshot
    if act == "name":
        return change_to(snapshot, NAME, forms.text(posted.form, "name", NAME_LIMIT) or None)
    if act == "archive":
        return change_to(snapshot, ARCHIVED, True)
    if act == "restore":
        return change_to(snapshot, ARCHIVED, None) + change_to(snapshot, DELETED, None)
    if act != "delete":
        raise FieldError(message("desk-shelf-act"))
    if _is_signed(posted):
        raise FieldError(message("desk-shelf-signed"))
    # once more where it stands but counts for nothing: something was recorded since
    return [(DELETED, True)]


def _is_signed(page: VisitPage | FormRequest) -> bool:
    return bool(page.snapshot.seals)
