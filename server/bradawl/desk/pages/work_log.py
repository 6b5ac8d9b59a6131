"""The work log: jobs done, with evidence. A finding closes by what was found afterwards."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData, UploadFile

from bradawl.common.errors import ApiError
from bradawl.desk.model import findings, remedies
from bradawl.desk.model.labels import item_of, item_title, reading_text, reading_title, words_of
from bradawl.desk.pages.plan import Puts
from bradawl.desk.web import forms
from bradawl.desk.web.forms import FieldError
from bradawl.desk.web.visit_page import Asked, Sent, asked_of, render_visit, sent_to
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import judge_item, visit_facts

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

PHOTO_LIMIT_BYTES = 40 * 2**20
AFTER = {"none": "put right", "minor": "still minor", "major": "still major"}


def add(pages: APIRouter, desk: "Desk") -> None:
    """The work log's page and what it posts to."""
    page_asked = Annotated[Asked, Depends(asked_of(desk))]
    form_sent = Annotated[Sent, Depends(sent_to(desk))]

    @pages.get("/visits/{visit}/work")
    def page(asked: page_asked) -> Response:
        plan = remedies.plan_of(asked.snapshot)
        photos = findings.photos_of(asked.snapshot)
        return render_visit(
            asked,
            "plan/work.html",
            tab="work",
            plan=plan,
            open_jobs=[job_fields(asked.snapshot, job) for job in plan.jobs],
            done=done_jobs(asked.snapshot),
            today=desk.today(),
            after=AFTER,
            missing=set(desk.photos_missing(photos)),
            zone=findings.zone_of(asked.snapshot),
            name_of=desk.name_of,
        )

    @pages.post("/visits/{visit}/work")
    def save(sent: form_sent) -> Response:
        job = forms.text(sent.form, "job", 160)
        known = {one.id: one for one in remedies.plan_of(sent.snapshot).jobs}
        if job not in known:
            raise forms.stale("This job is no longer in the plan; look at the plan again.")
        uploads = photos_typed(sent.form, sent.problems)
        puts = done_typed(
            sent.snapshot, sent.form, known[job], bool(uploads), desk.today(), sent.problems
        )
        puts += photos_kept(desk, sent, uploads, f"work/{job}")
        if sent.problems:
            return page(sent)
        desk.log.append(sent.device, sent.visit, puts)
        return forms.back(f"/desk/visits/{sent.visit}/work#done")


def photos_kept(desk: "Desk", sent: Sent, uploads: list[tuple[str, bytes]], under: str) -> Puts:
    """Keep photos that came with a form that has no problem so far; the puts that name them."""
    puts: Puts = []
    for name, data in uploads if not sent.problems else ():
        with sent.problems.of("photo"):
            try:
                sha256 = desk.keep_photo(data, sent.device)
            except ApiError as error:
                raise FieldError(f"“{name}” is not kept: {error.message}") from error
            caption = forms.text(sent.form, "caption", 200) or name
            puts.append((f"{under}/photos/{sha256}", {"caption": caption, "bytes": len(data)}))
    return puts


def job_fields(snapshot: Snapshot, job: remedies.Job) -> dict[str, Any]:
    """A planned job with, per finding, the readings that can be taken again."""
    rows = []
    cautions: dict[str, str] = {}
    for item in job.items:
        rule = item_of(snapshot.bundle, item) or {}
        for caution in rule.get("cautions", ()):
            told = snapshot.bundle.get("cautions", {}).get(caution, {})
            cautions[caution] = str(told.get("text", words_of(caution)))
        rows.append(
            {
                "item": item,
                "title": item_title(snapshot.bundle, item),
                "grade": snapshot.assessment["items"][item]["grade"],
                "readings": [
                    {
                        "name": f"{item}/readings/{reading['id']}/{place}",
                        "title": reading["title"]
                        + ("" if place == "one" else f", {words_of(place)}"),
                        "units": reading.get("units", []),
                    }
                    for reading in rule.get("readings", ())
                    for place in (reading.get("at") or ["one"])
                ],
            }
        )
    return {"job": job, "items": rows, "cautions": list(cautions.values())}


