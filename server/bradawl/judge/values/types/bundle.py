"""The bundle of a checklist as the server serves it: what screens show beside the judge's rules."""

from typing import Literal, NotRequired, TypedDict

from .diagnosis import Symptom
from .driving import Driving, WeekStep
from .leaving import ClosingRule
from .prices import Two
from .rules import Applies, Choice, Compute, Limit, Reading, RemedyRule, Rules, Unseen
from .terms import Answer, CarPlace, Circumstance, Panel, Region, Role, SourceStatus


class OnBodyMap(TypedDict):
    """Where an item lies on the body map, and what of it is shown there."""

    show: Literal["film", "readings", "marks", "card"]
    panels: list[Panel]
    places: dict[str, list[Panel]]


class Item(TypedDict):
    """One thing to look at, with every text that a screen shows."""

    id: str
    area: str
    title: str
    look: str
    how: str
    where: str
    on_car: NotRequired[list[Panel | CarPlace]]  # where it lies on the drawn car
    stage: str
    body_map: NotRequired[OnBodyMap]
    minutes: str
    cold: NotRequired[bool]
    depth: Literal["usual", "thorough"]
    cautions: list[str]
    applies: Applies
    answers: list[Answer]
    readings: list[Reading]
    choices: list[Choice]
    limits: list[Limit]
    compute: NotRequired[Compute]
    settled_by: list[str]
    separate: NotRequired[bool]
    covers: list[str]
    weight: dict[str, int]
    drive: Role
    drive_if: dict[Circumstance, Role]
    danger: int
    needs: list[str]
    stopped_by: list[str]
    implied_by: list[str]
    missing_if: NotRequired[list[str]]
    unseen: NotRequired[Unseen]
    remedies: list[RemedyRule]
    whys: list[str]


class Area(TypedDict):
    """One part of the car."""

    id: str
    title: str
    report_order: int


class Stage(TypedDict):
    """One part of the walk."""

    id: str
    title: str


class Source(TypedDict):
    """Where a figure comes from, and how well we know it; `region`: whose law it is."""

    title: str
    section: str
    status: SourceStatus
    region: NotRequired[Region]


class Caution(TypedDict):
    """A warning that stands beside whatever can hurt."""

    title: str
    text: str


class ProfileShape(TypedDict):
    """How a figure of the profile is asked: as the reading that it fills."""

    quantity: str
    units: list[str]
    at: list[str]
    optional: NotRequired[list[str]]
    plausible: NotRequired[Two]
    usual: NotRequired[Two]


class ProfileChoice(TypedDict):
    """One answer to a fact of the car."""

    id: str
    title: str


class ProfileFact(TypedDict):
    """What is asked of a car once: answers, a figure that fills readings, or a text.

    It stands at car/<id>, of a place or a panel at car/<id>_<place>.
    """

    id: str
    title: str
    choices: NotRequired[list[ProfileChoice]]
    panels: NotRequired[bool]
    fills: NotRequired[list[str]]
    reading: NotRequired[ProfileShape]
    text: NotRequired[bool]
    applies: NotRequired[Applies]


class ProfileGroup(TypedDict):
    """Facts and figures that are asked together."""

    id: str
    title: str
    facts: list[ProfileFact]


class CallAnswer(TypedDict):
    """An answer that is one tap: noted as this claim; without one it is a note of the call."""

    id: str
    title: str
    claim: NotRequired[str]
    against: bool


class CallQuestion(TypedDict):
    """What to ask on the phone before going; `many`: several answers may be true."""

    id: str
    title: str
    ask: str
    many: bool
    answers: list[CallAnswer]
    source: str


class LoadRule(TypedDict):
    """What to load, why, and what puts it on the list (`checklists/load.yaml`)."""

    id: str
    title: str
    why: str
    always: bool
    claims: list[str]
    calls: list[str]
    haul: list[str]
    tools: list[str]
    source: str


class TongueShare(TypedDict):
    """Of a loaded trailer's weight, in per cent."""

    low: str
    high: str
    source: str


class TiedownCount(TypedDict):
    """How many at least."""

    least: str
    source: str


class TiedownLimit(TypedDict):
    """Per cent of what is tied down, all working load limits together."""

    percent: str
    source: str


class BrakesAbove(TypedDict):
    """The weight of a loaded trailer from which it has brakes of its own."""

    above: str
    unit: str
    source: str


class HaulFigures(TypedDict):
    """The figures of the haul plan, each with its source."""

    tongue: TongueShare
    tiedowns: TiedownCount
    tiedown_limit: TiedownLimit
    brakes: BrakesAbove


class Bundle(TypedDict):
    """The checklist as the server serves it. All numbers are integers or text."""

    format: int
    hash: str
    areas: list[Area]
    stages: list[Stage]
    items: list[Item]
    sources: dict[str, Source]
    cautions: dict[str, Caution]
    profile: NotRequired[list[ProfileGroup]]  # absent from older bundles
    closing: NotRequired[list[ClosingRule]]  # absent from older bundles
    driving: NotRequired[Driving]  # absent from older bundles
    week: NotRequired[list[WeekStep]]  # absent from older bundles
    locales: NotRequired[dict[str, dict[str, str]]]  # texts by locale and id of the text
    calls: NotRequired[list[CallQuestion]]
    load: NotRequired[list[LoadRule]]
    haul: NotRequired[HaulFigures]
    symptoms: NotRequired[list[Symptom]]  # a phone has these apart
    rules: Rules


ModelFigure = TypedDict(
    "ModelFigure",
    {
        "typed": str,
        "unit": str,
        "read": NotRequired[str],
        "sure": NotRequired[bool],
        "from": NotRequired[str],
    },
)
ModelFigure.__doc__ = "A figure as a car keeps it; `from`: where it was read (record/profile.py)."


class WeakPoint(TypedDict):
    """Where a model is to be looked at first: an item, and how often it is bad, or its percent."""

    item: str
    chance: NotRequired[Literal["often", "sometimes"]]
    percent: NotRequired[int]
    note: NotRequired[str]


ShopModel = TypedDict(
    "ShopModel",
    {
        "make": str,
        "model": str,
        "from": NotRequired[int],
        "to": NotRequired[int],
        "facts": dict[str, str | int | ModelFigure],
        "look": list[WeakPoint],
        "notes": NotRequired[str],
    },
)
ShopModel.__doc__ = (
    "A model that a shop remembers, `from` one year `to` another: facts of its cars as they stand "
    "at car/<name>, and where to look first. It stands at models/<id> of the shop's scope."
)
