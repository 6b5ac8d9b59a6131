"""Before one leaves a car: what was asked and offered, and what was passed up."""

from typing import Literal, NotRequired, TypedDict

from .terms import Region

PaperState = Literal["", "in_hand", "missing", "not_needed"]
Side = Literal["asked", "offered"]
#: How a finding of an earlier visit stands in a later one; `unseen`: nobody looked again.
Since = Literal["worse", "same", "better", "gone", "new", "unseen"]


class ClosingRule(TypedDict):
    """A closing paper of a bundle; `regions` are those where it is asked."""

    id: str
    title: str
    look: str
    regions: list[Region]
    check: NotRequired[str]
    form: NotRequired[Literal["bill", "odometer"]]
    source: str


class Disclosure(TypedDict):
    """Whether federal law wants the odometer disclosed; from the year `until` on it doesn't."""

    state: Literal["needed", "exempt", "unknown"]
    until: int | None


class ClosingPaper(TypedDict):
    """A closing paper as it stands: in hand, missing, not needed, or "" while nobody said."""

    id: str
    state: PaperState
    note: str
    photos: list[str]


class Closing(TypedDict):
    """The closing papers of a region, how many nobody has settled, and the odometer's law."""

    papers: list[ClosingPaper]
    open: int
    disclosure: NotRequired[Disclosure]


class Deposit(TypedDict):
    """A deposit with its terms; `refund` is on what condition it comes back."""

    amount: int | None
    date: str
    until: str
    refund: str
    photos: list[str]


class DealPrice(TypedDict):
    """What was asked or offered, in whole units of the visit's currency.

    `put` is the entry's path, "" for the asking price that no day is known of; `date` is
    YYYY-MM-DD or "", `time` HH:MM or "".
    """

    put: str
    amount: int
    date: str
    time: str
    side: Side
    of_ad: bool


class Passing(TypedDict):
    """A car was passed: on which day, for what price one would come back, why, until when."""

    id: str
    date: str
    price: int | None
    why: str
    until: str


class Leaving(TypedDict):
    """What one needs before one leaves the car.

    `reasons` are the ids of up to three arguments of the price, `is_chosen` says that a person
    picked them. `opening` is what somebody typed (`is_typed`), else what the price suggests;
    `is_over_top`: it lies above the top price.
    """

    prices: list[DealPrice]
    opening: int | None
    is_typed: bool
    is_over_top: bool
    leave_date: str
    leave_time: str
    reasons: list[str]
    is_chosen: bool
    passed: list[Passing]
    deposit: Deposit


class SinceThen(TypedDict):
    """A check that had a fault then or has one now; "" for a grade that nobody gave."""

    item: str
    then: str
    now: str
    since: Since


class Again(TypedDict):
    """An earlier visit to the same car beside this one; money in whole units, null for unknown."""

    date: str
    rows: list[SinceThen]
    asked_then: int | None
    asked_now: int | None
    passed: NotRequired[Passing]
