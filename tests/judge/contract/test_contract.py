"""The contract: what is generated from the judge's types is what stands in git, and holds.

The oracle for answers is the `jsonschema` library; both engines' answers pass through it in
`tests/judge/conftest.py`.
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from bradawl.judge import assess
from tests.checkout import checklist_bundle
from tests.judge.contract import validate
from web.tools import contract

CHECKLISTS = Path(__file__).parents[3] / "checklists"


@pytest.mark.parametrize("path", contract.outputs(), ids=lambda path: path.name)
def test_generated_files_are_what_the_types_say(path: Path) -> None:
    """Run `python -m web.tools.contract` after a change of the types."""
    assert path.read_text(encoding="utf-8") == contract.outputs()[path]


@pytest.fixture(scope="module")
def real() -> dict[str, Any]:
    return checklist_bundle()


def test_the_real_checklists_make_a_bundle_of_the_contracts_shape(real: dict[str, Any]) -> None:
    validate("Bundle", real)


@pytest.fixture(scope="module")
def assessment(real: dict[str, Any]) -> Any:
    return assess({"visit": "v", "cells": {}}, real["rules"], "2026-11-25")


def test_an_assessment_of_an_empty_record_is_of_the_contracts_shape(assessment: Any) -> None:
    validate("Assessment", assessment)


def broken(assessment: Any, *place: str, value: Any) -> Any:
    changed = copy.deepcopy(assessment)
    inner = changed
    for key in place[:-1]:
        inner = inner[key]
    if value is None:
        del inner[place[-1]]
    else:
        inner[place[-1]] = value
    return changed


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("surprise",), 1),
        (("money", "surprise"), 1),
        (("problems",), None),
        (("money", "price", "walk_away"), None),
        (("drive_home", "answer"), "maybe"),
        (("money", "rate"), 60.5),
        (("money", "rate"), "60"),
        (("money", "reserve", "items", 0, "cost"), [1, 2]),
        (("coverage", "by_area", "body"), "all"),
        (("items", "new.item"), {"grade": "none"}),
    ],
)
def test_an_answer_of_another_shape_is_refused(assessment: Any, place: Any, value: Any) -> None:
    with pytest.raises(jsonschema.ValidationError):
        validate("Assessment", broken(assessment, *place, value=value))
