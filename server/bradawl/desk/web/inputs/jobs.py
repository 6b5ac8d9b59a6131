"""The forms of the list of jobs: a job's place, what is put off, a weekend's hours."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.plan.schedule import MOST_WEEKEND
from bradawl.desk.model.plan.types import Job, Plan
from bradawl.desk.model.typed_values import FieldError, Problems, day, hours, reading
from bradawl.desk.web import forms
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs.plan import hundredths
from bradawl.language import message, text


def moved(snapshot: Snapshot, plan: Plan, move: str) -> Puts:
    """The pins after "earlier <job>", "later <job>", "to <place> <job>" or "free <job>".

    Who was pinned to that place takes the one that was left.
    """
    how, _, job = move.partition(" ")
    order = plan.schedule.found["order"]
    place = 0
    if how == "to":
        typed, _, job = job.partition(" ")
        place = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 5 else 0
    if job not in order:
        return []
    if how == "free":
        return change_to(snapshot, f"plan/pin/{job}", None)
    now = order.index(job) + 1
    place = {"earlier": now - 1, "later": now + 1}.get(how, place)
    if not 1 <= place <= len(order):
        return []
    puts = change_to(snapshot, f"plan/pin/{job}", place)
    for other, pinned in plan.schedule.pins.items():
        if other != job and pinned == place:
            puts += change_to(snapshot, f"plan/pin/{other}", now)
    return puts


def put_off(snapshot: Snapshot, plan: Plan, form: FormData, problems: Problems, today: str) -> Puts:
    """A temporary fix, or left for later, for one job of the plan; or the job back in the list."""
    job = forms.text(form, "job", 160)
    temporary, left = f"plan/temporary/{job}", f"plan/left/{job}"
    if forms.is_ticked(form, "back"):
        return change_to(snapshot, temporary, None) + change_to(snapshot, left, None)
    value: dict[str, Any] = {}
    with problems.of("what"):
        what, ends = forms.text(form, "what", 300), forms.text(form, "ends", 300)
        if not what:
            raise FieldError(message("desk-order-hold-what-missing"))
        if forms.text(form, "kind", 10) == "left":
            value = {"why": what, "back": ends, "told": forms.is_ticked(form, "told")}
            value |= _named(snapshot, next(one for one in plan.jobs if one.id == job))
            return change_to(snapshot, left, value) + change_to(snapshot, temporary, None)
        value = {"what": what, "ends": ends, "since": today}
    with problems.of("until"):
        until = forms.date_text(form, "until")
        if until:
            value["until_date"] = day(until, text("desk-order-hold-until"))
    with problems.of("odometer"):
        odometer = forms.text(form, "odometer", 20)
        if odometer:
            unit = forms.text(form, "odometer-unit", 4) or "mi"
            value["until_odometer"] = reading(odometer, unit, text("desk-path-car-odometer"))
    if not problems and not {"until_date", "until_odometer"} & set(value):
        with problems.of("until"):
            raise FieldError(message("desk-order-hold-until-missing"))
    return change_to(snapshot, temporary, value) + change_to(snapshot, left, None)


def _named(snapshot: Snapshot, job: Job) -> dict[str, Any]:
    """What a job is called and what it puts right, for who reads of it without the plan."""
    wish = cell_values.mapping(cell_values.value(snapshot.cells, f"plan/{job.id}"))
    named = {key: wish[key] for key in ("cause", "titles") if job.own and key in wish}
    return named | {"title": job.typed_title, "items": list(job.items)}


def weekend_change(snapshot: Snapshot, form: FormData, problems: Problems) -> Puts:
    """The hours of a weekend as they were typed."""
    if "weekend" not in form:
        return []
    with problems.of("weekend"):
        typed = forms.text(form, "weekend", 20)
        value = hours(typed, text("desk-order-weekend")) if typed else None
        if value is not None and hundredths(value) > MOST_WEEKEND:
            raise FieldError(message("desk-order-weekend-most", most=MOST_WEEKEND // 100))
        stands = cell_values.text(cell_values.value(snapshot.cells, "plan/weekend_hours"))
        what = text("desk-order-weekend")
        if forms.is_changed(form, "weekend", value or "", stands, what, problems):
            return change_to(snapshot, "plan/weekend_hours", value)
    return []
