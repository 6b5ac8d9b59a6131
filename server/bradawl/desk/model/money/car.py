"""The money of one car: what the plan expects, what the ledger says was paid, what is ordered.

The arithmetic is the judge's (`judge/ledger/`); here plan, parts list and ledger are put before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.common.display_text import for_line
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.plan.recorded import labor_is_paid, maintenance_of
from bradawl.desk.model.plan.types import Job, Plan
from bradawl.inspection import cell_values
from bradawl.inspection.said import job_title
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import life, parts_list, sums
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.judge.values.types import (
        JobEstimate,
        JobMoney,
        LedgerEntry,
        LedgerGroup,
        LifeStep,
        MoneySums,
    )

TITLE_LIMIT = 120


@dataclass(frozen=True)
class Outcome:
    """What a car came to that was sold, in cents; with my own hours at the rate of the brief."""

    sold_cents: int
    date: str
    without_hours: int
    with_hours: int


@dataclass(frozen=True)
class CarMoney:
    """Everything the money page of a car shows. Amounts in cents, hours in hundredths."""

    currency: str
    groups: list[LedgerGroup]
    rows: list[JobMoney]
    titles: dict[str, str]  # of every job that a row, an entry or a choice may name
    areas: list[tuple[str, MoneySums]]
    sums: MoneySums
    budget_cents: int | None
    asking_cents: int
    deposits_cents: int
    state: LifeStep
    bought: LifeStep | None
    outcome: Outcome | None
    rate: int
    labor_paid: bool
    lines: dict[str, str]  # of the parts list: id to what it is

    @property
    def rest_cents(self) -> int:
        """What the budget has for the work beyond the car, at its price paid or asked."""
        price = self.sums["price_cents"] if self.bought else self.asking_cents
        return (self.budget_cents or 0) - price

    @property
    def job_rows(self) -> list[tuple[str, JobMoney]]:
        """The rows that say anything, each with its job's title; what is of no job comes last."""
        named = [
            (
                self.titles.get(row["job"])
                or for_line(row["job"], TITLE_LIMIT)
                or text("desk-money-no-job"),
                row,
            )
            for row in self.rows
            if row["total_cents"] or row["spent_cents"] or row["hours_planned"] or row["hours_done"]
        ]
        return sorted(named, key=lambda pair: (not pair[1]["job"], pair[0], pair[1]["job"]))

    def jobs_of(self, entry: LedgerEntry) -> list[str]:
        """What the jobs of an entry are called."""
        return [self.titles.get(job) or for_line(job, TITLE_LIMIT) for job in entry["jobs"]]


def money_of(snapshot: Snapshot, plan: Plan | None = None) -> CarMoney:
    """The money of a car as its record stands."""
    plan = plan or plan_of(snapshot)
    listed = ledger.entries(snapshot.cells)
    counted = ledger.counted(listed)
    every_line = lines = parts_list.lines(snapshot.cells)
    finished = {
        entry.job: entry
        for entry in cell_values.done_entries(snapshot.cells)
        if entry.done.finished
    }
    open_jobs = {job.id: job for job in plan.jobs}
    steps = life.steps(snapshot.events)
    sold = life.sold(steps)
    if sold is not None:  # nobody will pay for what was not begun
        lines = [line for line in lines if line["state"] in (*sums.OWED, "fitted")]
    estimates = [
        _estimate(snapshot, job, sold is None and job.id not in finished) for job in plan.jobs
    ]
    estimates += [
        _of_finished(snapshot, plan, job) for job in sorted(finished) if job not in open_jobs
    ]
    rows = sums.job_sums(estimates, counted, lines)
    bought = life.bought(steps)
    price = (bought["price_cents"] or 0) if bought else 0
    budget = None if plan.budget is None else plan.budget * 100
    together = sums.together(rows, price, budget)
    titles = _titles(snapshot, plan, finished)
    return CarMoney(
        currency=plan.currency,
        groups=ledger.groups(listed),
        rows=rows,
        titles=titles,
        areas=_areas(snapshot, rows),
        sums=together,
        budget_cents=budget,
        asking_cents=(plan.asking or 0) * 100,
        deposits_cents=sums.deposits_out(counted),
        state=life.now(snapshot.cells),
        bought=bought,
        outcome=_outcome(sold, bought, together, plan.rate),
        rate=plan.rate,
        labor_paid=labor_is_paid(snapshot),
        lines={
            line["id"]: for_line(" ".join((line["what"], line["number"])), TITLE_LIMIT).strip()
            for line in every_line
            if not line["removed"]
        },
    )


