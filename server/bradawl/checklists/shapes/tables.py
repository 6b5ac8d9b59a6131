"""The shape of the tables beside the items: sources, cautions, lists, what the judge reads besides.

What each table means is told in the judge's README; here is only what may be written.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, model_validator

from bradawl.checklists.shapes.item_parts import Applies, Limit, Reading, Strict
from bradawl.checklists.shapes.vocabulary import (
    Decimal,
    Figure,
    ItemId,
    RemedyId,
    Sentence,
    Stage,
    Text,
    Use,
    Word,
)
from bradawl.judge.values.types.terms import Fault, Region
from bradawl.language import message


class Condition(Strict):
    """One finding of a combination: an item (or any of several) with a fault, choice or figure."""

    item: ItemId | list[ItemId]
    at_least: Fault | None = None
    choice: list[Word] | None = None
    fact: str | None = None
    below: Figure | None = None
    above: Figure | None = None
    outside: tuple[Figure, Figure] | None = None
    is_: Text | None = Field(None, alias="is")
    unit: Text | None = None

    @model_validator(mode="after")
    def _one_test(self) -> Condition:
        figures = [t for t in (self.below, self.above, self.outside, self.is_) if t is not None]
        if bool(figures) != (self.fact is not None):
            raise ValueError(message("checklists-fact"))
        if sum(t is not None for t in (self.at_least, self.choice, self.fact)) != 1:
            raise ValueError(message("checklists-condition"))
        return self

    @property
    def items(self) -> list[str]:
        """The items that the condition looks at."""
        return [self.item] if isinstance(self.item, str) else list(self.item)


class Combination(Strict):
    """Findings that together are worse than each alone."""

    id: Word
    all_: list[Condition] = Field([], alias="all")
    any_: list[Condition] = Field([], alias="any")
    near: bool | None = Field(
        None, description="holds only where the findings share a place of the car"
    )
    raises: list[ItemId] = Field(
        [], description="without it: every item that met a condition and has a fault"
    )
    grade: Fault
    reason: Sentence
    source: str

    @model_validator(mode="after")
    def _some_condition(self) -> Combination:
        if not self.all_ and not self.any_:
            raise ValueError(message("checklists-combination"))
        return self


class Combinations(Strict):
    combinations: list[Combination] = Field(min_length=1)


class Contradiction(Strict):
    """Answers that cannot both be true of one car, and what to ask then."""

    id: Word
    all_: list[Condition] = Field(alias="all", min_length=1)
    question: Annotated[str, Field(min_length=10, max_length=160, pattern=r"[?.]$")]
    source: str


class Contradictions(Strict):
    contradictions: list[Contradiction] = Field(min_length=1)


class Conflict(Strict):
    """Two uses that ask the car for opposite things."""

    uses: Annotated[list[Use], Field(min_length=2, max_length=2)]
    reason: Sentence
    source: str


class Conflicts(Strict):
    conflicts: list[Conflict] = Field(min_length=1)


Percent = Annotated[int, Field(ge=1, le=99)]


class Sign(Strict):
    """What speaks for a history when it is found, and against it when it is looked for in vain."""

    item: ItemId
    on: list[Word] = Field(
        min_length=1, description="answers that are the sign, and the grade from which on it is one"
    )
    unclear: list[Word] = Field([], description="answers that say nothing either way")
    with_percent: Percent = Field(description="of the cars with the history, how many show it")
    without_percent: Percent = Field(description="of the other cars")
    group: Word | None = Field(
        None, description="signs of one group are the same thing seen twice: the strongest counts"
    )

    @model_validator(mode="after")
    def _speaks_for_it(self) -> Sign:
        if self.with_percent <= self.without_percent:
            raise ValueError(
                message(
                    "checklists-sign",
                    item=self.item,
                    with_percent=self.with_percent,
                    without_percent=self.without_percent,
                )
            )
        return self


class History(Strict):
    """Something that may have happened to the car and that nobody tells."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=60)]
    base_percent: Percent = Field(description="of cars like these, how many have it")
    factor: Annotated[Decimal, Field(pattern=r"^(0[.][0-9]*[1-9]|1)$")] = Field(
        description="what is then left of the value, above 0 and at most 1"
    )
    signs: list[Sign] = Field(min_length=1)
    source: str


