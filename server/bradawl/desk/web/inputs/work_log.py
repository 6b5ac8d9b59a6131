"""The form of a finished job: what was done, by whom, what was found afterwards, photos."""

from __future__ import annotations

import secrets
from typing import Any

from starlette.datastructures import FormData, UploadFile

from bradawl import language
from bradawl.common.errors import ApiError
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.diagnosis import turned_out
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.log import keep_photo
from bradawl.desk.model.plan.build import base_of
from bradawl.desk.model.plan.types import Job
from bradawl.desk.model.plan.work_log import AFTER, judged_after
from bradawl.desk.model.typed_values import FieldError, Problems, day, hours, paid_cents, reading
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger.fields import is_id
from bradawl.judge.values.grades import FAULTS
from bradawl.language import message, say, text

PHOTO_LIMIT_MB = 40


def photos_typed(form: FormData, problems: Problems) -> list[tuple[str, bytes]]:
    """The uploaded photos as (file name, bytes)."""
    uploads = []
    for upload in form.getlist("photo"):
        if not isinstance(upload, UploadFile) or not upload.filename:
            continue
        data = upload.file.read((PHOTO_LIMIT_MB << 20) + 1)
        with problems.of("photo"):
            if len(data) > PHOTO_LIMIT_MB << 20:
                raise FieldError(
                    message("desk-error-file-large", name=upload.filename, most=PHOTO_LIMIT_MB)
                )
            if not data.startswith((b"\xff\xd8\xff", b"\x89PNG", b"RIFF")) and data[4:8] != b"ftyp":
                raise FieldError(message("desk-error-no-photo", name=upload.filename))
            uploads.append((upload.filename, data))
    return uploads


def keep_photos(posted: FormRequest, uploads: list[tuple[str, bytes]], under: str) -> Puts:
    """Keep photos that came with a form that has no problem so far; the puts that name them."""
    puts: Puts = []
    for name, data in uploads if not posted.problems else ():
        with posted.problems.of("photo"):
            try:
                sha256 = keep_photo(posted.desk.log.photos, data, posted.device)
            except ApiError as error:
                raise FieldError(
                    message("desk-error-photo-refused", name=name, why=error.message)
                ) from error
            caption = forms.text(posted.form, "caption", 200) or name
            puts.append((f"{under}/photos/{sha256}", {"caption": caption, "bytes": len(data)}))
    return puts


def done_typed(posted: FormRequest, job: Job, *, has_photo: bool) -> Puts:
    """The puts for a finished job: what was done, and what was found on each item afterwards."""
    form, problems, today = posted.form, posted.problems, posted.desk.today()
    wanted = cell_values.mapping(cell_values.value(posted.snapshot.cells, f"plan/{job.id}"))
    done: dict[str, Any] = {"title": job.typed_title, "items": job.items}
    # what it was expected to take stays beside what it took: the estimate may change later
    done["guess"] = {"parts": job.parts, "hours": job.hours}
    base = base_of(posted.snapshot, job.id)
    if base and base != done["guess"]:  # what is learned is held against the estimate itself
        done["guess"] = {**done["guess"], "base": base}
    if forms.text(form, "goes-on", 5):  # a day's work: the job is not finished
        done["finished"] = False
    done |= {key: wanted[key] for key in ("cause", "titles") if key in wanted}
    _read_when_and_who(posted, done)
    odometer = forms.text(form, "odometer", 20)
    if odometer:
        unit = forms.text(form, "odometer-unit", 4) or "km"
        with problems.of("odometer"):
            done["odometer"] = reading(odometer, unit, text("desk-path-car-odometer"))
    for name in ("parts", "note"):
        with problems.of(name):
            done[name] = forms.text(form, name, 1000)
    puts: Puts = [(f"work/{job.id}/done/{entry_id(form)}", done)]
    puts += _in_ledger(form, problems, job, done)
    if forms.is_ticked(form, "ends-fix"):
        puts += change_to(posted.snapshot, f"plan/temporary/{job.id}", None)
    for complaint in turned_out.open_complaints(posted.snapshot, job.id, job.items):
        cause = forms.text(form, f"turned-out:{complaint['id']}", 60)
        if cause:
            puts += turned_out.noted(posted.snapshot, complaint["id"], cause, job.id)
    for item in job.items:
        with problems.of(item):
            puts += _after_typed(posted.snapshot, form, job.id, item, has_photo, today)
    return puts


