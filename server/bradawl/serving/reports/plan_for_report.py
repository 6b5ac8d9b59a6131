"""The desk's plan of work in the form that the report prints."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from bradawl.language import listed, text

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.report.model.work.plan import WorkPlan


def workplan_of(snapshot: Snapshot) -> WorkPlan:
    """Jobs in their order, and every assembly that competes with mending its pieces."""
    from bradawl.desk.model.plan.assemblies import assembly_rows
    from bradawl.desk.model.plan.build import plan_of
    from bradawl.report.model.work.plan import MendOrReplace, PlannedJob, WorkPlan

    plan = plan_of(snapshot)

    def period(job: str) -> str:
        place = plan.spread["period"].get(job)
        return "" if place is None else str(plan.periods[place]["name"])

    return WorkPlan(
        jobs=[
            PlannedJob(
                title=job.title,
                why=text("desk-class-" + job.job_class),
                cost=job.cost,
                need=job.need,
                period=period(job.id),
            )
            for job in plan.jobs
        ],
        assemblies=[
            MendOrReplace(
                title=row["remedy"].title,
                text=_verdict_text(row["tip"], row["failed"]),
                assembly=row["tip"]["expected_assembly"],
                by_count=row["tip"]["by_count"],
            )
            for row in assembly_rows(snapshot, plan)
            if row["tip"] is not None
        ],
    )


def _verdict_text(tip: dict[str, Any], failed: Sequence[str]) -> str:
    """Which is cheaper today, and what would turn that round; in sentences."""
    said = [text("report-tip-" + tip["now"], failed=listed(failed))]
    if tip["with_chances"] != tip["now"]:
        said.append(text("report-tip-with-chances"))
    if tip["failures_at_most"] and tip["now"] == "mend":
        least, most = tip["failures_at_least"], tip["failures_at_most"]
        if least == most:
            said.append(text("report-tip-failures", count=most))
        else:
            said.append(text("report-tip-failures-between", least=least, most=most))
    return " ".join(said)
