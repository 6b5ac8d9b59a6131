"""The shape of the area files: an item, its readings, limits, effects and remedies; an area.

What spans several files (a source or a prerequisite that exists) is judged in `checks.py`.
"""

from __future__ import annotations

from re import fullmatch
from typing import Annotated, Literal, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, model_validator

from bradawl.checklists.vocabulary import (
    UNITS_OF,
    Chip,
    Decimal,
    Fault,
    Figure,
    Grade,
    ItemId,
    Name,
    Quantity,
    Region,
    RemedyId,
    Sentence,
    Stage,
    Text,
    Use,
    Word,
)
from bradawl.judge.measurements.bodywork import panel_of
from bradawl.judge.values.types.terms import BodyStyle, CarPlace, DriveLimit, EffectKind, Panel
from bradawl.judge.values.types.terms import Place as PlaceOfCar
from bradawl.language import Message, message

FAULTS: tuple[str, ...] = get_args(Fault)


class Strict(BaseModel):
    """A part of a checklist file: unknown keys are faults, values do not change."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


def _listed(value: object) -> object:
    return [value] if isinstance(value, str) else value


#: Keys of sources.yaml: one, or a list with one for each region whose law says the same.
Cited = Annotated[
    list[str], BeforeValidator(_listed), WithJsonSchema({"type": ["string", "array"]})
]


class Span(Strict):
    """Whole numbers from and to, both included; a missing end is open."""

    from_: int | None = Field(None, alias="from")
    to: int | None = None

    @model_validator(mode="after")
    def _some_end(self) -> Span:
        if self.from_ is None and self.to is None:
            raise ValueError(message("checklists-span-empty"))
        if self.from_ is not None and self.to is not None and self.from_ > self.to:
            raise ValueError(message("checklists-span-backwards"))
        return self


class Applies(Strict):
    """When an item applies.  All keys must hold; a fact nobody recorded counts as holding."""

    fuel: list[Literal["petrol", "diesel"]] | None = None
    fuelling: list[Literal["carburettor", "injection"]] | None = None
    front_brakes: list[Literal["disc", "drum"]] | None = None
    rear_brakes: list[Literal["disc", "drum"]] | None = None
    structure: list[Literal["unibody", "frame"]] | None = None
    gearbox: list[Literal["manual", "automatic", "cvt", "dual-clutch"]] | None = None
    drive: list[Literal["front", "rear", "all"]] | None = None
    steering: list[Literal["rack", "box"]] | None = None
    assist: list[Literal["power", "manual"]] | None = None
    airbags: list[Literal["yes", "no"]] | None = None
    catalyst: list[Literal["yes", "no"]] | None = None
    aircon: list[Literal["yes", "no"]] | None = None
    body_style: list[BodyStyle] | None = None
    volts: list[Literal["6", "12"]] | None = None
    injection: list[Literal["single-point", "port", "continuous"]] | None = None
    fuel_return: list[Literal["return", "returnless"]] | None = None
    ignition: list[Literal["points", "electronic", "coil-on-plug"]] | None = None
    charging: list[Literal["generator", "alternator"]] | None = None
    circuits: list[Literal["single", "dual"]] | None = None
    linings: list[Literal["bonded", "riveted"]] | None = None
    cylinders: Span | None = None
    year: Span | None = None
    uses: list[Use] | None = None
    region: list[Region] | None = None


class Reading(Strict):
    """One measured figure, taken once or at several places."""

    id: Name
    title: Annotated[str, Field(min_length=2, max_length=40)]
    quantity: Quantity
    units: list[Text] = []
    at: list[Word] = []
    optional: list[Word] = Field(
        [], description="places of `at`, or panels of them, that need no reading to settle the item"
    )
    plausible: tuple[Figure, Figure] | None = Field(
        None, description="lowest and highest believable figure, in the first unit"
    )
    usual: tuple[Figure, Figure] | None = Field(
        None,
        description="lowest and highest figure that is no surprise, in the first unit; one outside "
        "that another unit would bring inside is asked about before it is rated",
    )

    wants: list[Name] = Field(
        [],
        description="readings for the car's own figures without which this one tells nothing: "
        "until they are known it finds a fault, and never that all is fine",
    )

    @property
    def shape(self) -> tuple[object, ...]:
        """What it measures, in which units, and where."""
        return self.quantity, self.units, self.at

    @model_validator(mode="after")
    def _units_fit(self) -> Reading:
        allowed = UNITS_OF[self.quantity]
        if allowed and not self.units:
            raise ValueError(
                message("checklists-reading-unit", name=self.id, units=", ".join(allowed))
            )
        for unit in self.units:
            if unit not in allowed:
                raise ValueError(_no_unit("checklists-no-unit", unit, self.quantity))
        if allowed and self.plausible is None:
            raise ValueError(message("checklists-reading-plausible", name=self.id))
        if self.usual is not None and len(self.units) < 2:
            raise ValueError(message("checklists-reading-usual", name=self.id))
        for place in self.optional:
            if place not in [*self.at, *map(panel_of, self.at)]:
                raise ValueError(
                    message("checklists-optional", place=place, names=", ".join(self.at))
                )
        if len(set(self.at)) != len(self.at):
            raise ValueError(message("checklists-reading-places", name=self.id))
        return self


class Choice(Strict):
    """One answer to pick; `grade` is what it means, absent when it is only information."""

    id: Word
    title: Annotated[str, Field(min_length=2, max_length=60)]
    grade: Grade | None = None
    source: Cited = Field([], description="where the grade comes from, if not practice")


class Limit(Strict):
    """A figure beyond which a reading, or a computed fact, is a fault."""

    of: str
    below: Figure | None = None
    above: Figure | None = None
    outside: tuple[Figure, Figure] | None = None
    is_: Text | None = Field(None, alias="is")
    unit: Text | None = None
    grade: Fault
    source: Annotated[Cited, Field(min_length=1)]
    applies: Applies | None = Field(None, description="cars for which this limit counts")
    without: Name | None = Field(
        None,
        description="practice that gives way once this reading, the car's own figure, is there",
    )

    @model_validator(mode="after")
    def _one_test(self) -> Limit:
        tests = [t for t in (self.below, self.above, self.outside, self.is_) if t is not None]
        if len(tests) != 1:
            raise ValueError(message("checklists-limit-tests", count=len(tests)))
        if self.is_ is None and self.unit is None:
            raise ValueError(message("checklists-limit-unitless"))
        return self


class Compute(BaseModel):
    """A computation of the judge that turns the readings into named facts."""

    model_config = ConfigDict(extra="allow", frozen=True)
    kind: str


class Unseen(Strict):
    """How often an item is bad that nobody looked at. What it then costs: `prices.py`."""

    chance: Annotated[
        str,
        Field(pattern=r"^(0(\.\d+)?|1(\.0+)?)$"),
        WithJsonSchema({"type": ["string", "number"]}),
    ]
    source: str


class Remedy(Strict):
    """One way to put it right. What it costs stands in the price files (`prices.py`)."""

    id: Word
    title: Annotated[str, Field(min_length=4, max_length=60)]
    kind: Literal["mend", "part", "assembly", "paper"]
    for_: list[Fault] = Field(alias="for", min_length=1)
    choices: list[Name] = Field([], description="answers that it's for alone; none: for any")
    need: bool = True
    per: Name | None = Field(
        None,
        description="reading that counts the pieces, or `wires`; `each` in the price files is one "
        "more",
    )
    also: list[ItemId] = Field([], description="items that the same work puts right")
    found: bool | None = Field(
        None, description="offered only where a diagnosis found the cause that it mends"
    )


class Effect(Strict):
    """What the finding of some grades or answers does to whoever drives or buys the car."""

    on: list[Name] = Field(
        min_length=1,
        description="grades and answers that have the effect, readings and facts beyond a limit",
    )
    does: EffectKind
    limits: list[DriveLimit] = Field([], description="what the drive home must then leave out")
    factor: Annotated[
        str | None,
        Field(description="what is left of the value, below 1"),
        WithJsonSchema({"type": ["string", "number"]}),
    ] = None
    source: str

    @model_validator(mode="after")
    def _says_what_its_kind_needs(self) -> Effect:
        if bool(self.limits) != (self.does == "limits"):
            raise ValueError(message("checklists-effect-limits", does=self.does))
        if (self.factor is not None) != (self.does == "lowers_value"):
            raise ValueError(message("checklists-effect-factor", does=self.does))
        if self.factor is not None and not _is_share(self.factor):
            raise ValueError(message("checklists-effect-share", factor=self.factor))
        return self


def _is_share(text: str) -> bool:
    """Whether a text is a decimal above 0 and below 1."""
    return fullmatch(r"0\.[0-9]*[1-9][0-9]*", text) is not None


class OnBodyMap(Strict):
    """Where an item lies on the phone's body map, and what of it is shown there."""

    show: Literal["film", "readings", "marks", "card"] = Field(
        description="film: readings of paint, which the map draws too; readings: fields alone; "
        "marks: each reading a button that is on or off; card: the whole item"
    )
    panels: list[Panel] = Field([], description="panels that the item's answer stands for")
    places: dict[Word, list[Panel]] = Field(
        {},
        description="panels of places that are not named after one, as `left` of a sill; several "
        "where body styles differ",
    )


