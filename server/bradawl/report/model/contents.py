"""The plain things that pages show: areas, findings, readings, photos, gaps.

Knows nothing of paper, and not where in a record they were found (`model/build.py`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from bradawl.judge.values import units
from bradawl.report.model.figures import Picture

#: Worst first.
GRAVITY = ("dangerous", "major", "minor", "none", "uninspected")
#: So many areas come first, in their own order; then all others.
FIRST_AREAS = 6


@dataclass(frozen=True)
class Photo:
    sha256: str
    caption: str
    taken: str
    place: str


@dataclass(frozen=True)
class Reading:
    """One reading at one or more places: `measured` is what was typed, with its unit."""

    title: str
    measured: str
    limit: str
    source: str


@dataclass(frozen=True)
class Reason:
    """Why a grade was given; `source` is empty when it is a person's own."""

    text: str
    source: str


@dataclass(frozen=True)
class Finding:
    """One checklist item with its answer."""

    id: str
    key: str
    title: str
    area: str
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
    implied: bool
    open: bool
    places: tuple[str, ...]
    picture: Picture | None

    @property
    def first_reason(self) -> str:
        return self.reasons[0].text if self.reasons else ""


@dataclass(frozen=True)
class Area:
    id: str
    title: str
    order: int
    findings: tuple[Finding, ...]
    sound: tuple[Finding, ...]
    unseen: tuple[tuple[str, str], ...]
    total: int

    @property
    def worst(self) -> str:
        return self.findings[0].grade if self.findings else ("none" if self.sound else "")

    @property
    def untouched(self) -> bool:
        """Nobody looked at anything here."""
        return not self.findings and not self.sound


@dataclass(frozen=True)
class Contents:
    car: str
    identity: tuple[tuple[str, str], ...]
    visit_facts: tuple[tuple[str, str], ...]
    areas: tuple[Area, ...]
    sources: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]

    def of_grade(self, grade: str) -> list[Finding]:
        return [one for area in self.areas for one in area.findings if one.grade == grade]

    def photos(self) -> Iterable[Photo]:
        for area in self.areas:
            for finding in (*area.findings, *area.sound):
                yield from finding.photos


def number_text(typed: Any, unit: str) -> str:
    """`2,5` and `mm` as `2,5 mm`: the figure as it was typed, the unit as the trade writes it."""
    return units.said(str(typed), unit or "1")
