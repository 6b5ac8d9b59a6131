"""Builds the plan of one visit: its findings, their remedies as edited, the jobs in their order.

The arithmetic is the judge's (`judge/costs/`); here the record is read and put before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

from bradawl.desk.model import findings, recorded
from bradawl.desk.model.labels import item_of, item_title
from bradawl.desk.model.plan import work_order
from bradawl.desk.model.plan.classes import class_of
from bradawl.desk.model.plan.recorded import (
    labor_is_paid,
    maintenance_of,
    periods_of,
    rate_of,
    work_done,
)
from bradawl.desk.model.plan.schedule import for_spread, month_hours, schedule_of, tiers_of
from bradawl.desk.model.plan.types import Finding, Job, Plan, Remedy
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.standing import grade_now
from bradawl.judge.costs import plan as arithmetic
from bradawl.judge.costs import remedies as judge
from bradawl.judge.values.grades import SEVERITY
from bradawl.language import argument

if TYPE_CHECKING:
    from bradawl.judge.values.types import (
        Cells,
        Fitness,
        Grade,
        JobClass,
        NeededWork,
        Offer,
        OpenFinding,
    )
    from bradawl.judge.values.types import Job as JudgedJob

__all__ = ["plan_of", "work_of"]


def plan_of(snapshot: Snapshot) -> Plan:
    """The plan as the record stands."""
    rate, assumed = rate_of(snapshot)
    work = work_of(snapshot, rate)
    remedies = {offer["id"]: _remedy(offer, work, snapshot) for offer in work["offers"]}
    faults = _findings(snapshot, remedies, set(work["standing"]))
    standing = [finding for finding in faults if not finding.closed]
    jobs = _with_practice(
        snapshot, _jobs(snapshot, standing, work, remedies) + _wishes(snapshot, rate)
    )
    order = arithmetic.order([_for_judge(job) for job in jobs])
    periods = periods_of(snapshot)
    schedule = schedule_of(snapshot, jobs, periods)
    ordered = schedule.jobs
    before, steps, sound = _steps(snapshot, standing, ordered)
    return Plan(
        currency=cell_values.currency(snapshot.cells),
        rate=rate,
        rate_assumed=assumed,
        findings=faults,
        remedies=remedies,
        proven=work["proven"],
        uncovered=[fault.item for fault in standing if fault.item in work["uncovered"]],
        chosen=sorted(name for name in work["chosen"] if name in remedies),
        without_loss=sorted(
            name for name in work_of(snapshot, rate, 0)["chosen"] if name in remedies
        ),
        jobs=ordered,
        order=order,
        periods=periods,
        spread=arithmetic.spread(
            for_spread(schedule.open),
            [int(period["budget"]) for period in periods],
            month_hours(schedule.weekend_hundredths, len(periods)),
        ),
        schedule=schedule,
        steps=steps,
        sound=sound,
        before=before,
        unseen=sorted(set(before["because"]) - {fault.item for fault in standing}),
        budget=cell_values.whole(recorded.value(snapshot, "brief/budget")),
        asking=cell_values.whole(recorded.value(snapshot, "about/asking_price")),
        deadline=cell_values.text(recorded.value(snapshot, "brief/deadline")),
        labor_paid=labor_is_paid(snapshot),
    )


def work_of(
    snapshot: Snapshot,
    rate: int,
    percent: int | None = None,
    *,
    told: Mapping[str, Any] | None = None,
    without: str = "",
) -> NeededWork:
    """The judge's choice among the remedies of the record (`judge/costs/remedies.py`).

    `told` are values that stand in the place of those recorded, `without` an offer left out.
    """
    cells: Cells = {**snapshot.cells}
    for path, value in (told or {}).items():
        cells[path] = {"value": value, "at": "", "others": []}
    return judge.work(
        snapshot.assessment["findings"],
        snapshot.assessment["items"],
        maintenance_of(snapshot),
        snapshot.rules,
        cells,
        {"rate": rate, "percent": judge.percent(cells) if percent is None else percent},
        without,
    )


def _remedy(offer: Offer, work: NeededWork, snapshot: Snapshot) -> Remedy:
    graded = snapshot.assessment["findings"]
    return Remedy(
        id=offer["id"],
        item=offer["item"],
        title=_title(offer, snapshot),
        typed_title=_typed_title(offer),
        kind=offer["kind"],
        parts=offer["parts"],
        hours=offer["hours"],
        # picked for what must be mended, a wish is a need
        need=offer["need"] or bool(work["chosen"].get(offer["id"])),
        loss=offer["loss"],
        counted=offer["counted"],
        covers=sorted(item for item in offer["covers"] if item in graded),
        origin=offer["origin"],
        cost=offer["cost"],
        pieces=offer.get("pieces", 0),
        tips_at=offer.get("tips_at", 0),
        no_figure=bool(offer.get("no_figure")),
        is_shifted=_is_shifted(offer, snapshot),
    )


def _is_shifted(offer: Offer, snapshot: Snapshot) -> bool:
    return offer["origin"] == "checklist" and offer["id"] in snapshot.learned


def base_of(snapshot: Snapshot, job: str) -> dict[str, Any] | None:
    """What a job would be expected to take without quotes and without what the shop learned."""
    cells = {path: cell for path, cell in snapshot.cells.items() if not path.startswith("parts/")}
    plain = replace(snapshot, cells=cells, learned={})
    work = work_of(plain, rate_of(plain)[0])
    found = {offer["id"]: offer for offer in work["offers"] + work["due"]}.get(job)
    return {"parts": found["parts"], "hours": found["hours"]} if found else None


def _title(offer: Offer, snapshot: Snapshot) -> str:
    """What the checklist calls a piece of work, to who reads now, or what somebody typed."""
    return str(argument(offer["title"], snapshot.texts["rules"]))


def _typed_title(offer: Offer) -> str:
    return offer["title"] if isinstance(offer["title"], str) else ""


def _findings(
    snapshot: Snapshot, remedies: Mapping[str, Remedy], standing: set[str]
) -> list[Finding]:
    judged = snapshot.assessment.get("items", {})
    rules = snapshot.rules["items"]
    areas = {area["id"]: area["title"] for area in snapshot.texts.get("areas", ())}
    # maintenance has its own list, where a receipt answers it
    serviced = {str(row["item"]) for row in maintenance_of(snapshot)}
    rows = []
    for item in snapshot.assessment.get("findings", ()):
        if item in serviced:
            continue
        # what only a mended fault made worse is as bad as it is by itself
        is_closed = item not in standing
        grade = (
            judged[item]["grade"] if is_closed else grade_now(snapshot.assessment, item)
        ) or "none"
        rule = rules[item]
        area = rule["area"]
        choice = cell_values.text(recorded.value(snapshot, f"items/{item}/choice"))
        job_class = cell_values.text(recorded.value(snapshot, f"plan/class/{item}"))
        chosen = job_class in arithmetic.CLASSES
        rows.append(
            Finding(
                item=item,
                title=item_title(snapshot.texts, item),
                area=areas.get(area, area),
                grade=grade,
                job_class=job_class if chosen else class_of(rule, grade, choice),
                class_chosen=chosen,
                remedies=[remedy for remedy in remedies.values() if remedy.item == item],
                pick=cell_values.text(recorded.value(snapshot, f"plan/pick/{item}")),
                after=cell_values.texts(recorded.value(snapshot, f"plan/after/{item}")),
                closed=is_closed,
            )
        )
    return sorted(rows, key=lambda row: (findings.severity_order(row.grade), row.area, row.title))


def _jobs(
    snapshot: Snapshot,
    standing: list[Finding],
    work: NeededWork,
    remedies: Mapping[str, Remedy],
) -> list[Job]:
    """The chosen remedies and the maintenance, each with the findings that it puts right."""
    by_item = {fault.item: fault for fault in standing}
    does: dict[str, list[str]] = {
        offer["id"]: [item for item in sorted(offer["covers"]) if item in by_item]
        for offer in work["offers"] + work["due"]
        if offer["id"] in work["chosen"] and not offer["id"].startswith("wants/")
    }
    offers = {offer["id"]: offer for offer in work["offers"] + work["due"]}
    job_of = {item: name for name, items in does.items() for item in items}
    why = work_order.reasons_to_wait(does, job_of)
    jobs = []
    for name, items in does.items():
        faults = [by_item[item] for item in items]
        service = name not in remedies
        if not faults and not service:
            continue
        after = {job_of[other] for fault in faults for other in fault.after if other in job_of}
        offer = offers[name]
        classes = [fault.job_class for fault in faults] + (["reliability"] if service else [])
        jobs.append(
            Job(
                id=name,
                title=_title(offer, snapshot),
                typed_title=_typed_title(offer),
                items=items,
                kind="part" if service else offer["kind"],
                need=work["chosen"][name],
                job_class=min(classes, key=arithmetic.CLASSES.index),
                grade=max((fault.grade for fault in faults), key=SEVERITY.index, default="none"),
                after=sorted(after - {name}),
                why={other: told for other, told in why[name].items() if other not in after},
                cost=offer["cost"],
                parts=offer["parts"],
                hours=offer["hours"],
                loss=offer["loss"],
                counted=offer["counted"],
                labor_paid=labor_is_paid(snapshot),
                is_shifted=_is_shifted(offer, snapshot),
                services=[
                    _title(other, snapshot)
                    for other in work["due"]
                    if other["id"] in offer["covers"] and other["id"] != name
                ],
            )
        )
    return jobs


def _with_practice(snapshot: Snapshot, jobs: list[Job]) -> list[Job]:
    """The jobs, each behind what practice puts first of the same class or a more urgent one.

    What is less urgent never holds up what is more: there practice is a warning.
    """
    tiers = tiers_of(cell_values.uses(snapshot.cells))
    rank = {job.id: tiers.index(job.job_class) for job in jobs}
    return [
        replace(
            job,
            after=sorted({*job.after, *(name for name in job.why if rank[name] <= rank[job.id])}),
        )
        for job in jobs
    ]


def _wishes(snapshot: Snapshot, rate: int) -> list[Job]:
    """What somebody wants, or needs, although no finding asks for it: `plan/wants/<word>`."""
    percent = judge.percent(snapshot.cells)
    jobs = []
    for path, cell in sorted(snapshot.cells.items()):
        stored = cell_values.mapping(cell["value"])
        name = path.removeprefix("plan/")
        if not path.startswith("plan/wants/") or not stored or work_done(snapshot, name):
            continue
        wish = judge.checked(name, "", dict(stored), "own")
        if wish is None:
            continue
        counted = (wish["loss"] * percent + 50) // 100
        job_class = cell_values.text(stored.get("class"))
        jobs.append(
            Job(
                id=name,
                title=str(argument(judge.wanted_title(dict(stored)), snapshot.texts["rules"])),
                typed_title=wish["title"],
                items=[],
                kind="part",
                need=stored.get("need") is True,
                job_class=job_class if job_class in arithmetic.CLASSES else "comfort",
                grade="none",
                after=[],
                cost=arithmetic.price(wish["parts"], wish["hours"], rate, counted),
                parts=wish["parts"],
                hours=wish["hours"],
                loss=wish["loss"],
                counted=counted,
                labor_paid=labor_is_paid(snapshot),
                uses=cell_values.texts(stored.get("uses")),
            )
        )
    return jobs


def _for_judge(job: Job) -> JudgedJob:
    """A job as the judge's order and spread read it."""
    return {
        "id": job.id,
        "class": cast("JobClass", job.job_class),
        "grade": job.grade,
        "after": job.after,
        "cost": job.paid,
    }