class Item(Strict):
    """One thing to look at."""

    id: ItemId
    title: Annotated[str, Field(min_length=3, max_length=40)]
    look: Sentence
    how: Sentence
    where: Annotated[str, Field(min_length=3, max_length=60)]
    on_car: list[Panel | CarPlace] = Field(
        [],
        description="where it lies on the drawn car, whatever its style; `body` is all of its "
        "sheet metal. Empty: at the table, on the road",
    )
    stage: Stage
    order: Annotated[int, Field(ge=1)] | None = Field(
        None, description="place within its stage; what has none follows, area by area"
    )
    body_map: OnBodyMap | None = None
    minutes: Decimal
    tools: list[Word] = Field([], description="what it's done with, beside eyes, hands and a phone")
    cold: bool | None = Field(
        None, description="wants a cold engine: not offered once the engine has run"
    )
    depth: Literal["usual", "thorough"] = Field(
        "usual", description="thorough items are asked only in a thorough visit"
    )
    cautions: list[Word] = []
    applies: Applies = Applies()
    answers: list[Literal["grade", "choice", "text", "photo", "wires"]] = ["grade", "photo"]
    readings: list[Reading] = []
    choices: list[Choice] = []
    limits: list[Limit] = []
    compute: Compute | None = None
    settled_by: list[str] = Field(
        [], description="readings (or facts) that alone decide the grade when all are taken"
    )
    separate: bool | None = Field(
        None,
        description="answer and figures see different things: one may be fine beside the other",
    )
    covers: list[str] = []
    weight: dict[Use, Annotated[int, Field(ge=0, le=5)]] = {}
    drive: Literal["essential", "matters", "no"] = "no"
    drive_if: dict[Literal["dark", "wet", "motorway", "far"], Literal["essential", "matters"]] = (
        Field({}, description="raises `drive` in that circumstance of the drive home")
    )
    danger: Annotated[int, Field(ge=0, le=5)] = 0
    effects: list[Effect] = Field(
        [], description="what its faults do; without any, what its grade and `drive` say"
    )
    places: list[PlaceOfCar] = Field(
        [], description="where on the car its faults lie, from bumper to bumper; empty: anywhere"
    )
    hold_group: Word | None = Field(
        None, description="items that see the same damage: until all are fine it is held back once"
    )
    needs: list[ItemId] = []
    stopped_by: list[ItemId] = Field(
        [], description="not offered once one of these was found dangerous; `needs` stop it too"
    )
    implied_by: list[ItemId] = []
    missing_if: list[RemedyId] = Field(
        [], description="answers, as item/choice, by which the car has nothing here to look at"
    )
    unseen: Unseen | None = None
    remedies: list[Remedy] = []
    whys: list[Chip] = []

    @model_validator(mode="after")
    def _hangs_together(self) -> Item:
        names = [r.id for r in self.readings]
        answers = [*FAULTS, *(c.id for c in self.choices), *{limit.of: 0 for limit in self.limits}]
        for effect in self.effects:
            for name in effect.on:
                if name not in answers:
                    raise ValueError(
                        message("checklists-effect-on", name=name, names=_offered(answers))
                    )
        choices = [choice.id for choice in self.choices]
        for remedy in self.remedies:
            for name in remedy.choices:
                if name not in choices:
                    offered = _offered(choices)
                    raise ValueError(message("checklists-no-choice", name=name, offered=offered))
        _no_twice("reading", names)
        _no_twice("choice", [c.id for c in self.choices])
        _no_twice("remedy", [r.id for r in self.remedies])
        if bool(self.choices) != ("choice" in self.answers):
            raise ValueError(message("checklists-choices"))
        if len(self.choices) == 1:
            raise ValueError(message("checklists-one-choice"))
        if not self.answers and not self.readings:
            raise ValueError(message("checklists-no-answer"))
        owned = [(r.id, name) for r in self.readings for name in r.wants]
        owned += [(limit.of, limit.without) for limit in self.limits if limit.without is not None]
        for of, name in owned:
            if name not in names or name == of:
                raise ValueError(
                    message("checklists-wants", of=of, name=name, names=_offered(names))
                )
        counted = [reading.id for reading in self.readings if reading.quantity == "count"]
        if "wires" in self.answers:
            counted.append("wires")
        for remedy in self.remedies:
            if remedy.per is not None and remedy.per not in counted:
                raise ValueError(
                    message("checklists-per", name=remedy.per, names=_offered(counted))
                )
        if self.body_map is not None:
            self._lies_on_panels(self.body_map)
        for limit in self.limits:
            by_wire = "wires" in self.answers and limit.of.startswith("wire")
            if limit.of not in names and self.compute is None and not by_wire:
                raise ValueError(
                    message("checklists-limit-of", name=limit.of, names=_offered(names))
                )
            for reading in self.readings:
                if reading.id == limit.of and limit.unit is not None:
                    allowed = UNITS_OF[reading.quantity]
                    if limit.unit not in allowed:
                        raise ValueError(
                            _no_unit("checklists-limit-unit", limit.unit, reading.quantity)
                        )
        for name in self.settled_by:
            if name not in [*names, "choice"] and self.compute is None:
                raise ValueError(message("checklists-settled-by", name=name, names=_offered(names)))
        essential = self.drive == "essential" or "essential" in self.drive_if.values()
        if essential and self.depth == "thorough":
            raise ValueError(message("checklists-essential"))
        if self.settled_by and not self.limits:
            raise ValueError(message("checklists-settles-nothing"))
        return self

    @property
    def wanted(self) -> list[str]:
        """Readings for the car's own figures, which others want."""
        names = [name for reading in self.readings for name in reading.wants]
        names += [limit.without for limit in self.limits if limit.without is not None]
        return sorted(set(names))

    def _lies_on_panels(self, body_map: OnBodyMap) -> None:
        measured = [place for reading in self.readings for place in reading.at]
        for place in body_map.places:
            if place not in measured:
                raise ValueError(
                    message("checklists-map-place", name=place, names=_offered(measured))
                )
        if body_map.show == "card" and not (body_map.panels or body_map.places):
            raise ValueError(message("checklists-map-card"))
        if body_map.show != "card" and not measured:
            raise ValueError(message("checklists-map-nothing", show=body_map.show))


def _no_twice(what: str, ids: list[str]) -> None:
    for name in ids:
        if ids.count(name) > 1:
            raise ValueError(message(f"checklists-{what}-twice", name=name))


class Area(Strict):
    """One file of items: one part of the car."""

    area: Word
    title: Annotated[str, Field(min_length=3, max_length=40)]
    report_order: Annotated[int, Field(ge=1)]
    walk_order: Annotated[int, Field(ge=1)] = Field(
        description="where the area stands in the walk round the car"
    )
    items: list[Item] = Field(min_length=1)


def _offered(names: list[str]) -> Message | str:
    return ", ".join(names) or message("checklists-there-are-none")


def _no_unit(said: str, unit: str, quantity: Quantity) -> Message:
    """What is said of a unit that a quantity has not."""
    return message(
        said if UNITS_OF[quantity] else said + "-text",
        unit=unit,
        quantity=quantity,
        units=", ".join(UNITS_OF[quantity]),
    )
