"""What the car is for at the desk: must-haves, reasons to leave, what decides them."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Response

from bradawl.desk.model import findings
from bradawl.desk.model.errors import stale
from bradawl.desk.model.visits.brief import brief_of, opposed_wishes
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.going.purpose import SIDES, TELLS, answered, own_typed, taken
from bradawl.desk.web.visit_page import FormRequest, VisitForm, VisitPage, render_visit
from bradawl.inspection.going.wants import dropped, move_up, wants_of
from bradawl.judge.record.wants import DISTANCES, MOST_MUSTS
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/purpose")


def _rules(page: VisitPage) -> Mapping[str, Any]:
    return page.snapshot.texts.get("rules") or {}


@pages.get("")
def show_purpose(page: VisitPage) -> Response:
    cells, rules = page.snapshot.cells, _rules(page)
    wants = wants_of(cells, page.snapshot.assessment, rules)
    uses = brief_of(page.snapshot)["uses"]
    known = {want.id for want in wants}
    left = [row for row in rules.get("wants") or () if row["id"] not in known]
    return render_visit(
        page,
        "going/purpose.html",
        tab="purpose",
        wants={side: [want for want in wants if want.side == side] for side in SIDES},
        offered={side: _offered(left, side, uses) for side in SIDES},
        uses=uses,
        opposed=opposed_wishes(page.snapshot),
        most=MOST_MUSTS,
        tells=TELLS,
        faults=FAULTS,
        units=DISTANCES,
        groups=findings.checks(page.snapshot),
        checks={
            row["id"]: row["title"] for group in findings.checks(page.snapshot)
            for row in group["rows"]
        },
    )  # fmt: skip


def _offered(left: list[Any], side: str, uses: list[str]) -> list[tuple[str, list[Any]]]:
    """What fits the uses, and the others, each under its message."""
    rows = [row for row in left if row["side"] == side]
    fitting = [row for row in rows if set(row["uses"]) & set(uses)]
    return [("purpose-fits", fitting), ("purpose-others", [r for r in rows if r not in fitting])]


@pages.post("/take")
def take(posted: VisitForm) -> Response:
    """Wants of the checklist, those that were ticked."""
    sides = {row["id"]: row["side"] for row in _rules(posted).get("wants") or ()}
    puts = taken(posted, [str(one) for one in posted.form.getlist("want")], sides)
    return show_purpose(posted) if posted.problems else posted.record(puts, "purpose")


@pages.post("/own")
def add_own(posted: VisitForm) -> Response:
    groups = findings.checks(posted.snapshot)
    puts = own_typed(posted, {row["id"] for group in groups for row in group["rows"]})
    return show_purpose(posted) if posted.problems else posted.record(puts, "purpose")


@pages.post("/change")
def change(posted: VisitForm) -> Response:
    """One want answered, moved up or taken back."""
    name, cells = _named(posted), posted.snapshot.cells
    if forms.is_ticked(posted.form, "remove"):
        return posted.record(dropped(cells, name), "purpose")
    if forms.is_ticked(posted.form, "up"):
        return posted.record(move_up(cells, name), "purpose")
    return posted.record(answered(posted, name), "purpose")


def _named(posted: FormRequest) -> str:
    wanted = forms.text(posted.form, "want", 80)
    if not wanted or not dropped(posted.snapshot.cells, wanted):
        raise stale(message("purpose-gone"))
    return wanted