def _steps(
    snapshot: Snapshot, standing: list[Finding], jobs: list[Job]
) -> tuple[Fitness, list[Fitness], list[Fitness]]:
    """What the car may be used for before any job; after each; after each if the rest is sound."""
    wanted = cell_values.uses(snapshot.cells)
    still = [_as_open(snapshot, fault.item, fault.grade) for fault in standing]
    unseen = [
        _as_open(snapshot, item, "uninspected")
        for item, judgment in snapshot.assessment.get("items", {}).items()
        if judgment.get("applies", True)
        and judgment.get("state") in ("open", "uninspected")
        and grade_now(snapshot.assessment, item) != "none"
    ]
    before = arithmetic.fit_for(still + unseen, wanted)
    steps, sound = [], []
    for job in jobs:
        still = [fault for fault in still if fault["item"] not in job.items]
        unseen = [fault for fault in unseen if fault["item"] not in job.items]
        steps.append(arithmetic.fit_for(still + unseen, wanted))
        sound.append(arithmetic.fit_for(still, wanted))
    return before, steps, sound


def _as_open(snapshot: Snapshot, item: str, grade: Grade) -> OpenFinding:
    rule = item_of(snapshot.texts, item) or {}
    return {
        "item": item,
        "grade": grade,
        "drive": rule.get("drive", "no"),
        "danger": int(rule.get("danger", 0)),
        "weight": rule.get("weight", {}),
    }
