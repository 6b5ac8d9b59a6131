"""From a dossier to its plan: findings, their remedies as edited at the desk, what was chosen.

The arithmetic is the judge's (`judgement/plan.py`); here the record is read and put before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.desk import findings, sequence
from bradawl.desk.wording import item_of, item_title
from bradawl.dossier import Dossier
from bradawl.judgement import plan

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
ASSUMED_RATE = 60  # money an hour, when neither the brief nor the checklist says


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
    uses: list[str] = field(default_factory=list)
    why: dict[str, str] = field(default_factory=dict)  # job that practice puts before: the reason

    @property
    def expected(self) -> int:
        return plan.whole(plan.sixths(self.cost))


@dataclass(frozen=True)
class Plan:
    """Everything the plan's pages show."""

    currency: str
    rate: int
    rate_assumed: bool
    findings: list[Finding]
    remedies: dict[str, Remedy]
    choice: dict[str, Any]  # as plan.cheapest, for what nobody picked
    chosen: list[str]  # remedy ids, picks included, sorted
    without_loss: list[str]  # what would be chosen if originality cost nothing
    jobs: list[Job]  # in the order of work
    order: dict[str, Any]
    periods: list[dict[str, Any]]
    spread: dict[str, Any]
    steps: list[dict[str, Any]]  # per job: what the car may be used for after it
    before: dict[str, Any]  # the same before any job
    unseen: list[str]  # items that nobody inspected and the drive depends on
    budget: int | None  # for everything, the car included
    asking: int | None
    deadline: str

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


def plan_of(dossier: Dossier) -> Plan:
    """The plan as the record stands."""
    rate, assumed = rate_of(dossier)
    faults = _findings(dossier, rate)
    standing = [one for one in faults if not one.closed]
    remedies = {remedy.id: remedy for one in faults for remedy in one.remedies}
    chosen, choice = _choose(standing, remedies)
    jobs = _jobs(dossier, standing, remedies, chosen, rate)
    order = plan.order([_plain(job) for job in jobs])
    by_id = {job.id: job for job in jobs}
    ordered = [by_id[name] for name in order["order"]]
    periods = periods_of(dossier)
    before, steps = _steps(dossier, standing, ordered)
    free = {name: _without_loss(remedy) for name, remedy in remedies.items()}
    return Plan(
        currency=str(findings.value(dossier, "about/currency") or ""),
        rate=rate,
        rate_assumed=assumed,
        findings=faults,
        remedies=remedies,
        choice=choice,
        chosen=chosen,
        without_loss=_choose(standing, free)[0],
        jobs=ordered,
        order=order,
        periods=periods,
        spread=plan.spread(
            [_plain(job) for job in ordered], [int(one["budget"]) for one in periods]
        ),
        steps=steps,
        before=before,
        unseen=sorted(set(before["because"]) - {one.item for one in standing}),
        budget=_amount(dossier, "brief/budget"),
        asking=_amount(dossier, "about/asking_price"),
        deadline=str(findings.value(dossier, "brief/deadline") or ""),
    )


def _amount(dossier: Dossier, path: str) -> int | None:
    held = findings.value(dossier, path)
    return held if type(held) is int else None


def rate_of(dossier: Dossier) -> tuple[int, bool]:
    """Money for an hour of work, and whether that is only an assumption."""
    typed = findings.value(dossier, "brief/hourly_rate")
    if type(typed) is int and typed >= 0:
        return typed, False
    assumed = dossier.bundle.get("rules", {}).get("money", {}).get("hourly_rate", ASSUMED_RATE)
    return int(assumed), True


def counted(dossier: Dossier, loss: int) -> int:
    """What a loss of originality counts as: the brief says how many per cent of it matter."""
    percent = findings.value(dossier, "brief/originality")
    return loss if type(percent) is not int else (loss * percent + 50) // 100


def periods_of(dossier: Dossier) -> list[dict[str, Any]]:
    """The budget periods that somebody typed: [{"name", "budget"}, …]."""
    held = findings.value(dossier, "plan/periods")
    return [
        {"name": str(one.get("name", "")), "budget": one["budget"]}
        for one in (held if isinstance(held, list) else [])
        if isinstance(one, Mapping) and type(one.get("budget")) is int
    ]


