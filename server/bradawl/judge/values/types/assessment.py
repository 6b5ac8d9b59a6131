"""The assessment: what the judge answers, and the measures it comes from."""

from typing import Literal, NotRequired, TypedDict

from .rules import Fault, Grade, ThreeAmounts, ThreeHours

State = Literal["open", "done", "uninspected"]
DriveAnswer = Literal["drive", "limits", "trailer", "not_cleared"]
Evidence = Literal["documented", "seen", "claimed", "unknown"]
GradeOrigin = Literal["reading", "choice", "person", "implied", "combination"]
ReasonCode = Literal[
    "limit",
    "within",
    "choice",
    "not_inspected",
    "person",
    "overruled",
    "implied",
    "combination",
]
Exact = tuple[int, int]  # numerator, denominator above 0


class Measure(TypedDict):
    """One figure (in base units) or word under a name, at a place or at none ("")."""

    of: str
    place: str
    title: str
    number: Exact | None
    word: str | None
    unit: str
    typed: NotRequired[str]  # of a reading: as it was typed
    path: NotRequired[str]
    day: NotRequired[int]  # of a date, since 1970
    more: NotRequired[str]  # what is said after it
    unseen: NotRequired[int]  # 1, 2, …: beside the value that holds
    torn: NotRequired[bool]  # the value that holds names what it comes from


class Problem(TypedDict):
    """Something in the record that could not be used, and where."""

    code: str
    text: str
    path: str


Reason = TypedDict(
    "Reason",
    {
        "code": ReasonCode,
        "text": str,
        "source": str,
        "short": NotRequired[str],
        "fact": NotRequired[str],
        "limit": NotRequired[str],
        "with": NotRequired[list[str]],
    },
)
Reason.__doc__ = "Why a grade is what it is; `short` says the same with less."


class Fact(TypedDict):
    """A reading or what was computed of readings, as a person reads it."""

    text: str
    value: str
    unit: str


class ItemJudgment(TypedDict):
    """One item's grade and its reasons; not `asked` where another answer settles it."""

    applies: bool
    asked: bool
    state: State
    grade: Grade | None
    by: GradeOrigin | None
    measured: Grade | None
    overruled: bool
    reasons: list[Reason]
    facts: dict[str, Fact]
    problems: list[Problem]
    conflict: bool


class AreaSummary(TypedDict):
    """How many items of an area are in which state, and the worst grade among them."""

    area: str
    title: str
    worst: Grade | None
    open: int
    done: int
    uninspected: int
    total: int


class RaisedGrades(TypedDict):
    """A combination that was met, and the items that met it."""

    id: str
    items: list[str]
    grade: Fault
    text: str


class DriveReason(TypedDict):
    """Why the car may not simply be driven; `seen` is whether anybody looked at the item."""

    item: str
    text: str
    seen: bool


class DriveHome(TypedDict):
    """May it be driven home?"""

    answer: DriveAnswer
    text: str
    reasons: list[DriveReason]
    limits: list[str]
    caution: str


class ItemNote(TypedDict):
    """An item that was not reached or is left out, and why."""

    item: str
    why: str


class Coverage(TypedDict):
    """What share of what matters was looked at; an area in which nothing matters has none."""

    share_percent: int
    by_area: dict[str, int | None]
    done: int
    total: int
    not_reached: list[ItemNote]
    text: str


class NextCheck(TypedDict):
    """One item to look at."""

    item: str
    minutes: str
    worth: int
    text: str


class StageSetup(TypedDict):
    """The minutes that it takes to begin a stage."""

    stage: str
    minutes: str


class NextChecks(TypedDict):
    """What to look at in the minutes left; `proven` when no better choice exists."""

    minutes: str
    items: list[NextCheck]
    setup: list[StageSetup]
    total_minutes: str
    open: int
    left_out: list[ItemNote]
    proven: bool
    text: str


class OpposedUses(TypedDict):
    """Two wishes that work against each other."""

    uses: list[str]
    text: str
    source: str


class Brief(TypedDict):
    """What the car is wanted for; `weights` are mean weights of areas."""

    uses: list[str]
    weights: dict[str, str]
    conflicts: list[OpposedUses]
    text: str


class MaintenanceRow(TypedDict):
    """Maintenance: what has no document counts as due."""

    id: str
    title: str
    item: str
    evidence: Evidence
    due: bool
    text: str
    source: str
    parts: ThreeAmounts
    hours: ThreeHours
    also: list[str]
    done_by: list[str]


class WorkLine(TypedDict):
    """One job of the needed work, and the findings that it puts right."""

    id: str
    item: str
    covers: list[str]
    title: str
    kind: str
    cost: ThreeAmounts
    expected: int


class Totals(TypedDict):
    """Cost of the needed work; p50, p80, p90 are quantiles."""

    low: int
    likely: int
    high: int
    expected: int
    p50: int
    p80: int
    p90: int


class ReserveItem(TypedDict):
    """What is held back for an item that nobody looked at."""

    item: str
    chance: str
    cost: ThreeAmounts
    amount: int
    source: str


class Reserve(TypedDict):
    """What is held back for all that nobody looked at, the largest first."""

    amount: int
    items: list[ReserveItem]


class Argument(TypedDict):
    """A finding that speaks for a lower price."""

    item: str
    text: str
    amount: int


class Price(TypedDict):
    """What to pay; `walk_away` and `opening` are null while nobody said what the car is worth."""

    value: int | None
    margin: int
    asking: int | None
    walk_away: int | None
    opening: int | None
    text: str
    arguments: list[Argument]


class Money(TypedDict):
    """Cost, reserve and price, in whole units of the visit's currency."""

    currency: str
    rate: int
    assumed: list[str]
    lines: list[WorkLine]
    unpriced: list[str]
    totals: Totals
    together: str
    reserve: Reserve
    price: Price
    text: str


class Assessment(TypedDict):
    """The whole judgment of one record. Texts in it are finished sentences."""

    items: dict[str, ItemJudgment]
    areas: list[AreaSummary]
    findings: list[str]
    combinations: list[RaisedGrades]
    drive_home: DriveHome
    coverage: Coverage
    next: NextChecks
    brief: Brief
    baseline: list[MaintenanceRow]
    money: Money
    problems: list[Problem]
