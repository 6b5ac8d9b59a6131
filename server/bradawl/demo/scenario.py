"""The demo's scenarios as written in demo/*.yaml: one car, one visit, one file.

Every scalar is read as text, as the checklists are: a reading is what was typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Annotated, Any

import yaml
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from bradawl.language import message

Clock = Annotated[str, Field(pattern=r"^\d\d:\d\d$")]
Minutes = Annotated[str, Field(pattern=r"^\d+(\.\d+)?$")]
Day = Annotated[str, Field(pattern=r"^\d{4}-\d\d-\d\d$")]


class ScenarioError(Exception):
    """A scenario that cannot be used; the message names file, place and fault."""


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Photo(_Strict):
    """One photo: `picture` is its subject, of the file pictures/KEY-PICTURE.jpg."""

    picture: str
    caption: str
    place: str | None = None


class Finding(_Strict):
    """What was recorded of one item, in one go.

    `readings` maps a reading, or reading/place, to "figure unit" (just text for codes and dates).
    `at` says when (else `minutes` after the last finding), `day` when it was not the day of the
    visit.
    """

    item: str
    at: Clock | None = None
    day: Day | None = None
    minutes: Minutes = "0.6"
    grade: str | None = None
    why: str | None = None
    choice: str | None = None
    readings: dict[str, str] = {}
    text: str | None = None
    note: str | None = None
    photos: list[Photo] = []


class Started(_Strict):
    date: Day
    time: Clock
    zone: Annotated[str, Field(pattern=r"^[+-]\d\d:\d\d$")]


class Phone(_Strict):
    """A phone of the demo; `key` is what its id is made of."""

    key: str
    name: str


class Signature(_Strict):
    """The seal at the end: who, when, and the strokes as flat lists x y x y …"""

    name: str
    time: Clock
    box: list[str]
    strokes: list[str]


class Second(_Strict):
    """What a second person recorded of the same car, having seen nothing of the first."""

    phone: Phone
    findings: list[Finding]


class Scenario(_Strict):
    key: str
    phone: Phone
    started: Started
    about: dict[str, str]
    car: dict[str, str]
    #: the car's own figures, as "43 psi, manual": what its maker says, and where that was read
    figures: dict[str, str] = {}
    brief: dict[str, str | list[str]]
    findings: list[Finding]
    seal: Signature | None = None
    amendments: list[Finding] = []
    second: Second | None = None

    @property
    def title(self) -> str:
        return f"{self.car.get('make', '')} {self.car.get('model', '')}".strip()

    def moment(self, time: str, day: str | None = None) -> datetime:
        """A clock time of the visit's day, or of another day, with its zone."""
        return datetime.fromisoformat(f"{day or self.started.date}T{time}:00{self.started.zone}")


def read(folder: Path) -> list[Scenario]:
    """All scenarios of a folder in order of their visits. Raises ScenarioError."""
    scenarios = [_read(file) for file in sorted(folder.glob("*.yaml"))]
    return sorted(scenarios, key=lambda s: (s.started.date, s.started.time, s.key))


def _read(file: Path) -> Scenario:
    try:
        return Scenario.model_validate(
            yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        )
    except yaml.YAMLError as wrong:
        raise ScenarioError(message("cli-demo-yaml", file=file.name, why=str(wrong))) from wrong
    except ValidationError as wrong:
        first = wrong.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise ScenarioError(
            message("cli-demo-field", file=file.name, where=where, why=first["msg"])
        ) from wrong


# --- from what is written to what a phone would store ------------------------------------------

_WHOLE = {"car/year", "car/cylinders", "about/asking_price"}
_TRUTH = {"about/dark", "about/wet", "about/motorway"}
_MEASURED = {"about/distance_home", "car/odometer"}
_MONEY = {"brief/value_good", "brief/hourly_rate", "brief/margin", "brief/budget"}


def fact(path: str, written: str | Sequence[str]) -> Any:
    """The JSON value of an about/, car/ or brief/ path."""
    if not isinstance(written, str):
        return list(written)
    if path in _WHOLE or path in _MONEY:
        return int(written)
    if path in _TRUTH:
        return written == "yes"
    if path in _MEASURED:
        return measured(written)
    return written


def measured(written: str) -> dict[str, str]:
    """ "2,5 mm" as {"typed": "2,5", "unit": "mm"}; the last word is the unit."""
    typed, _, unit = written.rpartition(" ")
    return {"typed": typed, "unit": unit}


def figure(written: str) -> dict[str, str]:
    """ "43 psi, manual" as the car keeps a figure of its own."""
    typed, _, where = written.rpartition(", ")
    return {**measured(typed), "from": where}


def reading(written: str, quantity: str) -> dict[str, str]:
    """What was typed for a reading; the unit of codes and dates is empty."""
    return {"typed": written, "unit": ""} if quantity in ("code", "date") else measured(written)


def moments(scenario: Scenario, findings: Sequence[Finding], begin: datetime) -> list[datetime]:
    """When each finding was recorded: its own `at`, else some minutes after the one before."""
    now, times = begin, []
    for finding in findings:
        now = (
            scenario.moment(finding.at, finding.day)
            if finding.at
            else now + timedelta(minutes=float(finding.minutes))
        )
        times.append(now)
    return times
