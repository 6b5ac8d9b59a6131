"""What a report says, as plain dataclasses: areas, findings, readings, photos.

Knows nothing of paper, and not where in a record anything was found (`build.py`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from bradawl.report.model.figures import Figure

__all__ = [
    "FIRST_AREAS",
    "Area",
    "Contents",
    "Finding",
    "Photo",
    "Reading",
    "Reason",
    "ReportIdentity",
]

#: So many areas come first, in their own order; then all others.
FIRST_AREAS = 6


@dataclass(frozen=True)
class ReportIdentity:
    """Which report this is: `made` is ISO 8601, `today` YYYY-MM-DD.

    `replaces` is an earlier report: its number and when it was made (ISO 8601). `record_sha256` is
    the digest of the attached record, `letterhead` the shop's lines, `check_page` where its check
    page is ("": nowhere).
    """

    number: str
    made: str
    today: str
    replaces: tuple[str, str] | None = None
    record_sha256: str = ""
    letterhead: tuple[str, ...] = ()
    check_page: str = ""


@dataclass(frozen=True)
class Photo:
    """A photo by the digest of its original."""

    sha256: str
    caption: str
    taken: str
    place: str


@dataclass(frozen=True)
class Reading:
    """One reading at one or more places: `measured` says its figures with their units.

    `limits` are texts, each with its source; "" where it is the trade's common practice. `places`
    are the same figures place by place; empty where there is but one, or they are no figures.
    """

    title: str
    measured: str
    limits: tuple[tuple[str, str], ...]
    places: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Reason:
    """Why a grade was given; `source` is empty where it is no law, standard or handbook."""

    text: str
    source: str


@dataclass(frozen=True)
class Finding:
    """One checklist item with its answer.

    `number` is a fault's own throughout the report, from 1, the gravest first: in the summary, on
    the map, at its heading and on its photos. 0 for what is no fault.
    """

    id: str
    key: str
    title: str
    grade: str
    where: str
    reasons: tuple[Reason, ...]
    facts: tuple[str, ...]
    problems: tuple[str, ...]
    note: str
    choice: str
    readings: tuple[Reading, ...]
    photos: tuple[Photo, ...]
    overruled: str
    others: tuple[str, ...]
    amended: bool
    open: bool
    figure: Figure | None
    number: int = 0

    @property
    def first_reason(self) -> str:
        return self.reasons[0].text if self.reasons else ""


class Unseen(NamedTuple):
    """An item that nobody inspected: its id and title, and why, within a sentence and alone."""

    item: str
    title: str
    why: str
    why_alone: str


@dataclass(frozen=True)
class Area:
    """One area: its items with faults, without, and those that nobody inspected."""

    id: str
    title: str
    order: int
    findings: tuple[Finding, ...]
    sound: tuple[Finding, ...]
    unseen: tuple[Unseen, ...]
    total: int

    @property
    def untouched(self) -> bool:
        """Nobody looked at anything here."""
        return not self.findings and not self.sound


@dataclass(frozen=True)
class CapturedShown:
    """What was captured on the spot and stands with no check, and every recording.

    `recordings` are named and not in the file: what it is, how long, when, of what (a check's
    title, "" for none), and its caption. `notes` are (when, text). `withheld` counts what this copy
    leaves out.
    """

    photos: tuple[Photo, ...] = ()
    recordings: tuple[tuple[str, str, str, str, str], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()
    withheld: int = 0

    def __bool__(self) -> bool:
        return bool(self.photos or self.recordings or self.notes or self.withheld)


@dataclass(frozen=True)
class Contents:
    """All that the chapters are made of: labels with texts, areas, sources with their status."""

    car: str
    identity: tuple[tuple[str, str], ...]
    visit_facts: tuple[tuple[str, str], ...]
    areas: tuple[Area, ...]
    sources: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]
    captured: CapturedShown

    def of_grade(self, grade: str) -> list[Finding]:
        return [
            finding for area in self.areas for finding in area.findings if finding.grade == grade
        ]
