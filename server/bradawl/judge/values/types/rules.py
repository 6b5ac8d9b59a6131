"""The rules: a checklist as the judge gets it, and the bundle of it that phone and report get."""

from typing import Literal, NotRequired, TypedDict

from .prices import (
    MoneySettings,
    PiecePrice,
    PriceList,
    ThreeAmounts,
    ThreeHours,
    Two,
    UnseenPrice,
    WorkPrice,
)
from .terms import (
    Answer,
    BodyStyle,
    Circumstance,
    DriveLimit,
    EffectKind,
    Fault,
    Grade,
    Panel,
    Place,
    Region,
    Role,
    WantSide,
    WireCount,
    WireKind,
)

Span = TypedDict("Span", {"from": NotRequired[int], "to": NotRequired[int]})
Span.__doc__ = "Whole numbers, both ends included; a missing end is open."
Applies = dict[str, list[str] | Span]  # by car fact, or `uses`
Parameter = str | list[str] | list[list[str]]
Compute = dict[str, Parameter]  # `kind`, and what that kind reads


class Reading(TypedDict):
    """One figure to take; the first unit is the default; no `at` means a single place.

    `plausible`, `usual`: lowest and highest figure, in the first unit (record/doubts.py).
    `optional`: places that not every car has, or of which nothing depends. `figure`: the fact of
    the car that fills it where it was not taken itself (record/profile.py). `wants`: readings for
    the car's own figures, without which it never says that all is fine.
    """

    id: str
    title: str
    quantity: str
    units: list[str]
    at: list[str]
    optional: NotRequired[list[str]]
    plausible: NotRequired[Two]
    usual: NotRequired[Two]
    figure: NotRequired[str]
    wants: NotRequired[list[str]]


class Choice(TypedDict):
    """One answer to pick; without a grade it is only information. `law`: sources that are law."""

    id: str
    title: str
    grade: NotRequired[Grade]
    source: NotRequired[str]
    law: NotRequired[dict[Region, str]]


Limit = TypedDict(
    "Limit",
    {
        "of": str,
        "below": NotRequired[str],
        "above": NotRequired[str],
        "outside": NotRequired[Two],
        "is": NotRequired[str],
        "unit": NotRequired[str],
        "grade": Fault,
        "source": str,
        "law": NotRequired[dict[Region, str]],  # the source where it is law
        "applies": NotRequired[Applies],
        "without": NotRequired[str],  # gives way once that reading is there
    },
)
Limit.__doc__ = "Beyond which figure, or at which word, a reading or a fact is a fault."


class Effect(TypedDict):
    """What a finding does to whoever drives or buys the car.

    `on`: the grades and answers that have it, and readings or facts that are beyond a limit.
    `limits` of the kind "limits" say what the drive home must leave out; `factor` of "lowers_value"
    is what is left of the value, as a decimal text below 1. "hurts": somebody may come to harm on
    the way. "immobilizes": it does not move, or moving it ruins it. "stops_deal": no purchase until
    it is cleared; "ends_deal": no purchase at all.
    """

    on: list[str]
    does: EffectKind
    limits: NotRequired[list[DriveLimit]]
    factor: NotRequired[str]
    source: str


class Unseen(TypedDict):
    """What is assumed of an item that nobody looked at.

    A bundle holds `prices`; `record/regions.py` puts the cost of the visit's region in their place.
    """

    chance: str
    source: str
    cost: NotRequired[ThreeAmounts]
    prices: NotRequired[dict[Region, UnseenPrice]]


RemedyRule = TypedDict(
    "RemedyRule",
    {
        "id": str,
        "title": str,
        "kind": str,
        "for": list[Fault],
        "choices": NotRequired[list[str]],  # the answers that it is for alone
        "need": NotRequired[bool],
        "parts": NotRequired[ThreeAmounts],
        "hours": NotRequired[ThreeHours],
        "loss": NotRequired[int],
        "per": NotRequired[str],  # the reading that counts its pieces
        "each": NotRequired[PiecePrice],  # what each after the first takes
        "kinds": NotRequired[dict[WireCount, PiecePrice]],  # on top, of wires of these kinds
        "source": NotRequired[str],
        "also": NotRequired[list[str]],
        "found": NotRequired[bool],  # offered only where a diagnosis picked it
        "prices": NotRequired[dict[Region, WorkPrice]],
    },
)
RemedyRule.__doc__ = (
    "One way to put a finding right. A bundle holds `prices`; `record/regions.py` puts parts, "
    "hours and loss of the visit's region in their place."
)


