"""The shape of the tables for the hours before somebody drives to a car: calls and look-ups."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from bradawl.checklists.shapes.item_parts import Strict
from bradawl.checklists.shapes.vocabulary import Chip, ItemId, Sentence, Word

#: Of a button: it must fit two to a row of a phone.
Tap = Annotated[str, Field(min_length=3, max_length=32)]


class CallAnswer(Strict):
    """An answer that is one tap: noted as this claim; without one it is a note of the call."""

    id: Word
    title: Tap
    claim: Word | None = None
    against: bool = Field(False, description="speaks against going there")


class CallQuestion(Strict):
    """What to ask on the phone, as one would say it."""

    id: Word
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
