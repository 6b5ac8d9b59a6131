"""A folder of checklist files as it was read, and what is wrong in which line."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from bradawl.checklists.complaints.models import Step, Symptom
from bradawl.checklists.shapes import closing, going, tables
from bradawl.checklists.shapes.driving import Driving
from bradawl.checklists.shapes.items import Area, Item
from bradawl.checklists.shapes.prices import Prices
from bradawl.checklists.shapes.wants import Wants
from bradawl.checklists.shapes.week import WeekStep
from bradawl.language import text

Place = tuple[str | int, ...]


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong in one line, and what would be right."""

    file: str
    line: int
    wrong: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.wrong}"


class ChecklistError(Exception):
    """The checklists cannot be used; the message lists every fault found, one a line."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = sorted(set(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def near(word: str, candidates: Iterable[str]) -> str:
    """What would be right instead of an unknown name: the nearest known one, if any is near."""
    found = difflib.get_close_matches(word, list(candidates), n=1, cutoff=0.5)
    return text("checklists-meant", name=found[0]) if found else text("checklists-add")


@dataclass
class File:
    """One YAML file: its plain value and the line of every key and list entry in it."""

    name: str
    value: dict[str, Any]
    lines: dict[Place, int]

    def line(self, place: Place) -> int:
        """The line of a place, or of the nearest thing around it."""
        for end in range(len(place), -1, -1):
            line = self.lines.get(place[:end])
            if line is not None:
                return line
        return 1

    def fault(self, place: Place, wrong: str) -> Fault:
        return Fault(self.name, self.line(place), wrong)


@dataclass
class Checklist:
    """All files of one folder, read and judged."""

    areas: list[Area] = field(default_factory=list)
    sources: dict[str, tables.Source] = field(default_factory=dict)
    cautions: dict[str, tables.Caution] = field(default_factory=dict)
    published: list[tables.PublishedList] = field(default_factory=list)
    combinations: list[tables.Combination] = field(default_factory=list)
    contradictions: list[tables.Contradiction] = field(default_factory=list)
    conflicts: list[tables.Conflict] = field(default_factory=list)
    histories: list[tables.History] = field(default_factory=list)
    claims: tables.Claims | None = None
    calls: list[going.CallQuestion] = field(default_factory=list)
    closing: list[closing.ClosingPaper] = field(default_factory=list)
    lookups: list[going.Lookup] = field(default_factory=list)
    wants: Wants | None = None
    driving: Driving | None = None
    load: list[going.LoadLine] = field(default_factory=list)
    haul: going.HaulFigures | None = None
    week: list[WeekStep] = field(default_factory=list)
    baseline: list[tables.Upkeep] = field(default_factory=list)
    assumptions: tables.Assumptions | None = None
    wires: tables.Wires | None = None
    prices: dict[str, Prices] = field(default_factory=dict)
    profile: list[tables.ProfileGroup] = field(default_factory=list)
    locales: dict[str, dict[str, tables.Translation]] = field(default_factory=dict)
    symptoms: list[Symptom] = field(default_factory=list)
    #: how measured tests are done, by name
    procedures: dict[str, list[Step]] = field(default_factory=dict)
    #: of each symptom, where its figures come from
    symptom_sources: list[str] = field(default_factory=list)
    #: texts of the desk's tables by id, where a locale translates any
    desk: dict[str, str] = field(default_factory=dict)

    @property
    def facts(self) -> list[tables.ProfileFact]:
        """Every fact and figure of the car's profile."""
        return [fact for group in self.profile for fact in group.facts]

    @property
    def items(self) -> list[Item]:
        """Every item, in walk order of the areas and file order within them."""
        return [item for area in self.areas for item in area.items]
