"""The plan of one visit: findings, the remedies that put them right, and jobs in their order.

Money is in whole units of the visit's currency, hours are decimal text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bradawl.judge.costs import plan as arithmetic

if TYPE_CHECKING:
    from bradawl.judge.values.types import (
        Fitness,
        Grade,
        Sequence,
        SpreadJobs,
        WorkOrder,
    )

__all__ = ["KINDS", "TITLE_LIMIT", "Finding", "Job", "Plan", "Remedy", "anchor"]

TITLE_LIMIT = 120  # of a remedy, in letters
KINDS = ("mend", "part", "assembly", "paper")


@dataclass(frozen=True)
class Remedy:
    """One way to put findings right."""

    id: str  # "<item>/<word>"
    item: str
    title: str
    typed_title: str  # "" where it is the checklist's
    kind: str
    parts: list[int]
    hours: list[str]
    need: bool
    loss: int  # originality that it takes away, as money
    counted: int  # of it, what the brief lets count
    covers: list[str]
    origin: str  # checklist, edited or own
    cost: list[int]  # low, likely, high with labour and loss
    pieces: int = 0  # of a job by the piece: how many there are
    tips_at: int = 0  # from how many on replacing the whole is cheaper; 0: never
    no_figure: bool = False  # nobody said what it costs: it is not free
    is_shifted: bool = False  # by what such jobs came to in this shop

    @property
    def expected(self) -> int:
        return arithmetic.whole(arithmetic.sixths(self.cost))


@dataclass(frozen=True)
class Finding:
    """A fault that stands, with everything that could put it right."""

    item: str
    title: str
    area: str
    grade: Grade
    job_class: str
    class_chosen: bool
    remedies: list[Remedy]
    pick: str  # a remedy a person chose, or ""
    after: list[str]
    closed: bool


@dataclass(frozen=True)
class Held:
    """Why a job is not in the order: `kind` is "temporary" or "left"."""

    kind: str
    what: str  # what was done for now; why it was left
    ends: str  # what ends it; what would bring it back
    until_date: str = ""
    until_odometer: Mapping[str, Any] = field(default_factory=dict)
    is_due: bool = False  # a temporary fix is over: the job is back
    told: bool = False  # a buyer is told


@dataclass(frozen=True)
class Job:
    """Work to be done: a chosen remedy with the findings it puts right, or a wish."""

    id: str
    title: str
    typed_title: str  # "" where it is the checklist's
    items: list[str]
    kind: str
    need: bool
    job_class: str
    grade: Grade
    after: list[str]
    cost: list[int]
    parts: list[int]
    hours: list[str]
    loss: int = 0  # originality that it takes away, as money
    counted: int = 0  # of it, what the brief lets count
    services: list[str] = field(default_factory=list)  # due maintenance that it does as well
    uses: list[str] = field(default_factory=list)
    why: dict[str, str] = field(default_factory=dict)  # job that practice puts before: the reason
    labor_paid: bool = False  # whether somebody sends a bill for the hours
    is_shifted: bool = False  # by what such jobs came to in this shop

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
        return arithmetic.whole(arithmetic.sixths(self.cost))

    @property
    def paid(self) -> int:
        """What is to be paid: no bill comes for lost originality, nor for hours of one's own."""
        if self.labor_paid:
            return self.expected - self.counted
        return arithmetic.whole(arithmetic.sixths(self.parts))

    @property
    def is_firm(self) -> bool:
        """Whether what is to be paid is one figure, as a quote is, and no range."""
        hours = [arithmetic.hundredths(h) for h in self.hours]
        return self.parts[0] == self.parts[2] and (not self.labor_paid or hours[0] == hours[2])

    @property
    def hours_hundredths(self) -> int:
        """The expected hours, in hundredths."""
        return arithmetic.whole(arithmetic.sixths([arithmetic.hundredths(h) for h in self.hours]))


@dataclass(frozen=True)
class Schedule:
    """The open jobs in their order; how good that is known to be; those that are held, last."""

    jobs: list[Job]
    found: Sequence
    pins: dict[str, int]
    held: dict[str, Held]
    weekend_hundredths: int
    this_month: set[str] | None  # jobs that the first month pays; None without a budget
    this_weekend: set[str] | None  # jobs that the first weekend has the hours for
    warnings: dict[str, dict[str, str]]  # by job what practice puts before it and stands later

    @property
    def open(self) -> list[Job]:
        """The jobs in their order, without those that are held."""
        return self.jobs[: len(self.found["order"])]

    @property
    def money_ends(self) -> int | None:
        """So many jobs stand before the first that this month doesn't pay."""
        return self._ends(self.this_month)

    @property
    def hours_end(self) -> int | None:
        """So many jobs stand before the first that this weekend has no hours for."""
        return self._ends(self.this_weekend)

    def _ends(self, now: set[str] | None) -> int | None:
        if now is None:
            return None
        return next((n for n, job in enumerate(self.open) if job.id not in now), len(self.open))


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
    order: WorkOrder
    periods: list[dict[str, Any]]
    spread: SpreadJobs
    steps: list[Fitness]  # per job: what the car may be used for after it
    sound: list[Fitness]  # the same if everything that nobody inspected proves sound
    before: Fitness  # the same before any job
    unseen: list[str]  # items that nobody inspected and the drive depends on
    budget: int | None  # for everything, the car included
    asking: int | None
    deadline: str
    schedule: Schedule
    labor_paid: bool = False  # hours are paid at the rate; else they are my own

    @property
    def paid(self) -> int:
        """What is to be paid for all jobs together: without my own hours."""
        if self.labor_paid:
            return self.total()["expected"] - self.counted
        parts = [sum(job.parts[n] for job in self.jobs) for n in range(3)]
        return arithmetic.whole(arithmetic.sixths(parts))

    @property
    def counted(self) -> int:
        """The lost originality of all jobs, as far as it counts."""
        return sum(job.counted for job in self.jobs)

    @property
    def hours_hundredths(self) -> int:
        """The expected hours of all jobs, in hundredths."""
        return sum(job.hours_hundredths for job in self.jobs)

    def total(self, need: bool | None = None) -> dict[str, int]:
        """Low, likely, high and expected of the jobs: needs, wants or (None) all."""
        jobs = [job for job in self.jobs if need is None or job.need == need]
        cost = [sum(job.cost[n] for job in jobs) for n in range(3)]
        return {
            "jobs": len(jobs),
            "low": cost[0],
            "likely": cost[1],
            "high": cost[2],
            "expected": arithmetic.whole(arithmetic.sixths(cost)),
        }


def anchor(name: str) -> str:
    """The id on the plan's page of a finding or of a job of its own."""
    return name.replace("/", "-").replace(".", "-")
