"""Sentences that nobody has said yet: ids of the catalogue's messages, with exact arguments."""

from typing import Literal, NotRequired, TypedDict, final


@final
class SaidNumber(TypedDict):
    """A figure in its quantity's base unit, as an exact text (`127/80`), and where it comes from.

    `unit` is the one it was read in, `typed` how (`2.50`, `3/32`); `offered` the units in which a
    checklist asks for it, `like` the reading for which it asks so. A `step` rounds what is shown
    in another unit to its multiples; `fixed` keeps the unit.
    """

    number: str
    unit: str
    offered: NotRequired[list[str]]
    like: NotRequired[str]
    typed: NotRequired[str]
    step: NotRequired[int]
    fixed: NotRequired[bool]


@final
class SaidMoney(TypedDict):
    """Whole units of a currency; without its code ("") the reader's."""

    money: int
    currency: str


@final
class SaidDate(TypedDict):
    """A day, month or year: `2022-06`."""

    date: str


@final
class SaidTerm(TypedDict):
    """A message without arguments, inside another."""

    term: str


@final
class SaidPlace(TypedDict):
    """A place on the car: `front-left`, or the number of a cylinder."""

    place: str


@final
class SaidFact(TypedDict):
    """What a computed fact is called, at its place."""

    fact: str
    at: NotRequired[str]


@final
class SaidTitle(TypedDict):
    """A text of the checklist: its kind (item, reading, choice, remedy, …) and ids; at a place."""

    checklist: list[str]
    at: NotRequired[str]


@final
class SaidList(TypedDict):
    """Several things in one sentence."""

    list: "list[SaidArgument]"
    last: Literal["and", "or"]


@final
class SaidInside(TypedDict):
    """A sentence or a part of one, inside another."""

    said: "Said"


class Said(TypedDict):
    """A message's id and arguments; `then` are further sentences after it."""

    id: str
    args: NotRequired["dict[str, SaidArgument]"]
    then: NotRequired["list[Said]"]


SaidArgument = (
    str
    | int
    | SaidNumber
    | SaidMoney
    | SaidDate
    | SaidTerm
    | SaidPlace
    | SaidFact
    | SaidTitle
    | SaidList
    | SaidInside
)
