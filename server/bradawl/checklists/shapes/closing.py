"""The shape of the closing papers: what changes hands with a car, by region."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bradawl.checklists.shapes.item_parts import Strict
from bradawl.checklists.shapes.vocabulary import ItemId, Sentence, Word


class ClosingPaper(Strict):
    """One paper or thing, what to look at, and the form that the desk prints for it."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=40)]
    look: Sentence
    regions: list[Literal["us", "eu"]] = Field(min_length=1)
    check: ItemId | None = Field(None, description="the check that looks at the same")
    form: Literal["bill", "odometer"] | None = None
    source: str


class Closing(Strict):
    """The closing papers."""

    closing: list[ClosingPaper] = Field(min_length=1)
