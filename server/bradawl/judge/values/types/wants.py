"""What a car must have and what one leaves for, as it is judged."""

from typing import Literal, NotRequired, TypedDict

from .said import Said, SaidArgument
from .terms import WantSide

WantStanding = Literal["fine", "against", "open"]


class WantJudgment(TypedDict):
    """A must-have, or a reason to leave: `against` it is a must-have that is not met, a reason to
    leave that came true; `fine` once all that tells was looked at and says nothing of the kind.

    `items` are the checks that tell, `open` those of them that are still to be looked at, `item`
    the one that found what speaks against it ("" for none). `asks`: a person's tap answers it, or
    a part of it.
    """

    id: str
    side: WantSide
    title: SaidArgument
    standing: WantStanding
    items: list[str]
    open: list[str]
    item: str
    asks: bool
    said: NotRequired[Said]
