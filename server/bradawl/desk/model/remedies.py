"""From a snapshot to its plan: findings, their remedies as edited at the desk, what was chosen.

The arithmetic is the judge's (`judge/costs/plan.py`); here the record is read and put before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.desk.model import findings, work_order
from bradawl.desk.model.labels import item_of, item_title, words_of
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan
from bradawl.judge.costs import remedies as judge
from bradawl.judge.values.amounts import DEFAULT_HOURLY_RATE
from bradawl.judge.values.words import SEVERITY

KINDS = {"mend": "mend", "part": "part", "assembly": "assembly"}
CLASS_WORDS = {
    "danger": "danger",
    "reliability": "reliability",
    "decay": "stops decay",
    "comfort": "comfort",
    "looks": "looks",
}
#: Where the work on an area belongs when neither its grade nor the drive home says more.
CLASS_OF_AREA = {
    "rust": "decay",
    "interior": "comfort",
    "equipment": "comfort",
    "body": "looks",
    "accident": "looks",
    "papers": "reliability",
}


@dataclass(frozen=True)
class Remedy:
    """One way to put findings right. Money in whole units, hours as decimal text."""

    id: str  # "<item>/<word>"
    item: str
    title: str
    kind: str
    parts: list[int]
    hours: list[str]
    need: bool
    loss: int  # originality that it takes away, as money
    counted: int  # of it, what the brief lets count
    covers: list[str]
    origin: str  # checklist, edited or own
    cost: list[int]  # low, likely, high with labour and loss

    @property
    def expected(self) -> int:
        return plan.whole(plan.sixths(self.cost))


@dataclass(frozen=True)
class Finding:
    """A fault that stands, with everything that could put it right."""

    item: str
    title: str
    area: str
    grade: str
    job_class: str
    class_chosen: bool
    remedies: list[Remedy]
    pick: str  # a remedy a person chose, or ""
    after: list[str]
    closed: bool


@dataclass(frozen=True)
class Job:
    """Work to be done: a chosen remedy with the findings it puts right, or a wish."""

    id: str
    title: str
    items: list[str]
    kind: str
    need: bool
    job_class: str
    grade: str
    after: list[str]
    cost: list[int]
    parts: list[int]
    hours: list[str]
    loss: int = 0  # originality that it takes away, as money
    counted: int = 0  # of it, what the brief lets count
    services: list[str] = field(default_factory=list)  # due maintenance that it does as well
    uses: list[str] = field(default_factory=list)
    why: dict[str, str] = field(default_factory=dict)  # job that practice puts before: the reason

    @property
    def service(self) -> bool:
        """Whether it is due maintenance."""
        return self.id.startswith("baseline/")

    @property
    def own(self) -> bool:
        """Whether the desk wrote it without a finding that asks for it."""
        return self.id.startswith("wants/")

    @property
    def expected(self) -> int:
        return plan.whole(plan.sixths(self.cost))

    @property
    def paid(self) -> int:
        """The expected cost without lost originality, for which nobody sends a bill."""
        return self.expected - self.counted


@dataclass(frozen=True)
class Plan:
    """Everything the plan's pages show."""

    currency: str
    rate: int
    rate_assumed: bool
    findings: list[Finding]
    remedies: dict[str, Remedy]
    proven: bool  # whether the choice is known to be the cheapest
    uncovered: list[str]  # findings that no remedy puts right
    chosen: list[str]  # remedy ids, picks included, sorted
    without_loss: list[str]  # what would be chosen if originality cost nothing
    jobs: list[Job]  # in the order of work
    order: dict[str, Any]
    periods: list[dict[str, Any]]
    spread: dict[str, Any]
    steps: list[dict[str, Any]]  # per job: what the car may be used for after it
    sound: list[dict[str, Any]]  # the same if everything that nobody inspected proves sound
    before: dict[str, Any]  # the same before any job
    unseen: list[str]  # items that nobody inspected and the drive depends on
    budget: int | None  # for everything, the car included
    asking: int | None
    deadline: str

    @property
    def paid(self) -> int:
        """What all jobs together are expected to be paid for."""
        return self.total()["expected"] - sum(job.counted for job in self.jobs)

    def total(self, need: bool | None = None) -> dict[str, int]:
        """Low, likely, high and expected of the jobs: needs, wants or (None) all."""
        jobs = [job for job in self.jobs if need is None or job.need == need]
        cost = [sum(job.cost[n] for job in jobs) for n in range(3)]
        return {
            "jobs": len(jobs),
            "low": cost[0],
            "likely": cost[1],
            "high": cost[2],
            "expected": plan.whole(plan.sixths(cost)),
        }


