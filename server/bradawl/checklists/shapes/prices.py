"""The shape of the price files, one for each region.

Hours stand with the money: they are what a shop of that region writes on its bill.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, field_validator

from bradawl.checklists.shapes.item_parts import Strict
from bradawl.checklists.shapes.vocabulary import Amount, Decimal, ItemId, Money, RemedyId, Word
from bradawl.judge.values.types.terms import Region
from bradawl.language import message


class Figure(Strict):
    """One amount, and where it comes from."""

    amount: Amount
    source: str


def _rising(low: float, likely: float, high: float) -> None:
    if not low <= likely <= high:
        raise ValueError(message("checklists-figures"))


class UnseenCost(Strict):
    """What it costs when an item that nobody looked at is bad: low, likely, high."""

    cost: Money
    source: str

    @field_validator("cost")
    @classmethod
    def _cost_rises(cls, value: Money) -> Money:
        _rising(*value)
        return value


class PiecePrice(Strict):
    """What one piece takes: parts (money) and hours, each low, likely, high."""

    parts: Money
    hours: tuple[Decimal, Decimal, Decimal]

    @field_validator("parts")
    @classmethod
    def _parts_rise(cls, value: Money) -> Money:
        _rising(*value)
        return value

    @field_validator("hours")
    @classmethod
    def _hours_rise(cls, value: tuple[str, str, str]) -> tuple[str, str, str]:
        _rising(*map(float, value))
        return value


class KindPrices(Strict):
    """What a wire takes beyond any other: a thick feed, a safety circuit, one that needs a fuse."""

    feed: PiecePrice
    safety: PiecePrice
    fuse: PiecePrice


class JobPrice(PiecePrice):
    """What a job takes, and where a remedy counts pieces (`per`) what each after the first does."""

    loss: Amount = Field(0, description="originality that it takes away, as money")
    each: PiecePrice | None = None
    kinds: KindPrices | None = Field(
        None, description="where the pieces are wires: what each of these kinds takes on top"
    )
    source: str


class Prices(Strict):
    """What work costs in one region, in whole units of its currency, at prices of one year."""

    prices: Region
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
    year: Annotated[int, Field(ge=2000, le=2100)]
    hourly_rate: Figure
    margin: Figure = Field(description="what is held back in any deal")
    unseen: dict[ItemId, UnseenCost] = Field({}, description="by item")
    work: dict[RemedyId, JobPrice] = Field({}, description="by remedy, as item/remedy")
    upkeep: dict[Word, JobPrice] = Field({}, description="by line of baseline.yaml")