def entry_id(form: FormData) -> str:
    """The id under which this form's entry stands: its own, so that sent twice it is one."""
    typed = forms.text(form, "new", 20)
    return typed if is_id(typed) else secrets.token_hex(6)


def _in_ledger(form: FormData, problems: Problems, job: Job, done: dict[str, Any]) -> Puts:
    """What the work cost and how long it took, as entries of the ledger."""
    told = {"jobs": [job.id], "date": done.get("date", "")}
    puts: Puts = []
    with problems.of("cost"):
        cost = forms.text(form, "cost", 20)
        if cost:
            amount = paid_cents(cost, text("desk-work-cost"))
            value = {**told, "kind": "part", "amount_cents": amount}
            if done.get("parts"):
                value["what"] = done["parts"]
            puts.append((f"ledger/{secrets.token_hex(6)}", value))
    with problems.of("own-hours"):
        typed = forms.text(form, "own-hours", 20)
        if typed:
            worked = hours(typed, text("desk-work-own-hours"))
            value = {**told, "kind": "labor_mine", "hours": worked}
            puts.append((f"ledger/{secrets.token_hex(6)}", value))
    return puts


def _read_when_and_who(posted: FormRequest, done: dict[str, Any]) -> None:
    """Put the day and the name that were typed into an entry; what is wrong joins the problems."""
    form, problems, today = posted.form, posted.problems, posted.desk.today()
    with problems.of("date"):
        done["date"] = day(forms.date_text(form, "date") or today, text("desk-work-done-on"))
        if done["date"] > today:
            raise FieldError(message("desk-work-future", date=language.date(done["date"])))
    with problems.of("by"):
        done["by"] = forms.text(form, "by", 80)
        if not done["by"]:
            raise FieldError(message("desk-work-who"))


def changed_entry(posted: FormRequest, path: str) -> dict[str, Any]:
    """An entry of the work log as its form changes it; what the form does not show stays."""
    form, problems = posted.form, posted.problems
    done = dict(cell_values.mapping(cell_values.value(posted.snapshot.cells, path)))
    _read_when_and_who(posted, done)
    for name in ("parts", "note"):
        with problems.of(name):
            done[name] = forms.text(form, name, 1000)
    done["finished"] = not forms.text(form, "goes-on", 5)
    return done


def _after_typed(
    snapshot: Snapshot, form: FormData, job: str, item: str, has_photo: bool, today: str
) -> Puts:
    """What was found on one item afterwards. Raises FieldError when evidence is missing."""
    title = item_title(snapshot.texts, item)
    grade = forms.text(form, f"{item}/grade", 20)
    readings = {}
    for field in form:
        if field.startswith(f"{item}/readings/") and not field.endswith(":unit"):
            typed = forms.text(form, field, 40)
            if typed:
                unit = forms.text(form, f"{field}:unit", 12)
                readings[field] = reading(typed, unit, title)
    puts: Puts = [(f"work/{job}/after/{field}", value) for field, value in readings.items()]
    if not grade:
        return puts
    if grade not in AFTER:
        raise FieldError(message("desk-work-after-missing", title=title))
    if grade == "none":
        if not readings and not has_photo:
            raise FieldError(message("desk-work-evidence-missing", title=title))
        measured, rules = judged_after(snapshot, item, readings, today), snapshot.texts["rules"]
        if measured["problems"]:
            why = say(measured["problems"][0]["said"], rules)
            raise FieldError(message("desk-work-reading-wrong", title=title, why=why))
        if measured["grade"] in FAULTS:
            reason = say(measured["reasons"][0]["said"], rules)
            grade_word = text(f"grade-{measured['grade']}")
            raise FieldError(
                message("desk-work-not-fixed", title=title, grade=grade_word, reason=reason)
            )
    return [*puts, (f"work/{job}/after/{item}/grade", {"grade": grade})]