def photos_typed(form: FormData, problems: forms.Problems) -> list[tuple[str, bytes]]:
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


def done_typed(
    snapshot: Snapshot,
    form: FormData,
    job: remedies.Job,
    has_photo: bool,
    today: str,
    problems: forms.Problems,
) -> Puts:
    """The puts for a finished job: what was done, and what was found on each item afterwards."""
    done: dict[str, Any] = {"title": job.title, "items": job.items}
    with problems.of("date"):
        done["date"] = forms.day(forms.text(form, "date", 20) or today, "Done on")
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
            done["cost"] = forms.amount(cost, "Cost")
    for name in ("parts", "note"):
        with problems.of(name):
            done[name] = forms.text(form, name, 1000)
    puts: Puts = [(f"work/{job.id}/done", done)]
    for item in job.items:
        with problems.of(item):
            puts += after_typed(snapshot, form, job.id, item, has_photo, today)
    return puts


def after_typed(
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
        if measured["grade"] in ("minor", "major", "dangerous"):
            reason = measured["reasons"][0]["text"] if measured["reasons"] else ""
            raise FieldError(
                f"{title} is not put right: by the new reading it is {measured['grade']}. {reason}"
            )
    return [*puts, (f"work/{job}/after/{item}/grade", {"grade": grade})]


def judged_after(
    snapshot: Snapshot, item: str, readings: Mapping[str, Mapping[str, str]], today: str
) -> dict[str, Any]:
    """The judge's word on an item by its new readings alone."""
    facts = visit_facts(snapshot.cells, today)
    cells = {
        f"items/{path}": {"value": dict(value), "at": "", "others": []}
        for path, value in readings.items()
    }
    judged: dict[str, Any] = judge_item(item, cells, snapshot.bundle["rules"], facts)
    return judged


def done_jobs(snapshot: Snapshot) -> list[dict[str, Any]]:
    """Every finished job, the newest first, each finding before and after."""
    rows = []
    for path, cell in snapshot.cells.items():
        if not (path.startswith("work/") and path.endswith("/done")):
            continue
        value = cell_values.done(cell["value"])
        if value is None:
            continue
        job = path.removeprefix("work/").removesuffix("/done")
        rows.append(
            {
                "job": job,
                "at": cell["at"],
                "device": findings.author_of(cell["at"]),
                "title": value.title or words_of(job.rpartition("/")[2]),
                "date": value.date,
                "by": value.by,
                "parts": value.parts,
                "note": value.note,
                "cost": value.cost,
                "odometer": reading_text(asdict(value.odometer)) if value.odometer else "",
                "items": [before_and_after(snapshot, job, item) for item in value.items],
                "photos": [
                    findings.photo_view(other.rsplit("/", 1)[1], held["value"])
                    for other, held in sorted(snapshot.cells.items())
                    if other.startswith(f"work/{job}/photos/") and held["value"] is not None
                ],
            }
        )
    return sorted(rows, key=lambda row: (row["date"], row["at"]), reverse=True)


def before_and_after(snapshot: Snapshot, job: str, item: str) -> dict[str, Any]:
    """One finding as it was inspected and as it was left by a job."""
    rule = item_of(snapshot.bundle, item)
    prefix = f"work/{job}/after/{item}/"
    after = cell_values.given(findings.value(snapshot, f"{prefix}grade"))
    shown = findings.item_view(snapshot, item)
    return {
        "item": item,
        "title": shown["title"],
        "before": shown["grade"],
        "readings_before": shown["readings"],
        "after": after.grade or None,
        "readings_after": [
            {
                "title": reading_title(rule, path.split("/")[-2]),
                "place": "" if path.endswith("/one") else words_of(path.split("/")[-1]),
                "text": reading_text(cell["value"]),
            }
            for path, cell in sorted(snapshot.cells.items())
            if path.startswith(f"{prefix}readings/") and cell["value"] is not None
        ],
    }
