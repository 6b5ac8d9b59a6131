"""Work: remedies offered, the cheapest of them, tip-over, order, and what the car is fit for."""

from typing import Literal, NotRequired, TypedDict

from .prices import ThreeAmounts, ThreeHours
from .record import Json
from .said import SaidArgument
from .terms import Exact, Grade, Role

EditableKey = Literal["parts", "hours", "title", "kind", "need", "loss", "also"]
RemedyOrigin = Literal["checklist", "edited", "own"]
JobClass = Literal["danger", "reliability", "decay", "comfort", "looks"]


class Remedy(TypedDict):
    """A remedy as checklist or record say it, with every figure checked; `title` as typed."""

    id: str
    item: str
    title: str
    kind: str
    parts: ThreeAmounts
    hours: ThreeHours
    need: bool
    loss: int
    also: list[str]
    origin: RemedyOrigin


class Offer(TypedDict):
    """A remedy or due maintenance with its cost and what it covers, its own finding first.

    `counted` is what of the lost originality counts; `touches` are the items that it renews,
    whether or not they have a fault.
    """

    id: str
    item: str
    title: SaidArgument  # the checklist's, or as typed at the desk
    kind: str
    parts: ThreeAmounts
    hours: ThreeHours
    need: bool
    loss: int
    also: NotRequired[list[str]]
    origin: RemedyOrigin
    covers: list[str]
    touches: NotRequired[list[str]]
    counted: int
    cost: ThreeAmounts
    done_by: NotRequired[list[str]]
    pieces: NotRequired[int]  # of a job by the piece: how many there are
    tips_at: NotRequired[int]  # from how many on replacing the whole is cheaper; 0: never
    no_figure: NotRequired[bool]  # nobody said what it costs: it is not free
    quoted: NotRequired[bool]  # its parts are the parts list's


class RecordedWork(TypedDict):
    """What the desk wrote about the work, as `remedies.recorded` reads it."""

    remedies: dict[str, dict[str, dict[str, Json]]]  # item, word, what was edited
    picks: dict[str, str]
    left_out: dict[str, bool]
    done: dict[str, bool]
    closed: dict[str, bool]
    own: dict[str, dict[str, Json]]
    answers: dict[str, list[str]]  # by item, what was picked on it
    further: "dict[str, list[Piece]]"  # by assembly, its pieces that have not failed
    quotes: dict[str, list[int]]  # by job, what its parts come to by the parts list


class Rates(TypedDict):
    """An hour's money, and the per cent of lost originality that counts."""

    rate: int
    percent: int


class NeededWork(TypedDict):
    """The cheapest work for what stands; `chosen` says of each whether it is a need.

    `musts` is what must be put right, and `family` the offers that may do it; `picked` are those of
    them that somebody picked; `settled` are findings that are mended or that nobody minds.
    `further` is what the pieces of each assembly that is kept are expected to come to, those that
    are items by the item; `stated` is what somebody said of each such item.
    """

    offers: list[Offer]
    due: list[Offer]
    chosen: dict[str, bool]
    standing: list[str]
    uncovered: list[str]
    proven: bool
    musts: list[str]
    family: list[Offer]
    further: dict[str, list[int]]
    stated: "dict[str, Piece]"
    picked: list[str]
    settled: list[str]


class Deal(TypedDict):
    """What the price takes from the rest of the judgment; what is absent changes nothing.

    `worth_factor` is what is left of the value by what is known and suspected of the car's history,
    `best_factor` what would be left if all that nobody looked at were fine. `disputed` are items
    whose answers contradict others. `stopped`: there is no price while something stops the deal.
    `cheaper`: what lowers the worth, or a fault that somebody called milder, is a reason to offer
    less.
    """

    worth_factor: NotRequired[Exact]
    best_factor: NotRequired[Exact]
    disputed: NotRequired[list[str]]
    stopped: NotRequired[bool]
    cheaper: NotRequired[bool]


class Coverable(TypedDict):
    """The least that a remedy must say to be chosen."""

    id: str
    covers: list[str]
    cost: ThreeAmounts


class CheapestSet(TypedDict):
    """The remedies that put every finding right for the least expected cost."""

    chosen: list[str]
    cost: ThreeAmounts
    expected: int
    sixths: int
    uncovered: list[str]
    proven: bool


class Piece(TypedDict):
    """Pieces of an assembly that have not failed."""

    title: NotRequired[str]
    cost: ThreeAmounts
    count: int
    chance_percent: int
    item: NotRequired[str]  # of the checklist, where the piece is one


class TipOver(TypedDict):
    """When replacing an assembly becomes cheaper than mending its pieces; see `plan.tip_over`."""

    now: Literal["assembly", "mend"]
    with_chances: Literal["assembly", "mend"]
    gap: int
    failures_at_least: int | None
    failures_at_most: int | None
    chance_percent: str | None
    tips_percent: int
    expected_mending: int
    expected_assembly: int
    by_chance: list[list[int]]
    by_count: list[list[int]]


Job = TypedDict(
    "Job",
    {
        "id": str,
        "class": JobClass,
        "grade": Grade,
        "after": list[str],
        "cost": int,
        "hours": NotRequired[int],
    },
)
Job.__doc__ = "A job to be put in order; it waits for those in `after`; its hours in hundredths."


class WorkOrder(TypedDict):
    """The order of jobs; `pulled` names the urgent job that each serves, `cycle` a ring."""

    order: list[str]
    pulled: dict[str, str]
    cycle: list[str]
    unknown: list[str]


class SequencedJob(TypedDict):
    """A job to be put in order: `tier` 0 is danger; `hours` in hundredths; `after` other jobs."""

    id: str
    tier: int
    weight: int
    cost: int
    hours: int
    after: list[str]


class Pace(TypedDict):
    """What there is: money month by month, and hours in a weekend; [] and 0 for no bound."""

    months: list[int]
    weekend_hundredths: int


class Sequence(TypedDict):
    """An order of jobs; `early` are those that stand before something they wait for."""

    order: list[str]
    exact: bool
    gap_percent: int | None
    early: list[str]


class SpreadJobs(TypedDict):
    """Jobs over budget periods, and what is left that no period can pay."""

    period: dict[str, int]
    left: list[str]
    spent: list[int]
    carried: list[int]
    short: int


class OpenFinding(TypedDict):
    """A finding that is still open, and how it weighs for each use."""

    item: str
    grade: Grade
    drive: Role
    danger: int
    weight: dict[str, int]


class Fitness(TypedDict):
    """What the car may be used for while findings are open."""

    road: Literal["off", "workshop", "open"]
    because: list[str]
    uses: list[str]
    barred: dict[str, list[str]]
