"""The shape of the tables for the hours before: calls, look-ups, the load list, the haul plan."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from bradawl.checklists.shapes.item_parts import Strict
from bradawl.checklists.shapes.vocabulary import Chip, Decimal, ItemId, Sentence, Word
from bradawl.language import message

#: Of a button: it must fit two to a row of a phone.
Tap = Annotated[str, Field(min_length=3, max_length=32)]


class CallAnswer(Strict):
    """An answer that is one tap: noted as this claim; without one it is a note of the call."""

    id: Word
    title: Tap
    claim: Word | None = None
    against: bool = Field(False, description="speaks against going there")


class CallQuestion(Strict):
    """What to ask on the phone, as one would say it. Its id is a part of the ids of claims."""

    id: Annotated[str, Field(pattern=r"^[a-z0-9]+$")]
    title: Chip
    ask: Sentence
    many: bool = Field(False, description="several answers may be true")
    answers: list[CallAnswer] = Field(min_length=2)
    source: str


class Calls(Strict):
    """The call sheet."""

    calls: list[CallQuestion] = Field(min_length=1)


class Lookup(Strict):
    """What can be looked up of a car: at which kind of office, and which checks ask the same."""

    id: Word
    title: Chip
    ask: Sentence
    where: Sentence
    items: list[ItemId] = Field(min_length=1)
    stops: bool = Field(False, description="a bad result is cleared before anything is paid")
    source: str


class Lookups(Strict):
    """The look-ups."""

    lookups: list[Lookup] = Field(min_length=1)


#: `sat/years`: a question of the call sheet and its answer, or a field of the haul plan and its.
Answer = Annotated[str, Field(pattern=r"^[a-z]+(-[a-z]+)*/[a-z]+(-[a-z]+)*$")]


class LoadLine(Strict):
    """What to load, why, and what puts it on the list."""

    id: Word
    title: Chip
    why: Sentence
    always: bool = False
    claims: list[Word] = Field(default_factory=list)
    calls: list[Answer] = Field(default_factory=list)
    haul: list[Answer] = Field(default_factory=list)
    tools: list[Word] = Field(default_factory=list)
    source: str

    @model_validator(mode="after")
    def _is_listed(self) -> LoadLine:
        if not (self.always or self.claims or self.calls or self.haul or self.tools):
            raise ValueError(message("checklists-load-never"))
        return self


class Load(Strict):
    """The load list, beside the tools that checks name."""

    load: list[LoadLine] = Field(min_length=1)


class Share(Strict):
    """Per cent, from low to high."""

    low: Decimal
    high: Decimal
    source: str


class Least(Strict):
    """How many at least."""

    least: Decimal
    source: str


class Percent(Strict):
    """Of a weight."""

    percent: Decimal
    source: str


class Above(Strict):
    """Beyond which weight."""

    above: Decimal
    unit: Literal["lb", "kg"]
    source: str


class HaulFigures(Strict):
    """Tongue weight of a loaded trailer, how a car is tied down, when a trailer has brakes."""

    tongue: Share
    tiedowns: Least
    tiedown_limit: Percent
    brakes: Above


class Haul(Strict):
    """The figures of the haul plan."""

    haul: HaulFigures
