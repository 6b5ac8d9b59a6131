"""The assessment: what the judge answers, and the measures it comes from."""

from typing import Literal, NotRequired, TypedDict

from .offer import ClaimJudgment, LookupJudgment
from .prices import ThreeAmounts, ThreeHours
from .said import Said, SaidArgument, SaidFact, SaidTitle
from .terms import Exact, Fault, Grade
from .wants import WantJudgment

State = Literal["open", "done", "uninspected"]
DriveAnswer = Literal["drive", "limits", "trailer", "not_cleared"]
BuyAnswer = Literal["buy", "up_to", "not_until", "walk", "too_little"]
# a finding that forbids other checks: unsafe, the car does not move, the engine is not cold
Mark = Literal["dangerous", "stuck", "warm"]
Question = Literal["buy", "drive", "price", "now"]
HistoryStanding = Literal["against", "not_excluded", "suspected", "likely", "strong"]
Evidence = Literal["documented", "seen", "claimed", "unknown"]
GradeOrigin = Literal["reading", "choice", "person", "eye", "implied", "combination"]
ReasonCode = Literal[
    "limit",
    "within",
    "choice",
    "not_inspected",
    "person",
    "overruled",
    "implied",
    "combination",
    "figure",
    "look_first",
    "claim",
    "want",
]
ReasonGroup = Literal["safety", "structure", "wear", "service", "other"]


class Measure(TypedDict):
    """One figure (in base units) or word under a name, at a place or at none ("")."""

    of: str
    place: str
    title: SaidFact | SaidTitle
    number: Exact | None
    word: str | None
    unit: str
    offered: NotRequired[list[str]]  # the units in which its reading is asked for
    like: NotRequired[str]  # that reading
    typed: NotRequired[str]  # of a reading: as it was typed
    shown: NotRequired[SaidArgument]  # of a word: what a person reads
    path: NotRequired[str]
    day: NotRequired[int]  # of a date, since 1970
    more: NotRequired[list[Said]]  # what is said after it
    called: NotRequired[SaidArgument]  # in place of title and place
    unseen: NotRequired[int]  # 1, 2, …: beside the value that holds
    torn: NotRequired[bool]  # the value that holds names what it comes from


class Meaning(TypedDict):
    """What a typed text may have meant: a canonical text (judge/values/typed.py) in a unit."""

    read: str
    unit: str


class Problem(TypedDict):
    """Something in the record that could not be used, and where."""

    code: str
    said: Said
    path: str
    meanings: NotRequired[list[Meaning]]  # of `doubt`: which of them a person has to say


Reason = TypedDict(
    "Reason",
    {
        "code": ReasonCode,
        "said": Said,
        "source": str,
        "fact": NotRequired[str],
        "with": NotRequired[list[str]],
    },
)
Reason.__doc__ = "Why a grade is what it is; a person's own word has no source."


class Fact(TypedDict):
    """A reading or what was computed of readings; `value` is in `unit`, or a word."""

    said: Said
    value: str
    unit: str


class ItemJudgment(TypedDict):
    """One item's grade and its reasons.

    `applies`: the car has it, or somebody answered it. `asked`: a visit of this depth looks at it.
    """

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
    title: SaidTitle
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
    said: Said


class OpenQuestion(TypedDict):
    """Answers that contradict one another, and the question that settles it."""

    id: str
    items: list[str]
    said: Said


class HistorySign(TypedDict):
    """A sign of a history: the item that shows it, and what it says."""

    item: str
    said: Said


class HistoryJudgment(TypedDict):
    """How a hidden history stands by the signs so far, in words; its chance stays in the judge.

    `next` is the sign to look at next, None when none is left.
    """

    id: str
    standing: HistoryStanding
    speak_for: list[HistorySign]
    speak_against: list[HistorySign]
    looked_at: int
    signs: int
    next: str | None
    said: Said


class Clause(TypedDict):
    """A part of what is said of the car, and the item that proves it ("" for none)."""

    said: Said
    item: str


class FourAnswers(TypedDict):
    """What a friend who knows cars would say: may I buy, may I drive, my top price, what now.

    `answers` has one row of clauses for each question, the answer first and then what it rests on,
    the worst first. `spoken` is the same as one paragraph. `overruled` are measured faults that a
    person graded milder.
    """

    buy: BuyAnswer
    drive: DriveAnswer
    answers: dict[Question, list[Clause]]
    spoken: list[Clause]
    overruled: list[Clause]


class DriveReason(TypedDict):
    """Why the car may not simply be driven; `seen` is whether anybody looked at the item."""

    item: str
    said: Said
    seen: bool


class DriveHome(TypedDict):
    """May it be driven home?"""

    answer: DriveAnswer
    said: Said
    reasons: list[DriveReason]


