"""The shape of what a car may have to have or be left for, and of wishes that oppose each other."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from bradawl.checklists.shapes.item_parts import Applies, Strict
from bradawl.checklists.shapes.tables import Condition
from bradawl.checklists.shapes.vocabulary import Sentence, Use, Word
from bradawl.judge.values.types.terms import WantSide
from bradawl.language import message

#: Of what may apply: what is no fact of the car that is one of few words.
_NOT_ONE_OF_FEW = {"cylinders", "year", "uses", "region"}


class Want(Strict):
    """What a car may have to have, or be left for, and what at its checks speaks against it."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=40)]
    side: WantSide
    uses: list[Use] = Field([], description="for which it is offered")
    checks: list[Condition] = Field([], description="what is looked at, and what found there tells")
    car: Applies | None = Field(None, description="what facts of the car have to be")
    ask: Annotated[str, Field(min_length=10, max_length=120, pattern=r"[?]$")] | None = None
    source: str

    @model_validator(mode="after")
    def _can_be_told(self) -> Want:
        if not (self.checks or self.car or self.ask):
            raise ValueError(message("checklists-want"))
        if self.car and set(self.car.model_dump(exclude_none=True)) & _NOT_ONE_OF_FEW:
            raise ValueError(message("checklists-want-car"))
        return self


class OpposedWants(Strict):
    """Two must-haves, or one and a use, that ask the car for opposite things."""

    wants: Annotated[list[Use | Word], Field(min_length=2, max_length=2)]
    reason: Sentence
    source: str


class Wants(Strict):
    wants: list[Want] = Field(min_length=1)
    opposed: list[OpposedWants] = Field([])