class Histories(Strict):
    histories: list[History] = Field(min_length=1)


Spoken = dict[Literal["en", "es"], list[Annotated[str, Field(min_length=2, max_length=60)]]]


class Claim(Strict):
    """What ads and sellers say of cars, and what found at its checks makes it false."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=40)]
    words: Spoken = Field(description="how it is written, by language; every ad is read in all")
    checks: list[Condition] = Field(
        min_length=1, description="what is looked at, and what found there makes it false"
    )
    source: str


class Claims(Strict):
    """Claims, and the words beside one that turn it around: right before it, right behind it."""

    claims: list[Claim] = Field(min_length=1)
    not_: Spoken = Field({}, alias="not")
    ends: Spoken = Field({})


class Upkeep(Strict):
    """One thing that counts as due unless a document says otherwise."""

    id: Word
    title: str
    item: ItemId
    years: Decimal | None = None
    km: Decimal | None = None
    also: list[ItemId] = Field([], description="findings that this work puts right as well")
    done_by: list[RemedyId] = Field(
        [], description="remedies, as item/remedy, that do this work as well: it is paid once"
    )
    does: list[RemedyId] = Field(
        [], description="remedies that are part of this work: one that was picked is paid once"
    )
    source: str


class Baseline(Strict):
    baseline: list[Upkeep] = Field(min_length=1)


class DriveAssumptions(Strict):
    far_km: Decimal = Field(description="from this distance on, the drive home is far")
    limits_km: Decimal = Field(description="how far a drive with limits may go")
    source: str


class AttentionAssumptions(Strict):
    setup: dict[Stage, Decimal] = Field(description="minutes it takes to begin a stage")
    typing: Decimal = Field(description="minutes it takes to type a figure")
    warm: list[Condition] = Field([], description="answers that say the engine is not cold")
    source: str


class MoneyAssumptions(Strict):
    costs_move_together: Annotated[Decimal, Field(pattern=r"^(0([.][0-9]+)?|1)$")] | None = Field(
        None, description="share of a total's spread that all its lines have in common, 0 to 1"
    )
    source: str


class Assumptions(Strict):
    """What we assume while nobody says better; every figure here is there to be edited."""

    assumptions: Text = Field(description="one sentence: whose assumptions, and since when")
    drive: DriveAssumptions
    attention: AttentionAssumptions
    money: MoneyAssumptions


class Gauge(Strict):
    """What a size of copper wire bears, in a full harness and alone, and what it resists."""

    n: Annotated[str, Field(pattern=r"^-?[0-9]+$")] = Field(
        description="AWG number; 0 is 1/0, -1 is 2/0"
    )
    mm2: Decimal
    bears: Decimal
    alone: Decimal
    ohm_per_1000ft: Decimal


class Circuit(Strict):
    """What a wire feeds, and what follows from that."""

    id: Word
    kind: Literal["cable", "feed", "signal", "safety"] = Field(
        description="cable: from the battery, without a fuse by design; safety: a life hangs on it"
    )
    intermittent: Literal["yes"] | None = Field(None, description="its load never lasts")


class WireSources(Strict):
    """Where each column and figure of the wire table comes from."""

    bears: str
    alone: str
    resistance: str
    area: str
    fuses: str
    drop: str
    hot: str
    heat: str
    battery: str


class WireDrop(Strict):
    """Volts that may be lost, of 14 V."""

    continuous: Decimal
    intermittent: Decimal


class Short(Strict):
    """The battery behind a short circuit, and how far away it is where nobody measured."""

    volts: Decimal
    battery_ohm: Decimal
    length_m: Decimal


class Wires(Strict):
    """What a wire may carry, its fuse, drop and heat: published tables, one source a column."""

    sources: WireSources
    gauges: list[Gauge] = Field(min_length=1)
    fuses: list[Decimal] = Field(min_length=1)
    fuse_over_load: Decimal
    drop: WireDrop
    hot_degc: Decimal = Field(description="of a wire beside a hot engine")
    short: Short
    adiabatic: Decimal = Field(description="A x root(s) of 1 mm2 copper")
    circuits: list[Circuit] = Field(min_length=1)
    spots: list[Word] = Field([], description="where harnesses are chewed; chips on the phone")
    readings: list[Reading] = Field(min_length=1)
    limits: list[Limit] = Field(min_length=1)

    @model_validator(mode="after")
    def _thicker_bears_more(self) -> Wires:
        rows = self.gauges
        for thin, thick in pairwise(rows):
            rising = [(float(getattr(row, name)) for row in (thin, thick)) for name in _RISING]
            if not all(low < high for low, high in rising) or not (
                int(thin.n) > int(thick.n)
                and float(thin.ohm_per_1000ft) > float(thick.ohm_per_1000ft)
            ):
                raise ValueError(message("checklists-gauges", thin=thin.n, thick=thick.n))
        return self


_RISING = ("mm2", "bears", "alone")


class WireFile(Strict):
    wires: Wires


class Translation(Strict):
    """One text in another language, and the digest of the text that it translates."""

    of: Annotated[str, Field(pattern=r"^[0-9a-f]{12}$")]
    text: Annotated[str, Field(min_length=1, max_length=800)]


class Overlay(Strict):
    """Texts of one locale by their ids; a locale may have several files in its folder."""

    locale: Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?$")]
    texts: dict[str, Translation]


class Source(Strict):
    """Where a figure comes from, and whether the text itself was read."""

    title: Annotated[str, Field(min_length=4)]
    section: str = ""
    status: Literal["read", "read-secondary", "memory", "practice", "assumption"]
    region: Region | None = Field(
        None, description="whose law it is; without it: nobody's, or a standard without borders"
    )

    @model_validator(mode="after")
    def _law_is_written(self) -> Source:
        if self.region is not None and self.status in ("practice", "assumption"):
            raise ValueError(message("checklists-status", status=self.status))
        return self


class Sources(Strict):
    sources: dict[str, Source]


class Caution(Strict):
    """A warning that stands beside whatever can hurt."""

    title: Annotated[str, Field(min_length=3, max_length=40)]
    text: Annotated[str, Field(min_length=20, max_length=600)]


class Cautions(Strict):
    cautions: dict[Word, Caution]


class ProfileChoice(Strict):
    """One answer to a fact of the car."""

    id: Word
    title: Annotated[str, Field(min_length=2, max_length=40)]


class ProfileFact(Strict):
    """What is asked of a car once: a fact with its answers, a figure, or a text.

    A figure names the readings that it fills, as item/reading, and has the shape of the first.
    """

    id: Annotated[str, Field(pattern=r"^[a-z]+(_[a-z]+)*$")]
    title: Annotated[str, Field(min_length=3, max_length=48)]
    choices: list[ProfileChoice] = Field([])
    panels: bool = Field(False, description="asked of each panel of the body")
    fills: list[Annotated[str, Field(pattern=r"^[a-z.-]+/[a-z_-]+$")]] = Field([])
    text: bool = Field(False, description="typed as a text")
    applies: Applies = Field(Applies(), description="cars of which it is asked")

    @model_validator(mode="after")
    def _one_kind(self) -> ProfileFact:
        if [bool(self.choices), bool(self.fills), self.text].count(True) != 1:
            raise ValueError(message("checklists-profile-kind", name=self.id))
        return self


class ProfileGroup(Strict):
    """Facts that are asked together, folded under one title."""

    id: Word
    title: Annotated[str, Field(min_length=3, max_length=40)]
    facts: list[ProfileFact] = Field(min_length=1)


class Profile(Strict):
    profile: list[ProfileGroup] = Field(min_length=1)


class Entry(Strict):
    """One entry of a published list, in our own short words."""

    id: Text
    title: Annotated[str, Field(min_length=3)]
    excused: str | None = Field(None, description="why no item covers it, in one sentence")


class PublishedList(Strict):
    """A list of law or of a standard that the items must cover."""

    published: Word
    title: str
    section: str
    status: Literal["read", "read-secondary", "memory"]
    note: str = ""
    entries: list[Entry] = Field(min_length=1)