class Afterwards(TypedDict):
    """How the car stands after work: `mended` items count as looked at and fine.

    `grades` are those that are others than they were found to be.
    """

    mended: list[str]
    dangerous: list[str]
    grades: dict[str, Grade | None]
    drive_home: DriveHome


class ItemNote(TypedDict):
    """An item that was not reached or is left out, and why."""

    item: str
    said: Said


class Coverage(TypedDict):
    """What share of what matters was looked at; an area in which nothing matters has none."""

    share_percent: int
    by_area: dict[str, int | None]
    done: int
    total: int
    not_reached: list[ItemNote]
    said: Said


class NextCheck(TypedDict):
    """One item to look at; the minutes with the beginning of its stage, where it begins one."""

    item: str
    minutes: str
    said: Said


class NextChecks(TypedDict):
    """What to look at in the minutes left, the best first; nothing when `enough` says why not."""

    enough: NotRequired[Said]
    minutes: str
    items: list[NextCheck]
    total_minutes: str
    open: int
    left_out: list[ItemNote]
    said: Said


class OpposedUses(TypedDict):
    """Two wishes, uses or must-haves, that work against each other."""

    uses: list[str]
    said: Said
    source: str


class Brief(TypedDict):
    """What the car is wanted for; `weights` are mean weights of areas."""

    uses: list[str]
    weights: dict[str, str]
    conflicts: list[OpposedUses]


class MaintenanceRow(TypedDict):
    """Maintenance: what has no document counts as due."""

    id: str
    title: SaidTitle
    item: str
    evidence: Evidence
    due: bool
    said: Said
    source: str
    parts: ThreeAmounts
    hours: ThreeHours
    also: list[str]
    done_by: list[str]
    does: list[str]


class WorkLine(TypedDict):
    """One job of the needed work, and the findings that it puts right."""

    id: str
    item: str
    covers: list[str]
    title: SaidArgument  # the checklist's, or as typed at the desk
    kind: str
    cost: ThreeAmounts
    expected: int
    pieces: NotRequired[int]  # of a job by the piece: how many there are
    tips_at: NotRequired[int]  # from how many on replacing the whole is cheaper


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
    """What is held back for an item that nobody found fine, or for all that see its damage.

    `frees` is what of it is not held any more once this item alone is found fine.
    """

    item: str
    chance: str
    cost: ThreeAmounts
    amount: int
    frees: int
    source: str


class Reserve(TypedDict):
    """What is held back beyond the expected cost of the work, the largest first.

    `amount` is exact to the unit: worth less work, reserve and margin is the top price. Of holds
    that work takes away only what they exceed it by is shown.
    """

    amount: int
    items: list[ReserveItem]


class Argument(TypedDict):
    """A job that speaks for a lower price, and the findings that it puts right.

    Judgments that a phone kept from an older judge have no groups.
    """

    item: str
    said: Said
    amount: int
    id: NotRequired[str]  # of its line
    covers: NotRequired[list[str]]
    group: NotRequired[ReasonGroup]


class ReasonSum(TypedDict):
    """What the reasons of one group come to; all groups together are the expected work."""

    group: ReasonGroup
    amount: int
    count: int


class Price(TypedDict):
    """What to pay; `walk_away` and `opening` are null while nobody said what the car is worth.

    They are null too while too little was seen or a deal stopper stands. `worth` is the value with
    what is known and suspected of its history taken off; `bound` is the top price if everything
    that nobody looked at turned out fine.
    """

    value: int | None
    worth: NotRequired[int | None]
    bound: NotRequired[int | None]
    margin: int
    asking: int | None
    walk_away: int | None
    opening: int | None
    said: Said
    arguments: list[Argument]
    groups: NotRequired[list[ReasonSum]]


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
    said: Said


class Assessment(TypedDict):
    """The whole judgment of one record; who shows it says it (`bradawl.language.say`).

    All of it is as the car was found; `now`, where work has closed something, is how it stands.
    """

    items: dict[str, ItemJudgment]
    areas: list[AreaSummary]
    findings: list[str]
    combinations: list[RaisedGrades]
    drive_home: DriveHome
    coverage: Coverage
    next: NextChecks
    marks: NotRequired[dict[str, Mark]]
    brief: Brief
    baseline: list[MaintenanceRow]
    money: Money
    problems: list[Problem]
    questions: list[OpenQuestion]
    histories: NotRequired[list[HistoryJudgment]]
    claims: NotRequired[list[ClaimJudgment]]
    lookups: NotRequired[list[LookupJudgment]]
    wants: NotRequired[list[WantJudgment]]
    rank: NotRequired[list[int]]  # among other cars, compared from the left; the least is the best
    decision: FourAnswers
    now: NotRequired[Afterwards]