class Rule(TypedDict):
    """What the judge knows of one item; whatever is absent is empty, `no`, or not asked for."""

    area: str
    title: str
    order: int
    stage: NotRequired[str]
    minutes: NotRequired[str]
    tools: NotRequired[list[str]]
    cold: NotRequired[bool]
    depth: NotRequired[Literal["usual", "thorough"]]
    applies: NotRequired[Applies]
    answers: NotRequired[list[Answer]]
    readings: NotRequired[list[Reading]]
    choices: NotRequired[list[Choice]]
    limits: NotRequired[list[Limit]]
    compute: NotRequired[Compute]
    settled_by: NotRequired[list[str]]
    separate: NotRequired[bool]  # answer and figures see different things
    weight: NotRequired[dict[str, int]]
    drive: NotRequired[Role]
    drive_if: NotRequired[dict[Circumstance, Role]]
    danger: NotRequired[int]
    effects: NotRequired[list[Effect]]
    places: NotRequired[list[Place]]
    hold_group: NotRequired[str]  # items that see the same damage are held back for once
    needs: NotRequired[list[str]]
    stopped_by: NotRequired[list[str]]
    implied_by: NotRequired[list[str]]
    missing_if: NotRequired[list[str]]  # answers, as item/choice: nothing here to look at
    unseen: NotRequired[Unseen]
    remedies: NotRequired[list[RemedyRule]]
    own: NotRequired[bool]  # a finding that no check asks for; its title is a person's words
    no_figure: NotRequired[bool]  # of such a finding: nobody said what mending it costs
    whys: NotRequired[dict[str, str]]  # for readers of another language, by the English text


class AreaTitle(TypedDict):
    """One part of the car."""

    id: str
    title: str


Condition = TypedDict(
    "Condition",
    {
        "item": str | list[str],
        "at_least": NotRequired[Fault],
        "choice": NotRequired[str | list[str]],
        "fact": NotRequired[str],
        "below": NotRequired[str],
        "above": NotRequired[str],
        "outside": NotRequired[Two],
        "is": NotRequired[str],
        "unit": NotRequired[str],
    },
)
Condition.__doc__ = "One finding of a combination, at an item or at any of several."

Combination = TypedDict(
    "Combination",
    {
        "id": str,
        "all": list[Condition],
        "any": list[Condition],
        "near": NotRequired[bool],  # only where the findings share a place of the car
        "raises": list[str],
        "grade": Fault,
        "reason": str,
        "source": str,
    },
)
Combination.__doc__ = "Findings that together are worse than each alone."


class Contradiction(TypedDict):
    """Answers that cannot both be true of one car: a person is asked, and the worse one counts."""

    id: str
    all: list[Condition]
    question: str
    source: str


class Sign(TypedDict):
    """What speaks for a history when it is found, and against it when it is looked for in vain.

    `on`: the answers that are the sign, and the grade from which on it is one; `unclear`: answers
    that say nothing either way. `with_percent` of the cars with the history show it,
    `without_percent` of the others. Signs of one `group` are the same thing seen twice.
    """

    item: str
    on: list[str]
    unclear: NotRequired[list[str]]
    with_percent: int
    without_percent: int
    group: NotRequired[str]


class History(TypedDict):
    """Something that may have happened to the car and that nobody tells: a crash, a flood.

    `base_percent` of such cars have it; `factor` is what is then left of the value.
    """

    id: str
    title: str
    base_percent: int
    factor: str
    signs: list[Sign]
    source: str


class ClaimRule(TypedDict):
    """What ads and sellers say of cars: how, and what found at its checks makes it false."""

    id: str
    title: str
    words: list[str]
    checks: list[Condition]
    source: str


