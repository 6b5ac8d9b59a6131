"""What work and what nobody looked at may cost: amounts, hours, price lists of a region."""

from typing import Annotated, NotRequired, TypedDict

from .terms import WireCount

Two = Annotated[list[str], 2]  # low and high figure
ThreeAmounts = Annotated[list[int], 3]  # low, likely, high
ThreeHours = Annotated[list[str], 3]  # low, likely, high as decimal text


class UnseenPrice(TypedDict):
    """What an item costs in one region when it is bad."""

    cost: ThreeAmounts
    source: NotRequired[str]


class PiecePrice(TypedDict):
    """What one more piece of a job takes."""

    parts: ThreeAmounts
    hours: ThreeHours


class WorkPrice(TypedDict):
    """What one job takes in one region; `loss` is originality that it takes away, as money."""

    parts: ThreeAmounts
    hours: ThreeHours
    each: NotRequired[PiecePrice]
    kinds: NotRequired[dict[WireCount, PiecePrice]]
    loss: NotRequired[int]
    source: NotRequired[str]


class MoneySettings(TypedDict):
    """What is assumed when the brief says nothing."""

    hourly_rate: NotRequired[int]
    margin: NotRequired[int]
    costs_move_together: NotRequired[str]
    source: NotRequired[str]


class PriceList(TypedDict):
    """What a region's price list says once, not per job; whole units of its currency."""

    currency: str
    year: int
    hourly_rate: int
    margin: int
