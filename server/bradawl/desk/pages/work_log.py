"""The work log's page: jobs to be done and those that were done, with evidence."""

import secrets

from fastapi import APIRouter, Response

from bradawl.desk.model import photo_views, recorded
from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import distance_units
from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.types import anchor
from bradawl.desk.model.plan.work_log import (
    AFTER,
    done_jobs,
    entry_at,
    finished_jobs,
    job_fields,
    taken_back,
)
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.work_log import (
    changed_entry,
    done_typed,
    entry_id,
    keep_photos,
    photos_typed,
)
from bradawl.desk.web.visit_page import VisitForm, VisitPage, render_visit
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message

pages = APIRouter(prefix="/visits/{visit}/work")


@pages.get("")
def show_work(page: VisitPage) -> Response:
    plan = plan_of(page.snapshot)
    photos = photo_views.photos_of(page.snapshot)
    finished = finished_jobs(page.snapshot)
    unproven = {job.id for job in plan.jobs if job.id in finished}
    done = done_jobs(page.snapshot)
    return render_visit(
        page,
        "plan/work.html",
        tab="work",
        plan=plan,
        anchor=anchor,
        bundle=page.snapshot.texts,
        open_jobs=[job_fields(page.snapshot, job) for job in plan.jobs if job.id not in unproven],
        unproven=[
            (
                job_fields(page.snapshot, job),
                [row for row in done if row["job"] == job.id],
            )
            for job in plan.jobs
            if job.id in unproven
        ],
        done=[row for row in done if row["job"] not in unproven],
        spent={
            row["job"]: row["spent_cents"]
            for row in money_of(page.snapshot, plan).rows
            if row["spent_cents"]
        },
        new_id=secrets.token_hex(6),
        today=page.desk.today(),
        after=AFTER,
        faults=FAULTS,
        distances=distance_units(),
        missing=set(page.desk.photos_missing(photos)),
        zone=recorded.zone_of(page.snapshot),
        name_of=page.desk.name_of,
    )


@pages.post("")
def save_work(posted: VisitForm) -> Response:
    name = forms.text(posted.form, "job", 160)
    job = next((job for job in plan_of(posted.snapshot).jobs if job.id == name), None)
    if job is None:
        raise stale(message("desk-work-gone"))
    own = f"work/{name}/done/{entry_id(posted.form)}"
    if entry_at(posted.snapshot, own) is not None:  # sent twice: it is there
        return forms.back(f"/desk/visits/{posted.visit}/work#done")
    uploads = photos_typed(posted.form, posted.problems)
    puts = done_typed(posted, job, has_photo=bool(uploads))
    puts += keep_photos(posted, uploads, f"work/{name}")
    return show_work(posted) if posted.problems else posted.record(puts, "work#done")


@pages.post("/entry")
def change_entry(posted: VisitForm) -> Response:
    """Change an entry of the log, or take it back; what it was before stays in the history."""
    path = forms.text(posted.form, "entry", 200)
    entry = entry_at(posted.snapshot, path)
    if entry is None:
        raise stale(message("desk-work-no-entry"))
    with posted.problems.of("seen"):
        if forms.text(posted.form, "seen", 80) != entry.at:
            raise stale(message("desk-work-changed"))
    if forms.is_ticked(posted.form, "withdraw"):
        puts = taken_back(posted.snapshot, entry)
    else:
        puts = [(path, changed_entry(posted, path))]
    return show_work(posted) if posted.problems else posted.record(puts, "work#done")