def plan_of(snapshot: Snapshot) -> Plan:
    """The plan as the record stands."""
    rate, assumed = rate_of(snapshot)
    work = work_of(snapshot, rate, judge.percent(snapshot.cells))
    remedies = {offer["id"]: _remedy(offer, work, snapshot) for offer in work["offers"]}
    faults = _findings(snapshot, remedies, set(work["standing"]))
    standing = [one for one in faults if not one.closed]
    jobs = _jobs(snapshot, standing, work, remedies) + _wishes(snapshot, rate)
    order = plan.order([_plain(job) for job in jobs])
    by_id = {job.id: job for job in jobs}
    ordered = [by_id[name] for name in order["order"]]
    periods = periods_of(snapshot)
    before, steps, sound = _steps(snapshot, standing, ordered)
    return Plan(
        currency=cell_values.currency(snapshot.cells),
        rate=rate,
        rate_assumed=assumed,
        findings=faults,
        remedies=remedies,
        proven=work["proven"],
        uncovered=[one.item for one in standing if one.item in work["uncovered"]],
        chosen=sorted(name for name in work["chosen"] if name in remedies),
        without_loss=sorted(
            name for name in work_of(snapshot, rate, 0)["chosen"] if name in remedies
        ),
        jobs=ordered,
        order=order,
        periods=periods,
        spread=plan.spread(
            [_plain(job) for job in ordered], [int(one["budget"]) for one in periods]
        ),
        steps=steps,
        sound=sound,
        before=before,
        unseen=sorted(set(before["because"]) - {one.item for one in standing}),
        budget=_amount(snapshot, "brief/budget"),
        asking=_amount(snapshot, "about/asking_price"),
        deadline=cell_values.text(findings.value(snapshot, "brief/deadline")),
    )


def anchor(name: str) -> str:
    """The id on the plan's page of a finding or of a job of its own."""
    return name.replace("/", "-").replace(".", "-")


def work_of(snapshot: Snapshot, rate: int, percent: int) -> dict[str, Any]:
    """The judge's choice among the remedies of the record (`judge/costs/remedies.py`)."""
    rows = baseline_rows(snapshot)
    judged = snapshot.assessment.get("items", {})
    work: dict[str, Any] = judge.work(
        list(snapshot.assessment.get("findings", ())),
        judged,
        rows,
        snapshot.bundle["rules"],
        snapshot.cells,
        {"rate": rate, "percent": percent},
    )
    return work


def _remedy(offer: dict[str, Any], work: dict[str, Any], snapshot: Snapshot) -> Remedy:
    graded = snapshot.assessment["findings"]
    return Remedy(
        id=offer["id"],
        item=offer["item"],
        title=offer["title"] or words_of(offer["id"].partition("/")[2]),
        kind=offer["kind"],
        parts=offer["parts"],
        hours=offer["hours"],
        # picked for what must be mended, a wish is a need
        need=offer["need"] or bool(work["chosen"].get(offer["id"])),
        loss=offer["loss"],
        counted=offer["counted"],
        covers=sorted(one for one in offer["covers"] if one in graded),
        origin=offer["origin"],
        cost=offer["cost"],
    )


def _amount(snapshot: Snapshot, path: str) -> int | None:
    return cell_values.whole(findings.value(snapshot, path))


def rate_of(snapshot: Snapshot) -> tuple[int, bool]:
    """Money for an hour of work, and whether that is only an assumption."""
    typed = cell_values.whole(findings.value(snapshot, "brief/hourly_rate"), 0)
    if typed is not None:
        return typed, False
    assumed = (
        snapshot.bundle.get("rules", {}).get("money", {}).get("hourly_rate", DEFAULT_HOURLY_RATE)
    )
    return int(assumed), True