def _findings(dossier: Dossier, rate: int) -> list[Finding]:
    judged = dossier.assessment.get("items", {})
    areas = {area["id"]: area["title"] for area in dossier.bundle.get("areas", ())}
    # maintenance has its own list, where a receipt answers it
    serviced = {str(row["item"]) for row in baseline_rows(dossier)}
    graded = {
        item: judgement["grade"]
        for item, judgement in judged.items()
        if item not in serviced
        and judgement.get("applies", True)
        and judgement.get("grade") in ("dangerous", "major", "minor")
    }
    rows = []
    for item, grade in graded.items():
        rule = item_of(dossier.bundle, item) or {}
        area = str(rule.get("area", item.partition(".")[0]))
        held = findings.value(dossier, f"plan/class/{item}")
        pick = findings.value(dossier, f"plan/pick/{item}")
        after = findings.value(dossier, f"plan/after/{item}")
        rows.append(
            Finding(
                item=item,
                title=item_title(dossier.bundle, item),
                area=areas.get(area, area),
                grade=grade,
                job_class=held if held in plan.CLASSES else _class_of(rule, area, grade),
                class_chosen=held in plan.CLASSES,
                remedies=_remedies(dossier, item, rule, grade, graded, rate),
                pick=pick if isinstance(pick, str) else "",
                after=[str(one) for one in after] if isinstance(after, list) else [],
                closed=closed(dossier, item),
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


def _remedies(
    dossier: Dossier,
    item: str,
    rule: Mapping[str, Any],
    grade: str,
    graded: Mapping[str, str],
    rate: int,
) -> list[Remedy]:
    """The checklist's remedies for this grade as edited at the desk, then the desk's own."""
    offered = [one for one in rule.get("remedies", ()) if grade in one["for"]]
    if not offered and grade == "dangerous":
        # a combination raised it beyond what the checklist foresaw: everything may help
        offered = list(rule.get("remedies", ()))
    listed: dict[str, tuple[str, Mapping[str, Any]]] = {
        one["id"]: ("checklist", one) for one in offered
    }
    prefix = f"plan/remedies/{item}/"
    for path, cell in sorted(dossier.cells.items()):
        if path.startswith(prefix) and isinstance(cell["value"], Mapping):
            word = path[len(prefix) :]
            origin = "edited" if word in listed else "own"
            listed[word] = (
                origin,
                {**(listed[word][1] if word in listed else {}), **cell["value"]},
            )
    made = []
    for word, (origin, one) in listed.items():
        # an edit that another program wrote may lack what ours always has
        parts = one.get("parts", [0, 0, 0])
        hours = [str(part) for part in one.get("hours", ["0", "0", "0"])]
        loss = one.get("loss", 0)
        try:
            cost = plan.price(parts, hours, rate, counted(dossier, loss))
        except (ValueError, TypeError, IndexError):
            continue
        covers = {item, *(other for other in one.get("also", ()) if other in graded)}
        made.append(
            Remedy(
                id=f"{item}/{word}",
                item=item,
                title=str(one.get("title", word)),
                kind=str(one.get("kind", "part")),
                parts=list(parts),
                hours=hours,
                # what can hurt somebody is a need, whatever was typed
                need=bool(one.get("need", True)) or graded[item] == "dangerous",
                loss=loss,
                counted=counted(dossier, loss),
                covers=sorted(covers),
                origin=origin,
                cost=cost,
            )
        )
    return made


def _choose(
    standing: list[Finding], remedies: Mapping[str, Remedy]
) -> tuple[list[str], dict[str, Any]]:
    """What a person picked, and the cheapest set for everything that the picks leave."""
    picked = sorted({one.pick for one in standing if one.pick in remedies})
    done = {covered for name in picked for covered in remedies[name].covers}
    rest = [one.item for one in standing if one.item not in done]
    choice = plan.cheapest(
        rest,
        [
            {"id": remedy.id, "covers": remedy.covers, "cost": remedy.cost}
            for remedy in remedies.values()
        ],
    )
    return sorted({*picked, *choice["chosen"]}), choice


def _without_loss(remedy: Remedy) -> Remedy:
    return Remedy(**{**remedy.__dict__, "cost": [part - remedy.counted for part in remedy.cost]})


def _jobs(
    dossier: Dossier,
    standing: list[Finding],
    remedies: Mapping[str, Remedy],
    chosen: list[str],
    rate: int,
) -> list[Job]:
    by_item = {one.item: one for one in standing}
    does: dict[str, list[str]] = {
        name: [item for item in remedies[name].covers if item in by_item] for name in chosen
    }
    job_of = {item: name for name, items in does.items() for item in items}
    known = sequence.rules()
    why: dict[str, dict[str, str]] = {name: {} for name in does}
    for name, items in does.items():
        for item in items:
            for one in sequence.comes_first(item, job_of, known):
                if job_of[one.item] != name:
                    why[name].setdefault(job_of[one.item], one.why)
    for ring in _rings(why):
        # two assemblies may each hold what the other waits for; practice then says nothing
        for name in ring:
            why[name] = {other: text for other, text in why[name].items() if other not in ring}
    jobs = []
    for name, items in does.items():
        if not items:
            continue
        faults = [by_item[item] for item in items]
        after = {job_of[other] for one in faults for other in one.after if other in job_of}
        remedy = remedies[name]
        jobs.append(
            Job(
                id=name,
                title=remedy.title,
                items=items,
                kind=remedy.kind,
                need=remedy.need or any(one.grade == "dangerous" for one in faults),
                job_class=min((one.job_class for one in faults), key=plan.CLASSES.index),
                grade=min((one.grade for one in faults), key=plan.GRAVITY.index),
                after=sorted({*after, *why[name]} - {name}),
                why={other: text for other, text in why[name].items() if other not in after},
                cost=remedy.cost,
                parts=remedy.parts,
                hours=remedy.hours,
            )
        )
    return jobs + _wishes(dossier, rate) + _due(dossier, chosen, rate)


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


def _wishes(dossier: Dossier, rate: int) -> list[Job]:
    """What somebody wants although nothing is broken: `plan/wants/<word>`."""
    jobs = []
    for path, cell in sorted(dossier.cells.items()):
        held = cell["value"]
        if not path.startswith("plan/wants/") or not isinstance(held, Mapping):
            continue
        try:
            loss = counted(dossier, held.get("loss", 0))
            cost = plan.price(held["parts"], held["hours"], rate, loss)
        except (ValueError, TypeError, IndexError, KeyError):
            continue
        wanted = str(held.get("class", "comfort"))
        jobs.append(
            Job(
                id=path.removeprefix("plan/"),
                title=str(held.get("title", "A wish")),
                items=[],
                kind="part",
                need=False,
                job_class=wanted if wanted in plan.CLASSES else "comfort",
                grade="none",
                after=[],
                cost=cost,
                parts=held["parts"],
                hours=held["hours"],
                uses=[str(use) for use in held.get("uses", ())],
            )
        )
    return jobs


def _due(dossier: Dossier, chosen: list[str], rate: int) -> list[Job]:
    """Maintenance that counts as due because nobody can prove it, unless it was left out.

    What a chosen or finished remedy does as well is not done twice.
    """
    jobs = []
    for row in baseline_rows(dossier):
        job = f"baseline/{row['id']}"
        if not row["due"] or not baseline_taken(dossier, str(row["id"])) or done(dossier, job):
            continue
        if any(one in chosen or done(dossier, one) for one in row.get("done_by", ())):
            continue
        jobs.append(
            Job(
                id=job,
                title=f"Service: {row['title']}",
                items=[],
                kind="part",
                need=True,
                job_class="reliability",
                grade="none",
                after=[],
                cost=plan.price(row["parts"], row["hours"], rate, 0),
                parts=row["parts"],
                hours=row["hours"],
            )
        )
    return jobs


def baseline_rows(dossier: Dossier) -> list[dict[str, Any]]:
    """The judge's maintenance list; [] when the visit's checklist has none."""
    return [dict(one) for one in dossier.assessment.get("baseline") or ()]


def baseline_taken(dossier: Dossier, row: str) -> bool:
    """Whether the plan takes a line of the maintenance list in; it does unless told not to."""
    return findings.value(dossier, f"plan/baseline/{row}") is not False


def done(dossier: Dossier, job: str) -> Mapping[str, Any] | None:
    """What was noted when a job of this id was finished, or None."""
    held = findings.value(dossier, f"work/{job}/done")
    return held if isinstance(held, Mapping) else None


def closed(dossier: Dossier, item: str) -> bool:
    """Whether evidence recorded after a job says that this finding is put right."""
    for path, cell in dossier.cells.items():
        if path.startswith("work/") and path.endswith(f"/after/{item}/grade") and cell["value"]:
            grade = cell["value"]
            if isinstance(grade, Mapping) and grade.get("grade") == "none":
                return True
    return False


def _plain(job: Job) -> dict[str, Any]:
    return {
        "id": job.id,
        "class": job.job_class,
        "grade": job.grade,
        "after": job.after,
        "cost": job.expected,
    }


def _steps(
    dossier: Dossier, standing: list[Finding], jobs: list[Job]
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """What the car may be used for before any job and after each."""
    uses = findings.value(dossier, "brief/uses")
    wanted = [str(use) for use in uses] if isinstance(uses, list) else []
    still = [_as_open(dossier, one.item, one.grade) for one in standing]
    for item, judgement in dossier.assessment.get("items", {}).items():
        if judgement.get("applies", True) and judgement.get("state") in ("open", "uninspected"):
            still.append(_as_open(dossier, item, "uninspected"))
    before = plan.fit_for(still, wanted)
    steps = []
    for job in jobs:
        still = [one for one in still if one["item"] not in job.items]
        steps.append(plan.fit_for(still, wanted))
    return before, steps


def _as_open(dossier: Dossier, item: str, grade: str) -> dict[str, Any]:
    rule = item_of(dossier.bundle, item) or {}
    return {
        "item": item,
        "grade": grade,
        "drive": rule.get("drive", "no"),
        "danger": int(rule.get("danger", 0)),
        "weight": rule.get("weight", {}),
    }
