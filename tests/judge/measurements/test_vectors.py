"""The published figures, worked through both engines: tests/vectors, one case a line.

A case names its source; the marks behind it: [R] read, [R2] read in a secondary page, [RB] read in
the sister text for heavier vehicles, [M] from memory, [C] common practice without a source,
[X] computed by hand.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from bradawl import judge
from tests.judge.conftest import Ask
from tests.judge.saying import said

FOLDER = Path(__file__).parents[1] / "vectors"
FILES = sorted(FOLDER.glob("*.json"))
CASES = [
    pytest.param(file.stem, case, id=f"{file.stem}: {case['name']}")
    for file in FILES
    for case in json.loads(file.read_text(encoding="utf-8"))["cases"]
]


def cell(value: Any) -> dict[str, Any]:
    return {"value": value, "at": "1", "others": []}


def cells_of(case: dict[str, Any]) -> dict[str, Any]:
    cells = {}
    for name, typed in case.get("readings", {}).items():
        path = name if "/" in name else name + "/one"
        text, unit = typed if isinstance(typed, list) else (typed, "")
        cells[f"items/{case['item']}/readings/{path}"] = cell({"typed": text, "unit": unit})
    if "choice" in case:
        cells[f"items/{case['item']}/choice"] = cell(case["choice"])
    if "given" in case:
        cells[f"items/{case['item']}/grade"] = cell(case["given"])
    return cells


@pytest.fixture(scope="module")
def loaded(both: Ask) -> Ask:
    for file in FILES:
        rules = json.loads(file.read_text(encoding="utf-8"))["rules"]
        both({"ask": "load", "bundle": file.stem, "rules": {"items": rules}, "start": True})
    return both


@pytest.mark.parametrize(("bundle", "case"), CASES)
def test_the_judge_agrees_with(bundle: str, case: dict[str, Any], loaded: Ask) -> None:
    car = {f"car/{name}": cell(value) for name, value in case.get("car", {}).items()}
    judged = loaded(
        {
            "ask": "item",
            "bundle": bundle,
            "item": case["item"],
            "cells": cells_of(case),
            "car": car,
            "today": case.get("today", "2026-11-25"),
        }
    )["item"]
    facts = judged["facts"]
    assert {name: facts[name]["value"] for name in case.get("facts", {})} == case.get("facts", {})
    for name, part in case.get("says", {}).items():
        assert part in said(facts[name]["said"], {})
    for name in case.get("absent", []):
        assert name not in facts
    if "grade" in case:
        assert judged["grade"] == case["grade"]
    assert [problem["code"] for problem in judged["problems"]] == case.get("problems", [])


MARK = re.compile(r"\[(R|R2|RB|M|C|X)\]|practice|project rule|artificial")


def test_every_case_names_its_source_and_how_far_it_was_read() -> None:
    unmarked = [
        param.values[1]["name"] for param in CASES if not MARK.search(param.values[1]["source"])
    ]
    assert unmarked == []


def test_reference_libraries_are_oracles_of_tests_and_nothing_that_runs() -> None:
    server = Path(judge.__file__).parents[2]
    oracle = re.compile(r"^\s*(?:import|from) (?:pint|numpy|scipy)\b", re.MULTILINE)
    imported = [
        str(path) for path in server.rglob("*.py") if oracle.search(path.read_text("utf-8"))
    ]
    assert imported == []
