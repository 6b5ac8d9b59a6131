"""What the record says of the plan, read as what it should be: rate, periods, maintenance, work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bradawl.desk.model import recorded
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.values.amounts import DEFAULT_HOURLY_RATE
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.judge.values.types import MaintenanceRow


def rate_of(snapshot: Snapshot) -> tuple[int, bool]:
    """Money for an hour of work, and whether that is only an assumption."""
    typed = cell_values.whole(recorded.value(snapshot, "brief/hourly_rate"), 0)
    if typed is not None:
        return typed, False
    assumed = snapshot.rules.get("money") or {}
    return int(assumed.get("hourly_rate", DEFAULT_HOURLY_RATE)), True


def labor_is_paid(snapshot: Snapshot) -> bool:
    """Whether somebody is paid for the hours; they are the owner's own where nobody said."""
    return recorded.value(snapshot, "brief/labor_paid") is True


def periods_of(snapshot: Snapshot) -> list[dict[str, Any]]:
    """The budget periods that somebody typed, each with a name: [{"name", "budget"}, …]."""
    typed = cell_values.periods(recorded.value(snapshot, "plan/periods"))
    return [
        {**period, "name": period["name"] or text("desk-order-period-n", n=n)}
        for n, period in enumerate(typed, 1)
    ]


def typed_periods(snapshot: Snapshot) -> list[dict[str, Any]] | None:
    """The budget periods as their form is read where nobody changes anything."""
    return cell_values.periods(recorded.value(snapshot, "plan/periods")) or None


def maintenance_of(snapshot: Snapshot) -> list[MaintenanceRow]:
    """The judge's maintenance list; [] when the visit's checklist has none."""
    return snapshot.assessment.get("baseline", [])


def is_in_plan(snapshot: Snapshot, row: str) -> bool:
    """Whether the plan takes a line of the maintenance list in; it does unless told not to."""
    return recorded.value(snapshot, f"plan/baseline/{row}") is not False


def work_done(snapshot: Snapshot, job: str) -> cell_values.Done | None:
    """What was noted when a job of this id was finished, the last time; or None."""
    noted = [
        entry
        for entry in cell_values.done_entries(snapshot.cells)
        if entry.job == job and entry.done.finished
    ]
    return max(noted, key=lambda entry: (entry.done.date, entry.at)).done if noted else None
