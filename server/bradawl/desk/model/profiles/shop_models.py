"""Models that the shop remembers: figures and weak points by make, model and years.

Each is one entry of the shop's own scope, models/<id>, and travels to the phones like any entry. A
file of them is JSON: {"format": "bradawl-models", "version": 1, "models": […]}.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal
from uuid import uuid4

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic_core import PydanticCustomError

from bradawl.common.errors import ApiError
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.log import DeskLog
from bradawl.desk.model.profiles.figures import known_of
from bradawl.desk.model.typed_values import FieldError
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import fold
from bradawl.judge.record.shop_models import LOOK, PATH, is_model, name_key
from bradawl.language import Message, message

SHOP = "shop"
FORMAT, VERSION = "bradawl-models", 1
#: The fact of a car that says which of the shop's models it began with.
KNOWN = "known_model"
#: Facts that are the same for every car of a model, beside those of the profile.
ALIKE = (
    *("fuel", "fuelling", "front_brakes", "rear_brakes", "structure", "gearbox", "drive"),
    *("steering", "assist", "airbags", "catalyst", "aircon", "cylinders", "body_style"),
)
Name = Annotated[str, Field(min_length=1, max_length=60)]
Year = Annotated[int, Field(ge=1886, le=2100)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, populate_by_name=True)


class Figure(_Strict):
    """A figure as a car keeps it."""

    typed: Annotated[str, Field(min_length=1, max_length=60)]
    unit: Annotated[str, Field(max_length=12)]
    read: str | None = None
    sure: bool | None = None
    from_: Literal["manual", "sticker", "part", "practice"] | None = Field(None, alias="from")


class Look(_Strict):
    """Where to look first, and how often it is bad: a word or a percent."""

    item: Annotated[str, Field(pattern=r"^[a-z-]+\.[a-z0-9-]+$")]
    chance: Literal["often", "sometimes"] | None = None
    percent: Annotated[int, Field(ge=1, le=95)] | None = None
    note: Annotated[str, Field(max_length=200)] = ""

    @model_validator(mode="after")
    def _says_how_often(self) -> Look:
        if (self.chance is None) == (self.percent is None):
            raise PydanticCustomError("chance", "chance or percent, one alone")  # not shown
        return self


class Model(_Strict):
    """A model of the shop."""

    make: Name
    model: Name
    from_: Year | None = Field(None, alias="from")
    to: Year | None = None
    facts: dict[
        Annotated[str, Field(pattern=r"^[a-z]+(_[a-z-]+)*$")],
        Annotated[str, Field(max_length=60)] | Annotated[int, Field(ge=0, le=100)] | Figure,
    ] = {}
    look: Annotated[list[Look], Field(max_length=60)] = []
    notes: Annotated[str, Field(max_length=2000)] = ""

    @model_validator(mode="after")
    def _years_rise(self) -> Model:
        if self.from_ is not None and self.to is not None and self.to < self.from_:
            raise PydanticCustomError("years", "to before from")  # not shown
        return self


class ModelsFile(_Strict):
    """A file of models."""

    format: Literal["bradawl-models"]
    version: Literal[1]
    models: Annotated[list[Model], Field(max_length=2000)]


def plain(model: Model) -> dict[str, Any]:
    """A model as it is recorded and written to a file."""
    value = model.model_dump(mode="json", by_alias=True, exclude_none=True)
    value["look"] = [{k: v for k, v in row.items() if v != ""} for row in value["look"]]
    return {key: part for key, part in value.items() if part != ""}


def models_of(log: DeskLog) -> dict[str, Model]:
    """The shop's models by id; an entry that is damaged is left out."""
    found = {}
    for path, cell in fold(log.events_in(SHOP)).items():
        if path.startswith(PATH) and cell["value"] is not None:
            try:
                found[path.removeprefix(PATH)] = Model.model_validate(cell["value"])
            except ValidationError:
                continue
    return dict(sorted(found.items(), key=lambda pair: (title(pair[1]).casefold(), pair[0])))


def title(model: Model) -> str:
    """Make, model, years: `Brasthorn Killdeer 1992–1996`."""
    first, last = model.from_, model.to
    years = str(first or "") if first == last else f"{first or ''}–{last or ''}"
    return " ".join(part for part in (model.make, model.model, years) if part)


