"""What became of each finding since the inspection: fixed, better, worked on, or left alone.

What is fixed is the judge's word (`judge/record/mended.py`): rated again, with proof.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bradawl.inspection import cell_values
from bradawl.inspection.standing import mended_items
from bradawl.report.model.contents import Contents, Finding
from bradawl.report.model.editions.edition import EditionView
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
    was worked on and not checked again with proof is unproven, however it was mended. `receipts`
    are photographed ones of these jobs; `is_hidden`: this copy leaves out a proof.
    """

    finding: Finding
    jobs: tuple[FinishedJob, ...]
    after: str
    is_mended: bool
    receipts: int
    is_hidden: bool

    @property
    def state(self) -> State:
        if self.is_mended:
            return "fixed"
        if not self.jobs:
            return "left"
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
    mended = mended_items(view.assessment)
    return [_outcome(view, finding, jobs, finding.id in mended) for finding in faults]


def _outcome(
    view: EditionView, finding: Finding, jobs: list[FinishedJob], is_mended: bool
) -> Outcome:
    own = tuple(job for job in jobs if any(after.item == finding.id for after in job.findings))
    if not own:  # most faults: no photo and no receipt is of them
        return Outcome(finding, (), "", is_mended, 0, is_hidden=False)
    rated = [
        after.after
        for job in own
        for after in job.findings
        if after.item == finding.id and after.after
    ]
    names = {job.id for job in own}
    receipts = [path for path in view.cells if _is_receipt(view, path, names)]
    hidden = [
        path
        for path, cell in view.cells.items()
        if cell.get("withheld") and path.rpartition("/photos/")[0].removeprefix("work/") in names
    ]
    after = rated[-1] if rated else ""
    return Outcome(finding, own, after, is_mended, len(receipts), bool(hidden))


def _is_receipt(view: EditionView, path: str, jobs: set[str]) -> bool:
    """Whether a path is a photo of a ledger's entry that names one of these jobs."""
    parts = path.split("/")
    if parts[0] != "ledger" or parts[2:3] != ["photos"] or view.value(path) is None:
        return False
    entry = cell_values.mapping(view.value(f"ledger/{parts[1]}"))
    return not jobs.isdisjoint(cell_values.texts(entry.get("jobs")))
