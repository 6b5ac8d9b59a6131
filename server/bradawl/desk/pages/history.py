"""Everything that was recorded in one inspection, entry by entry, and what became of each."""

from typing import Annotated

from fastapi import APIRouter, Query, Response

from bradawl.desk.model import recorded
from bradawl.desk.model.records.history import history_rows
from bradawl.desk.model.visits.people import called
from bradawl.desk.web.context import Person
from bradawl.desk.web.visit_page import VisitPage, render_visit

pages = APIRouter()
ON_A_PAGE = 200


@pages.get("/visits/{visit}/history")
def show_history(
    visit_page: VisitPage, person: Person, page: Annotated[int, Query(ge=1, le=10_000)] = 1
) -> Response:
    snapshot, desk = visit_page.snapshot, visit_page.desk
    first = (page - 1) * ON_A_PAGE
    return render_visit(
        visit_page,
        "records/history.html",
        tab="history",
        rows=history_rows(
            snapshot, first, ON_A_PAGE, called(snapshot.cells, desk.name_of), desk.log.orders()
        ),
        page=page,
        pages=max(1, -(-len(snapshot.events) // ON_A_PAGE)),
        zone=recorded.zone_of(snapshot),
        owner=desk.is_owner(person),
    )
