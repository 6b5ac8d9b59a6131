"""The parts of an item: when it applies, readings, choices, limits, remedies, effects."""

from __future__ import annotations

from re import fullmatch
from typing import Annotated, Literal, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, model_validator

from bradawl.checklists.shapes.vocabulary import (
    UNITS_OF,
    Figure,
    Grade,
    ItemId,
    Name,
    Quantity,
    Text,
    Use,
    Word,
)
from bradawl.judge.measurements.bodywork import panel_of
from bradawl.judge.values.types.terms import BodyStyle, DriveLimit, EffectKind, Fault, Panel, Region
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
                raise ValueError(no_unit("checklists-no-unit", unit, self.quantity))
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


def no_unit(said: str, unit: str, quantity: Quantity) -> Message:
    """What is said of a unit that a quantity has not."""
    return message(
        said if UNITS_OF[quantity] else said + "-text",
        unit=unit,
        quantity=quantity,
        units=", ".join(UNITS_OF[quantity]),
    )
