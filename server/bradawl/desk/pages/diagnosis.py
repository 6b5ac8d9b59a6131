"""The diagnosis pages: symptoms, causes in words, what is known, the next test and why."""

from typing import Any

from fastapi import APIRouter, Response

from bradawl.desk.model import recorded
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.diagnosis import complaints, tables
from bradawl.desk.model.diagnosis.turned_out import counts
from bradawl.desk.model.errors import stale
from bradawl.desk.model.plan.types import anchor
from bradawl.desk.model.visits.summary import model_of
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.diagnosis import outcome_typed, reading_typed, standing_typed
from bradawl.desk.web.visit_page import PageRequest, VisitForm, VisitPage, render_visit
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/trouble")


@pages.get("")
def list_symptoms(page: VisitPage) -> Response:
    groups = complaints.rows(page.snapshot)
    return render_visit(page, "diagnosis/list.html", tab="trouble", groups=groups)


@pages.get("/{name}")
def show_symptom(page: VisitPage, name: str) -> Response:
    return render_visit(
        page,
        "diagnosis/symptom.html",
        tab="trouble",
        zone=recorded.zone_of(page.snapshot),
        name_of=page.desk.name_of,
        **complaints.page(page.snapshot, name),
        **_confirmed(page, name),
    )


def _confirmed(page: PageRequest, name: str) -> dict[str, Any]:
    """What the complaint turned out to be on all cars, and on those of this make and model."""
    cars, unread = page.desk.summaries.confirmed()
    symptom = tables.symptoms_in_words(page.snapshot)[name]
    model = model_of(page.snapshot)
    alike = [one for known, ones in cars for one in ones if known.casefold() == model.casefold()]
    return {
        "confirmed": counts(symptom, [one for _, ones in cars for one in ones]),
        "confirmed_alike": counts(symptom, alike) if model else [],
        "model": model,
        "unread": unread,
    }


@pages.post("/{name}")
def save_outcome(posted: VisitForm, name: str) -> Response:
    """A test's outcome and its readings; an empty outcome takes the test back."""
    symptom = tables.symptom(posted.snapshot, name)
    puts: Puts = []
    with posted.problems.of("outcome"):
        puts = outcome_typed(posted.snapshot, symptom, posted.form)
    return show_symptom(posted, name) if posted.problems else posted.record(puts, f"trouble/{name}")


@pages.post("/{name}/standing")
def save_standing(posted: VisitForm, name: str) -> Response:
    """A cause ruled out or brought back, a test passed over, a tool that is not at hand."""
    symptom = tables.symptom(posted.snapshot, name)
    puts: Puts = []
    with posted.problems.of("standing"):
        for path, value in standing_typed(symptom, posted.form):
            puts += change_to(posted.snapshot, path, value)
    return show_symptom(posted, name) if posted.problems else posted.record(puts, f"trouble/{name}")


@pages.post("/{name}/reading")
def save_reading(posted: VisitForm, name: str) -> Response:
    """A reading with its conditions, before or after the fix; a test done again after it."""
    symptom = tables.symptom(posted.snapshot, name)
    puts: Puts = []
    with posted.problems.of("reading"):
        puts = reading_typed(posted.snapshot, symptom, posted.form, posted.desk.clock())
    return show_symptom(posted, name) if posted.problems else posted.record(puts, f"trouble/{name}")


@pages.post("/{name}/cause")
def save_cause(posted: VisitForm, name: str) -> Response:
    """The cause that was found becomes a finding with the repair that mends it, or a job."""
    symptom = tables.symptom(posted.snapshot, name)
    word = forms.text(posted.form, "cause", 60)
    grade = forms.text(posted.form, "grade", 20)
    if word not in [cause["id"] for cause in symptom["causes"]]:
        raise stale(message("desk-symptom-cause-gone"))
    if forms.is_ticked(posted.form, "back"):
        puts = complaints.cause_taken_back(posted.snapshot, symptom, word)
        return posted.record(puts, f"trouble/{name}")
    if grade not in FAULTS:
        raise stale(message("desk-symptom-cause-gone"))
    puts = complaints.cause_found(posted.snapshot, symptom, word, grade)
    return posted.record(puts, f"plan#{anchor(complaints.planned(posted.snapshot, symptom, word))}")
