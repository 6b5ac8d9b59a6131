"""The shape of the first week: what is done in which order with a car that was just bought."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from bradawl.checklists.shapes.item_parts import Strict
from bradawl.checklists.shapes.vocabulary import Sentence, Word


class WeekStep(Strict):
    """One step: the findings (of areas or checks) and the maintenance that belong to it."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=60)]
    text: Sentence = Field(description="what is done, and what to note of it")
    items: list[str] = Field([], description="areas or checks whose findings belong to it")
    upkeep: list[Word] = Field([], description="lines of the maintenance baseline")
    cautions: list[Word] = Field([])
    source: str


class Week(Strict):
    """The steps in their order; what two steps name belongs to the first."""

    week: list[WeekStep] = Field(min_length=1)
