"""The shape of the area files: an item, its readings, limits, effects and remedies; an area.

What spans several files (a source or a prerequisite that exists) is judged in `checks.py`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from bradawl.checklists.shapes.item_parts import (
    FAULTS,
    Applies,
    Choice,
    Compute,
    Effect,
    Limit,
    OnBodyMap,
    Reading,
    Remedy,
    Strict,
    Unseen,
    no_unit,
)
from bradawl.checklists.shapes.vocabulary import (
    UNITS_OF,
    Chip,
    Decimal,
    ItemId,
    RemedyId,
    Sentence,
    Stage,
    Use,
    Word,
)
from bradawl.judge.values.types.terms import CarPlace, Panel
from bradawl.judge.values.types.terms import Place as PlaceOfCar
from bradawl.language import Message, message


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
    cautions: list[Word] = Field([])
    applies: Applies = Applies()
    answers: list[Literal["grade", "choice", "text", "photo", "wires"]] = Field(["grade", "photo"])
    readings: list[Reading] = Field([])
    choices: list[Choice] = Field([])
    limits: list[Limit] = Field([])
    compute: Compute | None = None
    settled_by: list[str] = Field(
        [], description="readings (or facts) that alone decide the grade when all are taken"
    )
    separate: bool | None = Field(
        None,
        description="answer and figures see different things: one may be fine beside the other",
    )
    covers: list[str] = Field([])
    weight: dict[Use, Annotated[int, Field(ge=0, le=5)]] = Field({})
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
    needs: list[ItemId] = Field([])
    stopped_by: list[ItemId] = Field(
        [], description="not offered once one of these was found dangerous; `needs` stop it too"
    )
    implied_by: list[ItemId] = Field([])
    missing_if: list[RemedyId] = Field(
        [], description="answers, as item/choice, by which the car has nothing here to look at"
    )
    unseen: Unseen | None = None
    remedies: list[Remedy] = Field([])
    whys: list[Chip] = Field([])

    @model_validator(mode="after")
    def _hangs_together(self) -> Item:
        _no_twice("reading", [reading.id for reading in self.readings])
        _no_twice("choice", [choice.id for choice in self.choices])
        _no_twice("remedy", [remedy.id for remedy in self.remedies])
        self._answers_fit()
        self._names_readings()
        if self.body_map is not None:
            self._lies_on_panels(self.body_map)
        for limit in self.limits:
            self._limit_fits(limit)
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

    def _answers_fit(self) -> None:
        """What effects and remedies name is an answer, and there is something to answer."""
        choices = [choice.id for choice in self.choices]
        answers = [*FAULTS, *choices, *{limit.of: 0 for limit in self.limits}]
        for name in (name for effect in self.effects for name in effect.on):
            if name not in answers:
                raise ValueError(
                    message("checklists-effect-on", name=name, names=_offered(answers))
                )
        for name in (name for remedy in self.remedies for name in remedy.choices):
            if name not in choices:
                offered = _offered(choices)
                raise ValueError(message("checklists-no-choice", name=name, offered=offered))
        if bool(self.choices) != ("choice" in self.answers):
            raise ValueError(message("checklists-choices"))
        if len(self.choices) == 1:
            raise ValueError(message("checklists-one-choice"))
        if not self.answers and not self.readings:
            raise ValueError(message("checklists-no-answer"))

    def _names_readings(self) -> None:
        """Readings that others want, that count pieces or that settle the item are there."""
        names = [reading.id for reading in self.readings]
        owned = [(reading.id, name) for reading in self.readings for name in reading.wants]
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
        for name in self.settled_by:
            if name not in [*names, "choice"] and self.compute is None:
                raise ValueError(message("checklists-settled-by", name=name, names=_offered(names)))

    def _limit_fits(self, limit: Limit) -> None:
        """A limit is of a reading or of a computed fact, in a unit that its quantity has."""
        names = [reading.id for reading in self.readings]
        by_wire = "wires" in self.answers and limit.of.startswith("wire")
        if limit.of not in names and self.compute is None and not by_wire:
            raise ValueError(message("checklists-limit-of", name=limit.of, names=_offered(names)))
        for reading in self.readings:
            if limit.unit is None or reading.id != limit.of:
                continue
            if limit.unit not in UNITS_OF[reading.quantity]:
                raise ValueError(no_unit("checklists-limit-unit", limit.unit, reading.quantity))

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