def periods_of(snapshot: Snapshot) -> list[dict[str, Any]]:
    """The budget periods that somebody typed: [{"name", "budget"}, …]."""
    return cell_values.periods(findings.value(snapshot, "plan/periods"))


def _findings(
    snapshot: Snapshot, remedies: Mapping[str, Remedy], standing: set[str]
) -> list[Finding]:
    judged = snapshot.assessment.get("items", {})
    areas = {area["id"]: area["title"] for area in snapshot.bundle.get("areas", ())}
    # maintenance has its own list, where a receipt answers it
    serviced = {str(row["item"]) for row in baseline_rows(snapshot)}
    rows = []
    for item in snapshot.assessment.get("findings", ()):
        if item in serviced:
            continue
        grade = judged[item]["grade"]
        rule = item_of(snapshot.bundle, item) or {}
        area = str(rule.get("area", item.partition(".")[0]))
        held = cell_values.text(findings.value(snapshot, f"plan/class/{item}"))
        rows.append(
            Finding(
                item=item,
                title=item_title(snapshot.bundle, item),
                area=areas.get(area, area),
                grade=grade,
                job_class=held if held in plan.CLASSES else _class_of(rule, area, grade),
                class_chosen=held in plan.CLASSES,
                remedies=[one for one in remedies.values() if one.item == item],
                pick=cell_values.text(findings.value(snapshot, f"plan/pick/{item}")),
                after=cell_values.texts(findings.value(snapshot, f"plan/after/{item}")),
                closed=item not in standing,
            )
        )
    return sorted(rows, key=lambda one: (findings.GRAVITY[one.grade], one.area, one.title))


def _class_of(rule: Mapping[str, Any], area: str, grade: str) -> str:
    if grade == "dangerous" or (
        grade == "major" and int(rule.get("danger", 0)) >= plan.GRAVE_DANGER
    ):
        return "danger"
    if rule.get("drive", "no") != "no":
        return "reliability"
    return CLASS_OF_AREA.get(area, "reliability")


def _jobs(
    snapshot: Snapshot,
    standing: list[Finding],
    work: dict[str, Any],
    remedies: Mapping[str, Remedy],
) -> list[Job]:
    """The chosen remedies and the maintenance, each with the findings that it puts right."""
    by_item = {one.item: one for one in standing}
    does: dict[str, list[str]] = {
        offer["id"]: [item for item in sorted(offer["covers"]) if item in by_item]
        for offer in work["offers"] + work["due"]
        if offer["id"] in work["chosen"] and not offer["id"].startswith("wants/")
    }
    offers = {offer["id"]: offer for offer in work["offers"] + work["due"]}
    job_of = {item: name for name, items in does.items() for item in items}
    why = _practice(does, job_of)
    jobs = []
    for name, items in does.items():
        faults = [by_item[item] for item in items]
        service = name not in remedies
        if not faults and not service:
            continue
        after = {job_of[other] for one in faults for other in one.after if other in job_of}
        offer = offers[name]
        classes = [one.job_class for one in faults] + (["reliability"] if service else [])
        jobs.append(
            Job(
                id=name,
                title=f"Service: {offer['title']}" if service else remedies[name].title,
                items=items,
                kind="part" if service else offer["kind"],
                need=work["chosen"][name],
                job_class=min(classes, key=plan.CLASSES.index),
                grade=max((one.grade for one in faults), key=SEVERITY.index, default="none"),
                after=sorted({*after, *why[name]} - {name}),
                why={other: text for other, text in why[name].items() if other not in after},
                cost=offer["cost"],
                parts=offer["parts"],
                hours=offer["hours"],
                loss=offer["loss"],
                counted=offer["counted"],
                services=[
                    other["title"]
                    for other in work["due"]
                    if other["id"] in offer["covers"] and other["id"] != name
                ],
            )
        )
    return jobs


def _practice(
    does: Mapping[str, list[str]], job_of: Mapping[str, str]
) -> dict[str, dict[str, str]]:
    """Per job the jobs that practice puts before it, with the reason."""
    known = work_order.rules()
    why: dict[str, dict[str, str]] = {name: {} for name in does}
    for name, items in does.items():
        for item in items:
            for one in work_order.comes_first(item, job_of, known):
                if job_of[one.item] != name:
                    why[name].setdefault(job_of[one.item], one.why)
    for ring in _rings(why):
        # two assemblies may each hold what the other waits for; practice then says nothing
        for name in ring:
            why[name] = {other: text for other, text in why[name].items() if other not in ring}
    return why


