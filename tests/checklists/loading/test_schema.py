"""The committed JSON Schema is current, and it agrees with what the loader takes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from bradawl.checklists.loader import FILES
from bradawl.checklists.schema import schema, schema_text

Validator = jsonschema.Draft202012Validator


class Editor(yaml.SafeLoader):
    """YAML 1.2 as editors read it: on, off, yes and no are words (10.3.2, core schema)."""


Editor.yaml_implicit_resolvers = {
    letter: [row for row in rows if letter not in "yYnNoO" or not row[0].endswith(":bool")]
    for letter, rows in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def test_the_committed_schema_is_current(folder: Path) -> None:
    committed = (folder / "schema.json").read_text(encoding="utf-8")
    assert committed == schema_text(), "run: bradawl checklists schema > checklists/schema.json"


def test_the_schema_is_a_schema() -> None:
    Validator.check_schema(schema())


def test_an_editor_finds_no_mistake_in_our_files(folder: Path) -> None:
    # An editor reads typed scalars, not text as the loader does.
    validator = Validator(schema())
    for path in [path for place in FILES for path in folder.glob(place)]:
        value = yaml.load(path.read_text(encoding="utf-8"), Editor)
        assert [e.message for e in validator.iter_errors(value)] == [], path.name


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("stage",), "below"),
        (("danger",), 6),
        (("titel",), "x"),
        (("answers",), ["mark"]),
        (("limits",), [{"of": "pad", "grade": "minor"}]),
    ],
)
def test_an_editor_finds_a_mistake(folder: Path, path: tuple[str], value: Any) -> None:
    area = yaml.safe_load((folder / "brakes.yaml").read_text(encoding="utf-8"))
    area["items"][0][path[0]] = value
    assert list(Validator(schema()).iter_errors(area))
