"""What each finished job teaches: what was expected of it, and what it came to.

Cash and own hours stand apart. Bills for labor are no part of what parts were expected to cost.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bradawl.desk.model.plan.recorded import maintenance_of
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic
from bradawl.judge.costs.remedies import checked
from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import parts_list, sums

#: Where the record says that a job is no lesson: true, or null.
UNCOUNTED = "plan/uncounted/"
Three = tuple[int, int, int]


@dataclass(frozen=True)
class Lesson:
    """One finished job of one car; cents and hundredths of an hour, low, likely and high.

    `said_…` is what its page expected, `base_…` the estimate without quote and shift.
    """

    job: str
    title: str  # as typed; "" where it is the checklist's
    area: str
    date: str
    currency: str
    said_cents: Three
    base_cents: Three
    said_hours: Three
    base_hours: Three
    paid_cents: int  # 0 where nothing was paid
    hours: int  # of one's own; 0 where nobody said
    is_left_out: bool


def lessons_of(snapshot: Snapshot) -> tuple[Lesson, ...]:
    """The finished jobs of a car that have an estimate and a cost; wishes are of no kind."""
    guesses: dict[str, list[tuple[tuple[str, str], Any]]] = {}
    finished: dict[str, cell_values.DoneEntry] = {}
    for entry in cell_values.done_entries(snapshot.cells):
        recorded = cell_values.mapping(cell_values.value(snapshot.cells, entry.path))
        guess = _guess(recorded.get("guess"))
        if guess is not None:  # of several days' work the first says what was expected
            guesses.setdefault(entry.job, []).append(((entry.at, entry.path), guess))
        if entry.done.finished:
            finished[entry.job] = entry
    found = []
    wanted = [job for job in sorted(finished) if job in guesses and not job.startswith("wants/")]
    spent = _spent(snapshot) if wanted else {}
    for job in wanted:
        cents, hours = spent.get(job, (0, 0))
        said, base = min(guesses[job], key=lambda pair: pair[0])[1]
        if cents > 0 or hours > 0:
            done = finished[job].done
            found.append(
                Lesson(
                    job=job,
                    title=done.title,
                    area=_area(snapshot, job),
                    date=done.date,
                    currency=cell_values.currency(snapshot.cells),
                    said_cents=said[0],
                    said_hours=said[1],
                    base_cents=base[0],
                    base_hours=base[1],
                    paid_cents=max(cents, 0),
                    hours=max(hours, 0),
                    is_left_out=cell_values.value(snapshot.cells, UNCOUNTED + job) is True,
                )
            )
    return tuple(found)


def _guess(value: Any) -> tuple[tuple[Three, Three], tuple[Three, Three]] | None:
    """(as said, the estimate itself), each as cents and hundredths; None for anything else."""
    said = _figures(value)
    return (
        None if said is None else (said, _figures(cell_values.mapping(value).get("base")) or said)
    )


def _figures(value: Any) -> tuple[Three, Three] | None:
    told = dict(cell_values.mapping(value))
    figures = checked("guess", "", told, "own") if "parts" in told and "hours" in told else None
    if figures is None:
        return None
    low, likely, high = (amount * 100 for amount in figures["parts"])
    least, usual, most = (arithmetic.hundredths(hours) for hours in figures["hours"])
    return (low, likely, high), (least, usual, most)


def _spent(snapshot: Snapshot) -> dict[str, tuple[int, int]]:
    """By job the cash that went, without bills for labor, and my own hours."""
    counted = ledger.counted(ledger.entries(snapshot.cells))
    cash = [entry for entry in counted if entry["kind"] != "labor_paid"]
    rows = sums.job_sums([], cash, parts_list.lines(snapshot.cells))
    return {row["job"]: (row["spent_cents"], row["hours_done"]) for row in rows}


def _area(snapshot: Snapshot, job: str) -> str:
    """The area of a job's item; "" for one that the checklist does not know."""
    item, _, word = job.partition("/")
    if item == "baseline":
        items = [row["item"] for row in maintenance_of(snapshot) if row["id"] == word]
        item = items[0] if items else ""
    rule = snapshot.rules["items"].get(item)
    return str(rule["area"]) if rule is not None else ""
