"""Diagnosis: a symptom's table of causes and tests, and what follows from test results."""

from typing import TypedDict


class Cause(TypedDict):
    """A cause, and how often it is behind the symptom (any scale)."""

    id: str
    often: int


class Outcome(TypedDict):
    """What a test may show."""

    id: str


class Test(TypedDict):
    """A test; `likely` gives per cause (or "other") the per cent of each outcome."""

    id: str
    minutes: str
    outcomes: list[Outcome]
    likely: dict[str, list[int]]


class Symptom(TypedDict):
    """A table from a symptom to its causes."""

    causes: list[Cause]
    tests: list[Test]


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
