"""The diagnosis pages: symptoms, causes ranked with the working shown, and the next test."""

from fastapi import APIRouter, Response

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.diagnosis.causes import (
    CAUSE_GRADES,
    cause_found,
    item_of_cause,
    job_of_cause,
    symptom_rows,
    symptom_view,
)
from bradawl.desk.model.errors import stale
from bradawl.desk.model.plan.types import anchor
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.diagnosis import outcome_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/trouble")


@pages.get("")
def list_symptoms(page: VisitPage) -> Response:
    rows = symptom_rows(page.snapshot, page.desk.symptoms.symptoms().values())
    return render_visit(page, "diagnosis/list.html", tab="trouble", rows=rows)


@pages.get("/{name}")
def show_symptom(page: VisitPage, name: str) -> Response:
    symptoms = page.desk.symptoms
    view = symptom_view(page.snapshot, symptoms.symptom(name), symptoms.symptoms())
    return render_visit(page, "diagnosis/symptom.html", tab="trouble", **view)


@pages.post("/{name}")
def save_outcome(posted: VisitForm, name: str) -> Response:
    """A test's outcome and its readings; an empty outcome takes the test back."""
    symptom = posted.desk.symptoms.symptom(name)
    puts: Puts = []
    with posted.problems.of("outcome"):
        puts = outcome_typed(posted.snapshot, symptom, posted.form)
    return show_symptom(posted, name) if posted.problems else posted.record(puts, f"trouble/{name}")


@pages.post("/{name}/cause")
def save_cause(posted: VisitForm, name: str) -> Response:
    """The cause that was found becomes a finding with its remedies, or a job of its own."""
    symptom = posted.desk.symptoms.symptom(name)
    word = forms.text(posted.form, "cause", 60)
    grade = forms.text(posted.form, "grade", 20)
    if word not in symptom.causes or grade not in CAUSE_GRADES:
        raise stale(message("desk-symptom-cause-gone"))
    titles = posted.desk.symptoms.english(name, word)
    puts = cause_found(posted.snapshot, symptom, word, grade, titles)
    item = item_of_cause(posted.snapshot, symptom.causes[word])
    return posted.record(puts, f"plan#{anchor(item or job_of_cause(symptom, word))}")
