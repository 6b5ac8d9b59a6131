"""The list of jobs: its order on two budgets, what is held by a temporary fix or left for later."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import TYPE_CHECKING, Any, cast

from bradawl.desk.model import recorded
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.plan.types import Held, Job, Plan, Schedule
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic
from bradawl.judge.costs.jobs.sequence import WEEKENDS_A_YEAR
from bradawl.judge.ledger import parts_list
from bradawl.judge.record.visit_facts import distance_km
from bradawl.judge.values import exact

if TYPE_CHECKING:
    from bradawl.judge.values.types import Grade, JobClass, Pace, PartsLine, SequencedJob
    from bradawl.judge.values.types import Job as JudgedJob

#: How grave a fault is, beside how much the use of the car asks of it (1 to 5).
_GRAVE: dict[Grade, int] = {"dangerous": 8, "major": 4, "minor": 2}
USUAL = 2
MOST_SAVED_FOR = 3  # told of above the list; each job has its month beside it
MOST_WEEKEND = 7200  # hundredths of an hour: three days
#: Uses by which looks count for more than comfort.
_SHOWN = ("show", "resale")


def schedule_of(snapshot: Snapshot, jobs: list[Job], periods: list[dict[str, Any]]) -> Schedule:
    """The jobs as they are to be done: danger first, each budget at its own pace."""
    held = {job.id: found for job in jobs if (found := held_of(snapshot, job.id))}
    open_jobs = [job for job in jobs if job.id not in held or held[job.id].is_due]
    pins = {
        job.id: place
        for job in open_jobs
        if (place := cell_values.whole(recorded.value(snapshot, f"plan/pin/{job.id}"), 1))
    }
    weekend = weekend_of(snapshot)
    pace: Pace = {
        "months": [int(period["budget"]) for period in periods],
        "weekend_hundredths": weekend,
    }
    uses = cell_values.uses(snapshot.cells)
    best = arithmetic.best([_sequenced(snapshot, job, uses) for job in open_jobs], pins, pace)
    by_id = {job.id: job for job in open_jobs}
    ordered = [by_id[name] for name in best["order"]]
    months = pace["months"]
    return Schedule(
        jobs=ordered + [job for job in jobs if job.id not in by_id],
        found=best,
        pins=pins,
        held=held,
        weekend_hundredths=weekend,
        this_month=_first(for_spread(ordered, _paid), months) if months else None,
        this_weekend=_first(for_spread(ordered, _mine), _weekends(ordered, weekend))
        if weekend
        else None,
        warnings=_warnings(ordered),
    )


def _warnings(ordered: list[Job]) -> dict[str, dict[str, str]]:
    place = {job.id: n for n, job in enumerate(ordered)}
    return {
        job.id: {name: why for name, why in job.why.items() if place.get(name, -1) > place[job.id]}
        for job in ordered
    }


def _mine(job: Job) -> int:
    """The hours that it takes of my own weekends, in hundredths."""
    return 0 if job.labor_paid else job.hours_hundredths


def _paid(job: Job) -> int:
    return max(job.paid, 0)


def for_spread(ordered: list[Job], cost: Callable[[Job], int] = _paid) -> list[JudgedJob]:
    """Jobs in their order as they are spread; each waits for those of its own before it."""
    place = {job.id: n for n, job in enumerate(ordered)}
    return [
        {
            "id": job.id,
            "class": cast("JobClass", job.job_class),
            "grade": job.grade,
            "after": [name for name in job.after if place.get(name, n) < n],
            "cost": cost(job),
            "hours": _mine(job),
        }
        for n, job in enumerate(ordered)
    ]


def _first(jobs: list[JudgedJob], budgets: list[int]) -> set[str]:
    """The jobs that the first of some budgets bears, without delaying any that stands before."""
    period = arithmetic.spread(jobs, budgets)["period"]
    return {name for name, n in period.items() if n == 0}


def _weekends(ordered: list[Job], weekend: int) -> list[int]:
    """As many weekends as all jobs take."""
    hours = sum(_mine(job) for job in ordered)
    return [weekend] * (hours // weekend + 1)


def month_hours(weekend: int, months: int) -> list[int] | None:
    """The hours of each month, in hundredths; None where nobody said what a weekend has."""
    if not weekend:
        return None
    by_then = [n * weekend * WEEKENDS_A_YEAR // 12 for n in range(months + 1)]
    return [after - before for before, after in pairwise(by_then)]


def saved_for(plan: Plan) -> list[dict[str, Any]]:
    """The jobs that smaller ones stand behind and are done before, with what those take of it.

    Those that the months never pay come first, each with what the smaller ones take.
    """
    found = []
    jobs = plan.schedule.open
    last = len(plan.periods)
    when = [plan.spread["period"].get(job.id, last) for job in jobs]
    for n, job in enumerate(jobs):
        earlier = [other for m, other in enumerate(jobs) if m > n and when[m] < when[n]]
        if earlier:
            never = when[n] == last
            takes = sum(_paid(other) for other in earlier) if never else 0
            found.append({"job": job, "meanwhile": earlier, "never": never, "takes": takes})
    return sorted(found, key=lambda row: not row["never"])[:MOST_SAVED_FOR]


def weekend_of(snapshot: Snapshot) -> int:
    """The hours of a weekend, in hundredths; 0 where nobody said."""
    typed = cell_values.text(recorded.value(snapshot, "plan/weekend_hours"))
    try:
        hours = arithmetic.hundredths(typed)
    except arithmetic.NotHours:
        return 0
    return hours if hours <= MOST_WEEKEND else 0


def tiers_of(uses: list[str]) -> list[str]:
    """The classes of work in their order: looks before comfort of a car that is shown or sold."""
    tiers: list[str] = list(arithmetic.CLASSES)
    if any(use in _SHOWN for use in uses):
        tiers = [*tiers[:-2], tiers[-1], tiers[-2]]
    return tiers


def _sequenced(snapshot: Snapshot, job: Job, uses: list[str]) -> SequencedJob:
    rules = snapshot.rules["items"]
    asked = [
        int((rules[item].get("weight") or {}).get(use, USUAL))
        for item in job.items
        if item in rules
        for use in uses
    ]
    return {
        "id": job.id,
        "tier": tiers_of(uses).index(job.job_class),
        "weight": _GRAVE.get(job.grade, 1) * max([1, *asked] if asked else [USUAL]),
        "cost": max(job.paid, 0),
        "hours": _mine(job),
        "after": job.after,
    }


def held_of(snapshot: Snapshot, job: str) -> Held | None:
    """What holds a job back: a temporary fix, or that it was left for later; None if nothing."""
    fix = cell_values.mapping(recorded.value(snapshot, f"plan/temporary/{job}"))
    if fix:
        date, until = cell_values.text(fix.get("until_date")), fix.get("until_odometer")
        return Held(
            kind="temporary",
            what=cell_values.text(fix.get("what")),
            ends=cell_values.text(fix.get("ends")),
            until_date=date,
            until_odometer=cell_values.mapping(until),
            is_due=_is_past(snapshot, date, until),
        )
    left = cell_values.mapping(recorded.value(snapshot, f"plan/left/{job}"))
    if left:
        return Held(
            kind="left",
            what=cell_values.text(left.get("why")),
            ends=cell_values.text(left.get("back")),
            told=left.get("told") is True,
        )
    return None


def _is_past(snapshot: Snapshot, date: str, until: Any) -> bool:
    """Whether the day has come, or the car has gone that far."""
    if date and date <= snapshot.day:
        return True
    limit = distance_km(until)
    if limit is None:
        return False
    read = [snapshot.cells["car/odometer"]["value"]] if "car/odometer" in snapshot.cells else []
    read += [
        cell_values.mapping(cell["value"]).get("odometer")
        for path, cell in snapshot.cells.items()
        if path.startswith("work/") and "/done" in path
    ]
    gone = [distance for value in read if (distance := distance_km(value)) is not None]
    return any(not exact.less(distance, limit) for distance in gone)


def next_jobs(snapshot: Snapshot, plan: Plan, most: int = 3) -> list[dict[str, Any]]:
    """The next jobs, each with what it waits for: parts, money, hours, another job."""
    schedule = plan.schedule
    titles = {job.id: job.title for job in schedule.open}
    awaited: dict[str, list[PartsLine]] = {}
    for line in parts_list.lines(snapshot.cells):
        if line["state"] == "ordered" and not line["removed"]:
            awaited.setdefault(line["job"], []).append(line)
    return [
        {
            "job": job,
            "findings": [item_title(snapshot.texts, item) for item in job.items],
            "parts": awaited.get(job.id, []),
            "money": schedule.this_month is not None and job.id not in schedule.this_month,
            "hours": schedule.this_weekend is not None and job.id not in schedule.this_weekend,
            "jobs": [titles[name] for name in job.after if name in titles],
        }
        for job in schedule.open[:most]
    ]
