"""The shape of `symptoms/*.yaml`: a complaint with its causes, its tests and what settles them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from bradawl.checklists.shapes.item_parts import Applies, Strict
from bradawl.checklists.shapes.tables import Condition
from bradawl.checklists.shapes.vocabulary import (
    UNITS_OF,
    ItemId,
    Name,
    Quantity,
    RemedyId,
    Text,
    Word,
)
from bradawl.language import message

#: What a complaint is about: how the list of complaints is ordered.
Group = Literal[
    "starting",
    "running",
    "smoke",
    "cooling",
    "electrics",
    "brakes",
    "steering",
    "ride",
    "drivetrain",
    "smells",
]
#: Under which a reading of a test may be taken, in words; `rpm` is a figure.
ConditionName = Literal["engine", "rpm", "hose"]


class Cause(Strict):
    """What may be behind a complaint; `often` weighs it against the others of its table."""

    title: Annotated[str, Field(min_length=4, max_length=80)]
    often: Annotated[int, Field(ge=1, le=1000)]
    repair: list[RemedyId] = Field(
        [], description="what mends it, as item/remedy: the first whose item the car has"
    )
    applies: Applies = Applies()
    then: Word | None = Field(None, description="the complaint whose table goes on from here")
    harmless: bool | None = Field(None, description="nothing to fix")


class Settling(Strict):
    """What of a record settles a test: the first row that holds says the outcome."""

    item: ItemId | list[ItemId]
    outcome: Word
    fine: bool | None = Field(None, description="the item was looked at and is without a fault")
    known: Name | None = Field(None, description="a reading or fact that is there, whatever it is")
    at_least: Literal["minor", "major", "dangerous"] | None = None
    choice: list[Word] | None = None
    fact: Name | None = None
    below: Text | None = None
    above: Text | None = None
    outside: tuple[Text, Text] | None = None
    is_: Text | None = Field(None, alias="is")
    unit: Text | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Settling:
        when = self.condition()
        if sum(way is not None for way in (self.fine, self.known, when)) != 1:
            raise ValueError(message("checklists-settling"))
        return self

    def condition(self) -> Condition | None:
        """The condition as other tables write it; None for the other two ways."""
        given = self.model_dump(
            by_alias=True, exclude_none=True, exclude={"outcome", "fine", "known"}
        )
        return Condition.model_validate(given) if len(given) > 1 else None

    @property
    def items(self) -> list[str]:
        return [self.item] if isinstance(self.item, str) else list(self.item)


class OwnReading(Strict):
    """A figure that a test takes for itself, to be taken again after the fix."""

    id: Word
    title: Annotated[str, Field(min_length=2, max_length=40)]
    quantity: Quantity
    units: list[Text] = Field(min_length=1)
    over_time: bool | None = Field(None, description="taken again some minutes later: it decays")

    @model_validator(mode="after")
    def _units_fit(self) -> OwnReading:
        for unit in self.units:
            if unit not in UNITS_OF[self.quantity]:
                units = ", ".join(UNITS_OF[self.quantity])
                wrong = {"unit": unit, "quantity": self.quantity, "units": units}
                raise ValueError(message("checklists-no-unit", **wrong))
        return self


class Step(Strict):
    """One step of a test, as a sentence; `read` is a reading that is taken there."""

    do: Annotated[str, Field(min_length=8, max_length=240)]
    read: Name | None = None


def _step(written: object) -> object:
    return {"do": written} if isinstance(written, str) else written


#: Written as a sentence, or as a mapping where a reading is taken at the step.
Steps = list[Annotated[Step, BeforeValidator(_step, json_schema_input_type=Step | str)]]


class Procedures(Strict):
    """How measured tests are done: steps by name, which several tests may share."""

    procedures: dict[Word, Annotated[Steps, Field(min_length=2, max_length=9)]]


class Test(Strict):
    """A test, its outcomes in words, and how likely each is under each cause, in per cent."""

    id: Word
    title: Annotated[str, Field(min_length=4, max_length=90)]
    how: Annotated[str, Field(min_length=8, max_length=420)]
    minutes: Annotated[str, Field(pattern=r"^\d+(\.\d+)?$")]
    tools: list[Word] = Field([])
    cautions: list[Word] = Field([])
    takes: ItemId | None = Field(None, description="the item whose readings this test takes")
    applies: Applies = Applies()
    measures: list[OwnReading] = Field([])
    procedure: Word | None = Field(None, description="its steps, by their name in procedures")
    conditions: list[ConditionName] = Field([])
    outcomes: dict[Word, Annotated[str, Field(min_length=2, max_length=60)]]
    likely: dict[Word, list[int]]
    settled: list[Settling] = Field(
        [], alias="from", description="what of a record settles it: the first row that holds"
    )

    @model_validator(mode="after")
    def _adds_up(self) -> Test:
        if len(self.outcomes) < 2:
            raise ValueError(message("checklists-test-outcomes", test=self.id))
        for cause, row in self.likely.items():
            if len(row) != len(self.outcomes) or sum(row) != 100 or min(row) < 0:
                wrong = {"test": self.id, "cause": cause, "row": ", ".join(map(str, row))}
                raise ValueError(message("checklists-test-row", count=len(self.outcomes), **wrong))
        for way in self.settled:
            if way.outcome not in self.outcomes:
                offered = ", ".join(self.outcomes)
                wrong = {"test": self.id, "name": way.outcome, "offered": offered}
                raise ValueError(message("checklists-test-outcome", **wrong))
        return self


class Symptom(Strict):
    """One complaint with its causes and tests."""

    id: Word
    title: Annotated[str, Field(min_length=4, max_length=60)]
    says: Annotated[str, Field(min_length=8, max_length=200)]
    group: Group
    causes: dict[Word, Cause] = Field(min_length=2)
    tests: list[Test] = Field(min_length=2)

    @model_validator(mode="after")
    def _names_agree(self) -> Symptom:
        if self.id == "tools":  # where a record says which tools are not at hand
            raise ValueError(message("checklists-symptom-name", name=self.id))
        ids = [test.id for test in self.tests]
        for test in self.tests:
            if ids.count(test.id) > 1:
                raise ValueError(message("checklists-test-twice", test=test.id))
            for named in test.likely:
                if named != "other" and named not in self.causes:
                    raise ValueError(message("checklists-test-cause", test=test.id, cause=named))
            if "other" not in test.likely and set(test.likely) != set(self.causes):
                raise ValueError(message("checklists-test-other", test=test.id))
        for name, cause in self.causes.items():
            ends = bool(cause.repair) + (cause.then is not None) + (cause.harmless is True)
            if ends == 0:
                raise ValueError(message("checklists-cause-ends", cause=name))
        return self


class Symptoms(Strict):
    """One file of complaints; `source` says where its figures come from."""

    source: Word
    symptoms: list[Symptom] = Field(min_length=1)