def _rings(before: Mapping[str, Mapping[str, str]]) -> list[set[str]]:
    """Sets of jobs of which each, by practice, waits for itself by way of the others."""
    reach: dict[str, set[str]] = {}
    for start in before:
        seen: set[str] = set()
        stack = list(before[start])
        while stack:
            name = stack.pop()
            if name not in seen:
                seen.add(name)
                stack += before.get(name, {})
        reach[start] = seen
    rings = []
    for name, seen in reach.items():
        if name in seen:
            ring = {other for other in seen if name in reach.get(other, ())}
            if ring not in rings:
                rings.append(ring)
    return rings


def _wishes(snapshot: Snapshot, rate: int) -> list[Job]:
    """What somebody wants, or needs, although no finding asks for it: `plan/wants/<word>`."""
    jobs = []
    for path, cell in sorted(snapshot.cells.items()):
        held = cell_values.mapping(cell["value"])
        name = path.removeprefix("plan/")
        if not path.startswith("plan/wants/") or not held or done(snapshot, name):
            continue
        wish = judge.told(name, "", dict(held), "own")
        if wish is None:
            continue
        lost = (wish["loss"] * judge.percent(snapshot.cells) + 50) // 100
        wanted = cell_values.text(held.get("class"))
        jobs.append(
            Job(
                id=name,
                title=wish["title"] or "A wish",
                items=[],
                kind="part",
                need=held.get("need") is True,
                job_class=wanted if wanted in plan.CLASSES else "comfort",
                grade="none",
                after=[],
                cost=plan.price(wish["parts"], wish["hours"], rate, lost),
                parts=wish["parts"],
                hours=wish["hours"],
                loss=wish["loss"],
                counted=lost,
                uses=cell_values.texts(held.get("uses")),
            )
        )
    return jobs


def baseline_rows(snapshot: Snapshot) -> list[dict[str, Any]]:
    """The judge's maintenance list; [] when the visit's checklist has none."""
    return [dict(one) for one in snapshot.assessment.get("baseline") or ()]


def baseline_taken(snapshot: Snapshot, row: str) -> bool:
    """Whether the plan takes a line of the maintenance list in; it does unless told not to."""
    return findings.value(snapshot, f"plan/baseline/{row}") is not False


def done(snapshot: Snapshot, job: str) -> cell_values.Done | None:
    """What was noted when a job of this id was finished, or None."""
    return cell_values.done(findings.value(snapshot, f"work/{job}/done"))


def _plain(job: Job) -> dict[str, Any]:
    return {
        "id": job.id,
        "class": job.job_class,
        "grade": job.grade,
        "after": job.after,
        "cost": job.paid,
    }


def _steps(
    snapshot: Snapshot, standing: list[Finding], jobs: list[Job]
) -> tuple[dict[str, Any], list[dict[str, Any]], list[dict[str, Any]]]:
    """What the car may be used for before any job; after each; after each if the rest is sound."""
    wanted = cell_values.uses(snapshot.cells)
    still = [_as_open(snapshot, one.item, one.grade) for one in standing]
    unseen = [
        _as_open(snapshot, item, "uninspected")
        for item, judgement in snapshot.assessment.get("items", {}).items()
        if judgement.get("applies", True) and judgement.get("state") in ("open", "uninspected")
    ]
    before = plan.fit_for(still + unseen, wanted)
    steps, sound = [], []
    for job in jobs:
        still = [one for one in still if one["item"] not in job.items]
        unseen = [one for one in unseen if one["item"] not in job.items]
        steps.append(plan.fit_for(still + unseen, wanted))
        sound.append(plan.fit_for(still, wanted))
    return before, steps, sound


def _as_open(snapshot: Snapshot, item: str, grade: str) -> dict[str, Any]:
    rule = item_of(snapshot.bundle, item) or {}
    return {
        "item": item,
        "grade": grade,
        "drive": rule.get("drive", "no"),
        "danger": int(rule.get("danger", 0)),
        "weight": rule.get("weight", {}),
    }
