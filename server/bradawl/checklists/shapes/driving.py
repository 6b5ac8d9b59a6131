"""The shape of the drive home: what is looked at on the way, what a finding asks to be watched."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bradawl.checklists.shapes.item_parts import Strict
from bradawl.checklists.shapes.vocabulary import Decimal, ItemId, Name, Sentence, Word
from bradawl.judge.values.types.terms import Fault

Title = Annotated[str, Field(min_length=3, max_length=100)]


class Leg(Strict):
    """After which distances one stops, on an odometer of that unit."""

    unit: Literal["mi", "km"]
    first: list[Decimal] = Field(min_length=1)
    every: Decimal
    source: str


class Reply(Strict):
    """An answer to a sign: fine, bad, or that the car has no such gauge."""

    id: Literal["fine", "bad", "none"]
    title: Annotated[str, Field(min_length=2, max_length=30)]


class Sign(Strict):
    """One thing to look at while parked, and what follows where it is bad."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=40)]
    how: Sentence
    choices: list[Reply] = Field(min_length=2, max_length=3)
    when: list[Literal["start", "first", "stop"]] = Field(min_length=1)
    places: list[Word] = Field([])
    figure: Name | None = Field(None, description="the fact of the car that it is held against")
    area: Word
    grade: Fault
    does: Literal["fix", "cool", "call", "haul"]
    text: Sentence = Field(description="what to do where it is bad")
    cautions: list[Word] = Field([])
    source: str


class Faults(Strict):
    """Findings of the visit that are at least that bad."""

    item: list[ItemId] = Field(min_length=1)
    at_least: Fault


class Watch(Strict):
    """What a finding asks to be watched, the sign that shows it, and the kit that it wants."""

    id: Word
    title: Title
    when: list[Faults] = Field(min_length=1)
    sign: Word | None = None
    kit: list[Word] = Field([])
    source: str


class Kit(Strict):
    """One thing to take along; with a reason of its own on every drive."""

    id: Word
    title: Title
    reason: Sentence | None = None
    source: str


class Driving(Strict):
    """The drive home."""

    legs: list[Leg] = Field(min_length=1)
    signs: list[Sign] = Field(min_length=1)
    watch: list[Watch] = Field(min_length=1)
    kit: list[Kit] = Field(min_length=1)


class DrivingFile(Strict):
    """The file of the drive home."""

    driving: Driving