class LookupRule(TypedDict):
    """What can be looked up of a car, at which kind of office, and the checks that ask the same."""

    id: str
    title: str
    ask: str
    where: str
    items: list[str]
    stops: bool
    source: str


class Turned(TypedDict):
    """Words right before and right behind a claim that turn it around: "needs new brakes"."""

    before: list[str]
    behind: list[str]


class WantRule(TypedDict):
    """What a car may have to have, or be left for: what speaks against it where checks find it.

    `uses`: for which it is offered. `car`: what each fact of the car has to be. `ask`: what a
    person is asked beside the checks.
    """

    id: str
    title: str
    side: WantSide
    uses: list[str]
    checks: list[Condition]
    car: NotRequired[dict[str, list[str]]]
    ask: NotRequired[str]
    source: str


class Conflict(TypedDict):
    """Two wishes, uses or must-haves, that ask the car for opposite things."""

    uses: list[str]
    reason: str
    source: str


class MaintenanceRule(TypedDict):
    """Work that counts as due unless a document says otherwise."""

    id: str
    title: str
    item: str
    years: NotRequired[str]
    km: NotRequired[str]
    also: list[str]
    done_by: list[str]
    does: NotRequired[list[str]]
    source: str
    parts: NotRequired[ThreeAmounts]
    hours: NotRequired[ThreeHours]
    prices: NotRequired[dict[Region, WorkPrice]]


class DriveSettings(TypedDict):
    """From where the drive home is far, and how far one with limits may go."""

    far_km: NotRequired[str]
    limits_km: NotRequired[str]
    source: NotRequired[str]


class AttentionSettings(TypedDict):
    """The minutes that it takes to begin a stage and to type a figure; answers that say `warm`."""

    setup: NotRequired[dict[str, str]]
    typing: NotRequired[str]
    warm: NotRequired[list[Condition]]
    source: NotRequired[str]


class Gauge(TypedDict):
    """A size of copper wire: what it bears in a harness (A) and alone, and what it resists."""

    n: str
    mm2: str
    bears: str
    alone: str
    ohm_per_1000ft: str


class Circuit(TypedDict):
    """What a wire feeds. `cable`: from the battery, without a fuse by design."""

    id: str
    kind: WireKind
    intermittent: NotRequired[Literal["yes"]]


class WireDrop(TypedDict):
    """Volts that may be lost, of 14 V."""

    continuous: str
    intermittent: str


class WireShort(TypedDict):
    """The battery behind a short circuit, and how far away it is where nobody measured."""

    volts: str
    battery_ohm: str
    length_m: str


class WireTable(TypedDict):
    """What wires may carry, their fuses, drop and heat; `sources` by column. Gauges rise."""

    sources: dict[str, str]
    gauges: list[Gauge]
    fuses: list[str]
    fuse_over_load: str
    drop: WireDrop
    hot_degc: str  # of a wire beside a hot engine
    short: WireShort
    adiabatic: str
    circuits: list[Circuit]
    spots: list[str]
    readings: list[Reading]


class Shift(TypedDict):
    """By how many per cent of their estimate the jobs of a kind are counted in this shop."""

    parts: int
    hours: int


class Rules(TypedDict):
    """A checklist as the judge gets it; the phone loads it in pieces.

    `prices` by region in a bundle; `region` once the rules are those of one.
    """

    items: dict[str, Rule]
    areas: list[AreaTitle]
    combinations: NotRequired[list[Combination]]
    conflicts: NotRequired[list[Conflict]]
    contradictions: NotRequired[list[Contradiction]]
    histories: NotRequired[list[History]]
    claims: NotRequired[list[ClaimRule]]
    turned: NotRequired[Turned]
    lookups: NotRequired[list[LookupRule]]
    wants: NotRequired[list[WantRule]]
    baseline: NotRequired[list[MaintenanceRule]]
    drive: NotRequired[DriveSettings]
    attention: NotRequired[AttentionSettings]
    money: NotRequired[MoneySettings]
    prices: NotRequired[dict[Region, PriceList]]
    bodies: NotRequired[dict[BodyStyle, list[Panel]]]  # the panels of each body style
    wires: NotRequired[WireTable]
    region: NotRequired[Region]
