"""Diagnosis: a complaint's table of causes and tests, and what a record makes of it."""

from typing import Literal, NotRequired, TypedDict

from .rules import Applies, Condition
from .said import Said, SaidTitle
from .terms import Fault

# how a cause stands; `against`: what was found speaks against it so much that it hardly counts
CauseStanding = Literal["found", "likely", "possible", "unlikely", "against", "ruled_out"]
TestPassed = Literal["car", "skipped", "tool", "nothing"]
Weights = dict[str, int]  # by cause, on any scale


class SymptomCause(TypedDict):
    """A cause, and how often it is behind the complaint (any scale)."""

    id: str
    often: int
    title: str
    repair: NotRequired[list[str]]  # item/remedy: the first whose item the car has
    applies: NotRequired[Applies]
    then: NotRequired[str]  # the complaint whose table goes on from here
    harmless: NotRequired[bool]  # nothing to fix


class TestOutcome(TypedDict):
    """What a test may show."""

    id: str
    title: str


class Settling(TypedDict):
    """What of a record settles a test: an item that is fine, a known figure, a condition."""

    item: str | list[str]
    outcome: str
    fine: NotRequired[bool]
    known: NotRequired[str]
    when: NotRequired[Condition]


class TestReading(TypedDict):
    """A figure that a test takes for itself, to be taken again after the fix."""

    id: str
    title: str
    quantity: str
    units: list[str]
    over_time: NotRequired[bool]  # taken again some minutes later


class TestStep(TypedDict):
    """One step of a test; `read` is a reading of the test or of the item that it takes."""

    do: str
    read: NotRequired[str]


class SymptomTest(TypedDict):
    """A test; `likely` gives per cause (or "other") the per cent of each outcome."""

    id: str
    minutes: str
    outcomes: list[TestOutcome]
    likely: dict[str, list[int]]
    title: str
    how: str
    tools: NotRequired[list[str]]
    cautions: NotRequired[list[str]]
    takes: NotRequired[str]  # the item whose readings this test takes
    applies: NotRequired[Applies]
    settled: NotRequired[list[Settling]]
    measures: NotRequired[list[TestReading]]
    steps: NotRequired[list[TestStep]]
    conditions: NotRequired[list[str]]  # engine, rpm, hose: under which its readings are taken


class Symptom(TypedDict):
    """A table from a complaint to its causes."""

    id: str
    title: str
    says: str
    group: str
    source: str
    causes: list[SymptomCause]
    tests: list[SymptomTest]


class Factor(TypedDict):
    """What one test's outcome has in common with a cause, in per cent."""

    test: str
    percent: int


class RankedCause(TypedDict):
    """A cause's probability after and before the tests, in tenths of a per cent."""

    id: str
    tenths: int
    before: int
    factors: list[Factor]


class RankedTest(TypedDict):
    """What a test tells, in thousandths of a bit, and the same per minute."""

    id: str
    gain: int
    per_minute: int


class SettledBy(TypedDict):
    """An outcome that the record settles: by which item, when, and what it says."""

    outcome: str
    item: str
    at: str
    said: Said


class TestKnown(TypedDict):
    """A test's outcome: who said so and when; `other` is what the record says against it."""

    test: str
    by: Literal["person", "record"]
    outcome: str
    at: str
    item: NotRequired[str]
    said: NotRequired[Said]
    other: NotRequired[SettledBy]


class RuledOut(TypedDict):
    """Why a cause is none: the car does not have it, or somebody ruled it out."""

    by: Literal["car", "person"]
    at: str
    why: str


class CauseRepair(TypedDict):
    """What mends a cause, and its cost: low, likely, high."""

    id: str
    item: str
    title: SaidTitle
    cost: list[int]
    currency: str


class ComplaintCause(TypedDict):
    """A cause as it stands; `grades` are what it may be rated when it is found."""

    id: str
    title: SaidTitle
    standing: CauseStanding
    tenths: int
    before: int
    factors: list[Factor]
    repair: CauseRepair | None
    grades: list[Fault]
    then: str
    harmless: bool
    ruled_out: NotRequired[RuledOut]


class TestOffer(TypedDict):
    """A test to do next, and what it tells in words."""

    id: str
    gain: int
    per_minute: int
    tells: Said


class PassedTest(TypedDict):
    """A test that is not offered, and why."""

    id: str
    why: TestPassed
    tools: list[str]


class ReadingPoint(TypedDict):
    """A reading as it was typed and in base units, and under which conditions."""

    typed: str
    unit: str
    number: str
    phase: Literal["before", "after"]
    conditions: dict[str, str]
    minute: str
    at: str
    path: str


class ReadingSeries(TypedDict):
    """All readings of one kind, in the order in which they were taken."""

    test: str
    reading: str
    points: list[ReadingPoint]


class TestAfter(TypedDict):
    """What a test showed before the fix ("" unless it was done) and after."""

    test: str
    before: str
    after: str
    at: str


class Complaint(TypedDict):
    """One complaint as the record stands."""

    id: str
    causes: list[ComplaintCause]
    next: list[TestOffer]
    passed: list[PassedTest]
    known: list[TestKnown]
    found: list[str]
    repeats: list[ReadingSeries]
    after: list[TestAfter]
    turned_out: str


class RatesOfVisit(TypedDict):
    """What an hour costs, how much of lost originality counts, and in which currency."""

    rate: int
    percent: int
    currency: str
