"""The record: events, the cells they fold into, what is known before any item is looked at."""

from typing import Any, Literal, NotRequired, TypedDict

from .assessment import Measure
from .offer import ClaimStanding, LookupResult, Teller
from .rules import Condition, WireTable
from .said import SaidArgument
from .terms import Fault, Region, WantSide

Json = None | bool | int | str | list["Json"] | dict[str, "Json"]  # what a record may hold


class Event(TypedDict):
    """One recorded fact as the judge reads it; `value` is null where it was taken back."""

    device: str
    seq: int
    at: str
    scope: NotRequired[str]
    prev: NotRequired[str]  # of the log, as `salt` and `text` are: what `commit` stands for
    salt: NotRequired[str]
    text: NotRequired[str]
    put: str
    commit: str
    over: list[str]
    value: Json
    rank: NotRequired[str]  # the stamp that the shop corrected `at` to
    fenced: NotRequired[str]  # why it no longer counts
    erased: NotRequired[bool]


class OtherValue(TypedDict):
    """A value written unseen by the winner's writer."""

    value: Json
    at: str


class Cell(TypedDict):
    """What stands at a path of the record; `others` newest first."""

    value: Json
    at: str
    others: list[OtherValue]
    erased: NotRequired[bool]
    withheld: NotRequired[bool]  # there, and left out of a report


Cells = dict[str, Cell]  # by path


class Record(TypedDict):
    """One inspection as it is judged."""

    visit: str
    cells: Cells


class EraseOrder(TypedDict):
    """One event whose value the shop ordered to be erased, and the stamp of the order."""

    device: str
    seq: int
    put: str
    commit: str
    at: str


class Orders(TypedDict):
    """The shop's orders by device: rows [from_seq, to_seq, …], as `record.folding.orders` says."""

    clock: dict[str, list[list[int]]]
    fence: dict[str, list[list[Any]]]  # a row of JSON holds numbers, null and text
    erase: list[EraseOrder]


class Mileage(TypedDict):
    """A mileage that a paper gives, and where it has one its date, as text and since 1970."""

    measure: Measure
    day: NotRequired[int]
    date: NotRequired[str]


class Claim(TypedDict):
    """A claim as it stands in the record; `words` as they were said or typed."""

    id: str
    kind: str
    words: str
    who: Teller
    standing: ClaimStanding


class Lookup(TypedDict):
    """A look-up as it stands in the record; `date` as YYYY-MM-DD, "" where nobody said."""

    id: str
    kind: str
    result: LookupResult
    date: str


class WantedCheck(TypedDict):
    """A check and the grade from which on it counts."""

    item: str
    at_least: Fault


class WantedFigure(TypedDict):
    """A figure and its most: whole money, or a distance in `unit`."""

    of: Literal["asking", "work", "odometer"]
    above: int
    unit: str


class Want(TypedDict):
    """A must-have or a reason to leave as it stands in the record.

    `so` is what people tapped of it: one answer, or two that were written unseen.
    """

    id: str
    side: WantSide
    words: str
    so: list[bool]
    check: NotRequired[WantedCheck]
    figure: NotRequired[WantedFigure]
    # from here on what the rules say of it
    checks: NotRequired[list[Condition]]
    car: NotRequired[dict[str, list[str]]]
    asks: NotRequired[bool]
    title: NotRequired[SaidArgument]
    items: NotRequired[list[str]]


class VisitFacts(TypedDict):
    """What is known of car and visit before any item is looked at; `day` counts from 1970."""

    today: str
    day: int
    about: dict[str, Json]
    brief: dict[str, Json]
    car: dict[str, Json]
    uses: list[str]
    region: Region
    absent: NotRequired[list[str]]  # panels that a car of this body style has not
    wires: NotRequired[WireTable]
    claims: NotRequired[list[Claim]]
    claimed: NotRequired[dict[str, list[Claim]]]  # by the checks that tell of them
    lookups: NotRequired[list[Lookup]]
    wants: NotRequired[list[Want]]
    mileages: NotRequired[list[Mileage]]  # that items hold, for the one that compares them


class Put(TypedDict):
    """One entry to record; None takes back what stands at the path."""

    put: str
    value: Json
