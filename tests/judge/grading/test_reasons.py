"""What counts as the reason of a rating, under both engines, and how each reader is told it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl.judge.values.saying import CHIPS
from bradawl.language import catalogue
from tests.judge.conftest import Ask
from tests.judge.records import item
from tests.judge.saying import said

TABLE: dict[str, Any] = json.loads(
    (Path(__file__).parent / "reasons.json").read_text(encoding="utf-8")
)
PADS = "brakes.pads"
LIMIT = {"of": "pad", "below": "1.6", "unit": "mm", "grade": "dangerous", "source": "law"}
READING = {"id": "pad", "title": "Pad", "quantity": "length", "units": ["mm"], "at": []}
RULES: dict[str, Any] = {
    "areas": [{"id": "brakes", "title": "Brakes"}],
    "items": {PADS: item("brakes", readings=[READING], limits=[LIMIT])},
}


@pytest.fixture(scope="module")
def loaded(both: Ask) -> Ask:
    both({"ask": "load", "bundle": "reasons", "rules": RULES, "start": True})
    return both


def judged(ask: Ask, why: Any) -> Any:
    """A pad of 1 mm that somebody called minor."""
    held = {
        "readings/pad/one": ({"typed": "1", "unit": "mm"}, "1"),
        "grade": ({"grade": "minor"}, "2"),
        "why": (why, "3"),
    }
    cells = {
        f"items/{PADS}/{path}": {"value": value, "at": at, "others": []}
        for path, (value, at) in held.items()
    }
    about = {"today": "2026-11-25", "car": {}, "bundle": "reasons"}
    return ask({"ask": "item", "item": PADS, "cells": cells, **about})["item"]


@pytest.mark.parametrize(("why", "english", "translated"), TABLE["rows"])
def test_a_reason_is_kept_by_its_ids_and_said_to_each_reader(
    loaded: Ask, why: Any, english: str | None, translated: str | None
) -> None:
    got = judged(loaded, why)
    if english is None:
        assert (got["grade"], got["problems"][0]["code"]) == ("dangerous", "why_wanted")
        return
    assert (got["grade"], got["overruled"]) == ("minor", True)
    other = {"items": {PADS: {**RULES["items"][PADS], "whys": TABLE["whys"]}}}
    for rules, shown in ((RULES, english), (other, translated)):
        assert said(got["reasons"][0]["said"], rules) == f"Inspector's call: Minor ({shown})."


def test_every_chip_has_its_message_and_every_message_of_a_chip_is_known_to_the_judge() -> None:
    assert {one for one in catalogue.ids() if one.startswith("chip-")} == set(CHIPS)
