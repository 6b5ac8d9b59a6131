"""The plan's parts sheet as rows, for the workbook and for CSV."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bradawl.desk.model.labels import USES, item_title
from bradawl.desk.model.plan.types import Plan
from bradawl.inspection.snapshot import Snapshot

COLUMNS = (
    "Id",
    "Puts right",
    "Remedy",
    "Kind",
    "Need or want",
    "In the plan",
    "Parts low",
    "Parts likely",
    "Parts high",
    "Hours low",
    "Hours likely",
    "Hours high",
    "Originality lost",
)


def plan_rows(snapshot: Snapshot, plan: Plan) -> Iterator[list[Any]]:
    """The parts sheet's rows under COLUMNS: every remedy of every open finding, then wishes."""
    for finding in plan.findings:
        if finding.closed:
            continue
        for remedy in finding.remedies:
            yield [
                remedy.id,
                ", ".join(item_title(snapshot.bundle, item) for item in remedy.covers),
                remedy.title,
                remedy.kind,
                "need" if remedy.need else "want",
                "yes" if remedy.id in plan.chosen else "no",
                *remedy.parts,
                *(float(hours) for hours in remedy.hours),
                remedy.loss,
            ]
    for job in plan.jobs:
        if job.id in plan.remedies:
            continue
        serves = ", ".join(
            [USES.get(use, use) for use in job.uses]
            + [item_title(snapshot.bundle, item) for item in job.items]
        )
        kind = "Maintenance" if job.service else "A job of its own"
        yield [
            job.id,
            serves or (kind if job.need else "A wish"),
            job.title,
            job.kind,
            "need" if job.need else "want",
            "yes",
            *job.parts,
            *(float(hours) for hours in job.hours),
            job.loss,
        ]
