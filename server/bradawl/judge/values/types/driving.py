"""The drive home: what is looked at on the way, and what a car's findings make of it."""

from typing import Literal, NotRequired, TypedDict

from .terms import Fault

Does = Literal["fix", "cool", "call", "haul"]


class DriveLeg(TypedDict):
    """After which distances one stops, on an odometer of that unit; then after every so many."""

    unit: Literal["mi", "km"]
    first: list[str]
    every: str
    source: str


class DriveReply(TypedDict):
    """An answer to a sign."""

    id: Literal["fine", "bad", "none"]
    title: str


class DriveSign(TypedDict):
    """One thing to look at while parked; a bad one is a finding of its area, of that grade.

    `figure` is the fact of the car that it is held against, `text` what to do where it is bad.
    """

    id: str
    title: str
    how: str
    choices: list[DriveReply]
    when: list[Literal["start", "first", "stop"]]
    places: list[str]
    figure: NotRequired[str]
    area: str
    grade: Fault
    does: Does
    text: str
    cautions: list[str]
    source: str


class DriveFaults(TypedDict):
    """Findings that are at least that bad."""

    item: list[str]
    at_least: Fault


class DriveWatch(TypedDict):
    """What a finding asks to be watched, the sign that shows it, and the kit that it wants."""

    id: str
    title: str
    when: list[DriveFaults]
    sign: NotRequired[str]
    kit: list[str]
    source: str


class DriveKit(TypedDict):
    """One thing to take along; with a `reason` on every drive."""

    id: str
    title: str
    reason: NotRequired[str]
    source: str


class Driving(TypedDict):
    """The table of the drive home (checklists/driving.yaml)."""

    legs: list[DriveLeg]
    signs: list[DriveSign]
    watch: list[DriveWatch]
    kit: list[DriveKit]


class WeekStep(TypedDict):
    """A step of the first week (checklists/week.yaml), with the findings and maintenance of it."""

    id: str
    title: str
    text: str
    items: list[str]
    upkeep: list[str]
    cautions: list[str]
    source: str


class DriveLine(TypedDict):
    """A line of the table that a car wants: by what was found, and what nobody looked at."""

    id: str
    found: list[str]
    unseen: list[str]


class DrivePlan(TypedDict):
    """What to watch on this car, and what to take along, each with the checks that it is for."""

    watch: list[DriveLine]
    kit: list[DriveLine]
