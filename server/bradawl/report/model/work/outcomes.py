"""What became of each finding since the inspection: fixed, better, worked on, or left alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bradawl.report.model.contents import Contents, Finding
from bradawl.report.model.edition import EditionView
from bradawl.report.model.work.done import FindingAfterwards, FinishedJob, finished_jobs

__all__ = ["STATES", "Outcome", "State", "outcomes"]

#: Grades of a fault, the slightest first; "not checked" is none of them.
FAULTS = ("minor", "major", "dangerous")

State = Literal["fixed", "better", "unproven", "left"]
#: In the order in which a reader meets them.
STATES: tuple[State, ...] = ("fixed", "better", "unproven", "left")


@dataclass(frozen=True)
class Outcome:
    """A fault as it was found, and the jobs since that name it, the oldest first.

    `after` is how the last of them that was checked again left it; "" where none was. A fault that
    was worked on and not checked again is unproven, however it was mended.
    """

    finding: Finding
    jobs: tuple[FinishedJob, ...]
    after: str

    @property
    def state(self) -> State:
        if not self.jobs:
            return "left"
        if self.after == "none":
            return "fixed"
        is_better = self.after in FAULTS and FAULTS.index(self.after) < FAULTS.index(
            self.finding.grade
        )
        return "better" if is_better else "unproven"

    @property
    def photos(self) -> int:
        return sum(len(job.photos) for job in self.jobs)

    @property
    def readings(self) -> tuple[tuple[str, str], ...]:
        """What was measured afterwards: title and figure."""
        return tuple(row for after in self._afterwards for row in after.readings)

    @property
    def _afterwards(self) -> list[FindingAfterwards]:
        return [
            after for job in self.jobs for after in job.findings if after.item == self.finding.id
        ]


def outcomes(view: EditionView, contents: Contents) -> list[Outcome]:
    """Every fault with what became of it, the gravest first."""
    jobs = finished_jobs(view)
    faults = sorted(
        (finding for area in contents.areas for finding in area.findings if finding.number),
        key=lambda finding: finding.number,
    )
    return [_outcome(finding, jobs) for finding in faults]


def _outcome(finding: Finding, jobs: list[FinishedJob]) -> Outcome:
    own = tuple(job for job in jobs if any(after.item == finding.id for after in job.findings))
    rated = [
        after.after
        for job in own
        for after in job.findings
        if after.item == finding.id and after.after
    ]
    return Outcome(finding, own, rated[-1] if rated else "")
