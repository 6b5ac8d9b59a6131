"""The tables from symptom to cause (`checklists/symptoms/`), read from YAML and checked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator, model_validator

from bradawl.common.errors import ApiError
from bradawl.desk.model.translations import says
from bradawl.language import Message, message, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Symptom as SymptomTable
    from bradawl.language.checklist_texts import Says

Word = str


class TableError(ApiError):
    """A table cannot be used; the text names the file, the place and what would be right."""

    def __init__(self, what: Message) -> None:
        super().__init__("symptoms", message("desk-symptom-table-wrong", what=what), 500)


class Strict(BaseModel):
    """A part of a table: unknown keys are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Cause(Strict):
    """What may be behind a symptom; `often` weighs it against the others of its table."""

    title: str = Field(min_length=4, max_length=80)
    often: int = Field(ge=1, le=1000)
    item: list[str] = []  # items of the checklist that judge it: the first that the car has
    then: Word = ""  # the symptom whose table goes on from here
    harmless: bool = False  # nothing to mend

    @field_validator("item", mode="before")
    @classmethod
    def _one_or_more(cls, names: Any) -> Any:
        return [names] if isinstance(names, str) else names


class Test(Strict):
    """A test, its outcomes in words, and how likely each is under each cause, in per cent."""

    id: Word = Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")
    title: str = Field(min_length=4, max_length=90)
    how: str = Field(min_length=8, max_length=300)
    minutes: str = Field(pattern=r"^\d+(\.\d+)?$")
    cautions: list[str] = []
    takes: str = ""  # the item whose readings this test takes
    outcomes: dict[str, str]
    likely: dict[str, list[int]]

    @model_validator(mode="after")
    def _adds_up(self) -> Test:
        if len(self.outcomes) < 2:
            raise ValueError(text("desk-symptom-table-outcomes", test=self.id))
        for cause, row in self.likely.items():
            if len(row) != len(self.outcomes) or sum(row) != 100 or min(row) < 0:
                wrong = {"test": self.id, "cause": cause, "row": ", ".join(map(str, row))}
                raise ValueError(text("desk-symptom-table-row", count=len(self.outcomes), **wrong))
        return self


class Symptom(Strict):
    """One complaint with its causes and tests."""

    id: Word = Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")
    title: str = Field(min_length=4, max_length=60)
    says: str = Field(min_length=8, max_length=200)
    causes: dict[str, Cause] = Field(min_length=2)
    tests: list[Test] = Field(min_length=2)
    source: str = ""

    @model_validator(mode="after")
    def _names_agree(self) -> Symptom:
        ids = [test.id for test in self.tests]
        for test_id in ids:
            if ids.count(test_id) > 1:
                raise ValueError(text("desk-symptom-table-test-twice", test=test_id))
        for test in self.tests:
            for cause in test.likely:
                if cause != "other" and cause not in self.causes:
                    raise ValueError(text("desk-symptom-table-cause", test=test.id, cause=cause))
            if "other" not in test.likely and set(test.likely) != set(self.causes):
                raise ValueError(text("desk-symptom-table-other", test=test.id))
        return self

    def table(self) -> SymptomTable:
        """The shape that `judge.decisions.diagnosis` reads."""
        return {
            "causes": [{"id": name, "often": cause.often} for name, cause in self.causes.items()],
            "tests": [
                {
                    "id": test.id,
                    "minutes": test.minutes,
                    "outcomes": [{"id": name} for name in test.outcomes],
                    "likely": test.likely,
                }
                for test in self.tests
            ],
        }

    def said(self, say: Says) -> Symptom:
        """The same with its texts as `say` says them (ids: `language/checklist_texts.py`)."""
        at = f"symptoms/{self.id}"
        causes = {
            word: cause.model_copy(update={"title": say(f"{at}/causes/{word}", cause.title)})
            for word, cause in self.causes.items()
        }
        tests = []
        for test in self.tests:
            own = f"{at}/tests/{test.id}"
            outcomes = {
                word: say(f"{own}/outcomes/{word}", text) for word, text in test.outcomes.items()
            }
            texts = {key: say(f"{own}/{key}", getattr(test, key)) for key in ("title", "how")}
            tests.append(test.model_copy(update={**texts, "outcomes": outcomes}))
        texts = {key: say(f"{at}/{key}", getattr(self, key)) for key in ("title", "says")}
        return self.model_copy(update={**texts, "causes": causes, "tests": tests})


class SymptomFile(Strict):
    """One file of symptoms; `source` says where its figures come from."""

    source: str
    symptoms: list[Symptom] = Field(min_length=1)


def load(folder: Path) -> dict[str, Symptom]:
    """Every symptom below a folder, in the order of files and of the lines in them.

    Scalars are read as text, so that `off` and `no` stay words. Raises TableError.
    """
    import yaml

    symptoms: dict[str, Symptom] = {}
    for path in sorted(folder.glob("*.yaml")):
        try:
            # every scalar as text; pydantic turns digits into whole numbers where one is meant
            raw = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
            file = SymptomFile.model_validate(raw)
        except yaml.YAMLError as error:
            raise TableError(
                message("desk-symptom-table-yaml", file=path.name, why=str(error))
            ) from error
        except ValidationError as error:
            first = error.errors()[0]
            place = ".".join(str(part) for part in first["loc"])
            raise TableError(
                message("desk-symptom-table-place", file=path.name, place=place, why=first["msg"])
            ) from error
        for symptom in file.symptoms:
            if symptom.id in symptoms:
                raise TableError(
                    message("desk-symptom-table-twice", file=path.name, symptom=symptom.id)
                )
            symptoms[symptom.id] = symptom.model_copy(update={"source": file.source})
    for symptom in symptoms.values():
        for cause in symptom.causes.values():
            if cause.then and cause.then not in symptoms:
                raise TableError(
                    message("desk-symptom-table-then", symptom=symptom.id, next=cause.then)
                )
    if not symptoms:
        raise TableError(message("desk-symptom-table-none", folder=folder.name))
    return symptoms


class SymptomTables:
    """The symptoms of a folder, read again when a file changes, in the reader's language."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._seen: tuple[tuple[str, int], ...] = ()
        self._symptoms: dict[str, Symptom] = {}

    def symptoms(self) -> dict[str, Symptom]:
        """Every symptom by its id. Raises TableError."""
        say = says(self._folder.parent)
        return {name: symptom.said(say) for name, symptom in self._written().items()}

    def english(self, name: str, cause: str) -> list[str]:
        """What a record calls a symptom and its cause beside their ids. Raises TableError."""
        symptom = self._written()[name]
        return [symptom.title, symptom.causes[cause].title]

    def _written(self) -> dict[str, Symptom]:
        seen = tuple(
            (path.name, path.stat().st_mtime_ns) for path in sorted(self._folder.glob("*.yaml"))
        )
        if seen != self._seen or not self._symptoms:
            self._symptoms = load(self._folder)
            self._seen = seen
        return self._symptoms

    def symptom(self, name: str) -> Symptom:
        """Raises ApiError 404 for a symptom that is in no table."""
        symptom = self.symptoms().get(name)
        if symptom is None:
            raise ApiError("unknown_symptom", message("desk-symptom-unknown"), 404)
        return symptom