def fitting(log: DeskLog, snapshot: Snapshot) -> tuple[str, Model] | None:
    """The shop's model that a visit's car is of, and its id."""
    known = known_of(snapshot)
    for name, model in models_of(log).items():
        if is_model(plain(model), known):
            return name, model
    return None


def taken(snapshot: Snapshot, name: str, model: Model) -> Puts:
    """The puts by which a visit takes what its model says; what stands there already stays."""
    known = known_of(snapshot)
    called = title(model)
    puts: Puts = []
    for fact, value in plain(model).get("facts", {}).items():
        if known.get(fact) is None:
            kept = {**value, "model": called} if isinstance(value, dict) else value
            puts += change_to(snapshot, f"car/{fact}", kept)
    puts += change_to(snapshot, f"car/{LOOK}", plain(model)["look"] or None)
    return [*puts, *change_to(snapshot, f"car/{KNOWN}", {"id": name, "name": called})]


def of_visit(snapshot: Snapshot, asked: Sequence[str]) -> dict[str, Any]:
    """A model as a visit's car would have it: its make, model, year and the facts of `asked`."""
    known = known_of(snapshot)
    facts = {}
    for name in (*ALIKE, *asked):
        value = known.get(name)
        if isinstance(value, Mapping):
            value = {key: part for key, part in value.items() if key != "model"}
        if value is not None and value != "":
            facts[name] = value
    year = known.get("year")
    years = {"from": year, "to": year} if isinstance(year, int) else {}
    named = {name: str(known.get(name) or "") for name in ("make", "model")}
    look = known.get(LOOK)
    return {**named, **years, "facts": facts, "look": look if isinstance(look, list) else []}


def checked(value: Mapping[str, Any]) -> Model:
    """A model as it was typed. Raises FieldError with what is wrong first."""
    try:
        return Model.model_validate(value)
    except ValidationError as wrong:
        raise FieldError(_wrong(wrong, value)) from wrong


def new_id() -> str:
    return uuid4().hex


def exported(log: DeskLog) -> str:
    """Every model of the shop as a file."""
    models = [plain(model) for model in models_of(log).values()]
    value = {"format": FORMAT, "version": VERSION, "models": models}
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"


def imported(log: DeskLog, name: str, data: bytes) -> list[tuple[str, str, Any]]:
    """The puts that take a file's models: one of the same make, model and years is replaced.

    Raises FieldError for a file that cannot be used whole; then nothing is taken of it.
    """
    try:
        value = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as wrong:
        raise FieldError(message("desk-models-no-json", name=name)) from wrong
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        raise FieldError(message("desk-models-other", name=name))
    if value.get("version") != VERSION:
        raise FieldError(message("desk-models-version", name=name))
    try:
        file = ModelsFile.model_validate(value)
    except ValidationError as wrong:
        raise FieldError(_wrong(wrong, value)) from wrong
    standing = models_of(log)
    ids = {_key(model): known for known, model in standing.items()}
    puts = []
    for model in file.models:
        known = ids.setdefault(_key(model), new_id())
        if known not in standing or plain(standing[known]) != plain(model):
            puts.append((SHOP, PATH + known, plain(model)))
    return puts


def _key(model: Model) -> tuple[str, str, int | None, int | None]:
    return name_key(model.make), name_key(model.model), model.from_, model.to


def _wrong(wrong: ValidationError, value: Mapping[str, Any]) -> Message:
    """The first fault of a model or a file of them: where it is, and what is wrong."""
    fault = wrong.errors(include_url=False)[0]
    place = [str(part) for part in fault["loc"]]
    if place[:1] == ["models"] and len(place) > 1 and place[1].isdigit():
        rows = value.get("models")
        row = rows[int(place[1])] if isinstance(rows, list) else None
        called = f"{row.get('make')} {row.get('model')}" if isinstance(row, Mapping) else ""
        place = [called or place[1], *place[2:]]
    words = [part for part in place if part not in ("Figure", "constrained-str", "constrained-int")]
    kind = {
        "missing": "missing", "extra_forbidden": "extra", "chance": "chance", "years": "years",
        "string_too_short": "empty", "string_too_long": "long",
    }.get(fault["type"], "other")  # fmt: skip
    return message(f"desk-models-wrong-{kind}", where=", ".join(words))


def gone() -> ApiError:
    return ApiError("unknown_model", message("desk-models-unknown"), 404)
