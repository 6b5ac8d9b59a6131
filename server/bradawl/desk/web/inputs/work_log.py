"""The form of a finished job: what was done, by whom, what was found afterwards, photos."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData, UploadFile

from bradawl.common.errors import ApiError
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.log import keep_photo
from bradawl.desk.model.plan.types import Job
from bradawl.desk.model.plan.work_log import AFTER, judged_after
from bradawl.desk.model.typed_values import FieldError, Problems, amount, day
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.values.words import FAULTS

PHOTO_LIMIT_BYTES = 40 * 2**20


def photos_typed(form: FormData, problems: Problems) -> list[tuple[str, bytes]]:
    """The uploaded photos as (file name, bytes)."""
    uploads = []
    for upload in form.getlist("photo"):
        if not isinstance(upload, UploadFile) or not upload.filename:
            continue
        data = upload.file.read(PHOTO_LIMIT_BYTES + 1)
        with problems.of("photo"):
            if len(data) > PHOTO_LIMIT_BYTES:
                raise FieldError(f"“{upload.filename}” is larger than 40 MB; send a smaller photo.")
            if not data.startswith((b"\xff\xd8\xff", b"\x89PNG", b"RIFF")) and data[4:8] != b"ftyp":
                raise FieldError(
                    f"“{upload.filename}” is no photo: JPEG, PNG, WebP and HEIC are read."
                )
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
                raise FieldError(f"“{name}” is not kept: {error.message}") from error
            caption = forms.text(posted.form, "caption", 200) or name
            puts.append((f"{under}/photos/{sha256}", {"caption": caption, "bytes": len(data)}))
    return puts


def done_typed(posted: FormRequest, job: Job, *, has_photo: bool) -> Puts:
    """The puts for a finished job: what was done, and what was found on each item afterwards."""
    form, problems, today = posted.form, posted.problems, posted.desk.today()
    done: dict[str, Any] = {"title": job.title, "items": job.items}
    with problems.of("date"):
        done["date"] = day(forms.text(form, "date", 20) or today, "Done on")
        if done["date"] > today:
            raise FieldError(f"Done on: {done['date']} is still to come; note it when it is done.")
    with problems.of("by"):
        done["by"] = forms.text(form, "by", 80)
        if not done["by"]:
            raise FieldError("Who did the work? Write a name.")
    odometer = forms.text(form, "odometer", 20)
    if odometer:
        done["odometer"] = {"typed": odometer, "unit": forms.text(form, "odometer-unit", 4) or "km"}
    with problems.of("cost"):
        cost = forms.text(form, "cost", 20)
        if cost:
            done["cost"] = amount(cost, "Cost")
    for name in ("parts", "note"):
        with problems.of(name):
            done[name] = forms.text(form, name, 1000)
    puts: Puts = [(f"work/{job.id}/done", done)]
    for item in job.items:
        with problems.of(item):
            puts += _after_typed(posted.snapshot, form, job.id, item, has_photo, today)
    return puts


def _after_typed(
    snapshot: Snapshot, form: FormData, job: str, item: str, has_photo: bool, today: str
) -> Puts:
    """What was found on one item afterwards. Raises FieldError when evidence is missing."""
    title = item_title(snapshot.bundle, item)
    grade = forms.text(form, f"{item}/grade", 20)
    readings = {}
    for field in form:
        if field.startswith(f"{item}/readings/") and not field.endswith(":unit"):
            typed = forms.text(form, field, 40)
            if typed:
                unit = forms.text(form, f"{field}:unit", 12)
                readings[field] = {"typed": typed, **({"unit": unit} if unit else {})}
    puts: Puts = [(f"work/{job}/after/{field}", value) for field, value in readings.items()]
    if not grade:
        return puts
    if grade not in AFTER:
        raise FieldError(f"{title}: choose what was found afterwards.")
    if grade == "none":
        if not readings and not has_photo:
            raise FieldError(
                f"{title}: a fault closes by evidence; take a reading again or add a photo."
            )
        measured = judged_after(snapshot, item, readings, today)
        if measured["problems"]:
            raise FieldError(f"{title}: {measured['problems'][0]['text']}")
        if measured["grade"] in FAULTS:
            reason = measured["reasons"][0]["text"] if measured["reasons"] else ""
            raise FieldError(
                f"{title} is not put right: by the new reading it is {measured['grade']}. {reason}"
            )
    return [*puts, (f"work/{job}/after/{item}/grade", {"grade": grade})]
