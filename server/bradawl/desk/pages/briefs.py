"""The brief's page: what the car is wanted for. It weighs the areas, on the phone too."""

from fastapi import APIRouter, Response

from bradawl.desk.model.visits.brief import (
    brief_changes,
    brief_of,
    field_title,
    opposed_wishes,
    shared_changes,
    shown_brief,
)
from bradawl.desk.web.forms import is_changed
from bradawl.desk.web.inputs.brief import brief_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.judge.record.visit_facts import USES

pages = APIRouter(prefix="/visits/{visit}/brief")


@pages.get("")
def show_brief(page: VisitPage) -> Response:
    return render_visit(
        page,
        "visits/brief.html",
        tab="brief",
        brief=brief_of(page.snapshot),
        shown=shown_brief(page.snapshot),
        opposed=opposed_wishes(page.snapshot),
        uses=USES,
        field_title=field_title,
        others=[(visit, car) for visit, car in page.desk.summaries.names() if visit != page.visit],
    )


@pages.post("")
def save_brief(posted: VisitForm) -> Response:
    brief = brief_typed(posted.form, posted.problems)
    stands = shown_brief(posted.snapshot)
    changed = {
        name: value
        for name, value in brief.items()
        if is_changed(posted.form, name, value, stands[name], field_title(name), posted.problems)
    }
    if posted.problems:
        return show_brief(posted)
    answer = posted.record(brief_changes(posted.snapshot, changed), "brief")
    for visit in posted.form.getlist("also"):
        other = posted.desk.snapshot(str(visit))
        posted.desk.log.append(
            posted.device, other.visit, shared_changes(posted.snapshot, other, brief)
        )
    return answer