def _estimate(snapshot: Snapshot, job: Job, is_open: bool) -> JobEstimate:
    """What the plan expects of a job: its parts, and its hours as money where they are paid."""
    labor = [
        max(0, (job.cost[n] - job.parts[n] - job.counted) * 100) if job.labor_paid else 0
        for n in range(3)
    ]
    return {
        "job": job.id,
        "area": _area(snapshot, job.id, job.items),
        "open": is_open,
        "parts_cents": [amount * 100 for amount in job.parts],
        "labor_cents": labor,
        "hours_hundredths": 0 if job.labor_paid else job.hours_hundredths,
    }


def _of_finished(snapshot: Snapshot, plan: Plan, job: str) -> JobEstimate:
    """What was expected of a job that the plan no longer holds, as far as that is known."""
    remedy = plan.remedies.get(job)
    parts = remedy.parts if remedy is not None else [0, 0, 0]
    return {
        "job": job,
        "area": _area(snapshot, job, []),
        "open": False,
        "parts_cents": [amount * 100 for amount in parts],
        "labor_cents": [0, 0, 0],
        "hours_hundredths": 0,
    }


def _area(snapshot: Snapshot, job: str, items: list[str]) -> str:
    """The area of a job: its finding's, or that of the maintenance it is; "" for a wish."""
    first, _, word = job.partition("/")
    if first == "baseline":
        items = [row["item"] for row in maintenance_of(snapshot) if row["id"] == word]
        first = items[0] if items else ""
    for item in (first, *items):
        rule = snapshot.rules["items"].get(item)
        if rule is not None:
            return str(rule["area"])
    return ""


def _areas(snapshot: Snapshot, rows: list[JobMoney]) -> list[tuple[str, MoneySums]]:
    """The sums of each area, by its title; what is of none comes last."""
    titles = {area["id"]: area["title"] for area in snapshot.texts.get("areas", ())}
    for row in rows:
        if not row["area"]:  # of a job that the plan does not hold: its finding tells
            row["area"] = _area(snapshot, row["job"], [])
    areas = sorted({row["area"] for row in rows})
    found = [
        (
            titles.get(area, area) if area else text("desk-money-no-area"),
            sums.together([row for row in rows if row["area"] == area]),
        )
        for area in sorted(areas, key=lambda area: (not area, titles.get(area, area)))
    ]
    return [
        (title, part)
        for title, part in found
        if part["total_cents"] or part["hours_planned"] or part["spent_cents"]
    ]


def _titles(
    snapshot: Snapshot, plan: Plan, finished: Mapping[str, cell_values.DoneEntry]
) -> dict[str, str]:
    rules = snapshot.texts["rules"]
    titles = {
        name: job_title(name, cell_values.value(snapshot.cells, entry.path), rules)
        for name, entry in finished.items()
    }
    titles |= {remedy.id: remedy.title for remedy in plan.remedies.values()}
    titles |= {job.id: job.title for job in plan.jobs}
    return titles


def _outcome(
    sold: LifeStep | None, bought: LifeStep | None, together: MoneySums, rate: int
) -> Outcome | None:
    """What a sale came to; None where one of the two prices is not known."""
    if sold is None or sold["price_cents"] is None:
        return None
    if bought is None or bought["price_cents"] is None:
        return None
    plain, with_hours = sums.outcome(
        sold["price_cents"],
        together["price_cents"],
        together["spent_cents"],
        together["hours_done"],
        rate * 100,
    )
    return Outcome(sold["price_cents"], sold["date"], plain, with_hours)
