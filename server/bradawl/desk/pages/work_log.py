"""The work log's page: jobs to be done and those that were done, with evidence."""

from fastapi import APIRouter, Response

from bradawl.desk.model import findings
from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import distance_units
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.work_log import AFTER, done_jobs, job_fields
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.work_log import done_typed, keep_photos, photos_typed
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/work")


@pages.get("")
def show_work(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    photos = findings.photos_of(page.snapshot)
    return render_visit(
        page,
        "plan/work.html",
        tab="work",
        plan=plan,
        open_jobs=[job_fields(page.snapshot, job) for job in plan.jobs],
        done=done_jobs(page.snapshot),
        today=page.desk.today(),
        after=AFTER,
        faults=FAULTS,
        distances=distance_units(),
        missing=set(page.desk.photos_missing(photos)),
        zone=findings.zone_of(page.snapshot),
        name_of=page.desk.name_of,
    )


@pages.post("")
def save_work(posted: VisitForm) -> Response:
    name = forms.text(posted.form, "job", 160)
    job = next((job for job in plan_of(posted.snapshot).jobs if job.id == name), None)
    if job is None:
        raise stale(message("desk-work-gone"))
    uploads = photos_typed(posted.form, posted.problems)
    puts = done_typed(posted, job, has_photo=bool(uploads))
    puts += keep_photos(posted, uploads, f"work/{name}")
    return show_work(posted) if posted.problems else posted.record(puts, "work#done")
