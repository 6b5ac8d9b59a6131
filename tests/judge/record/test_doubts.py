"""Readings whose unit is in doubt are asked about and not judged, in both engines.

The table is common practice; what the figures are worth in both units: pint.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.record import readings
from tests.judge.conftest import Ask
from tests.judge.test_real_checklists import TODAY, real

TABLE: dict[str, Any] = json.loads(
    (Path(__file__).parent / "doubts.json").read_text(encoding="utf-8")
)
RACK = "bushings.steering-rack"


@pytest.fixture(scope="module")
def loaded(both: Ask) -> Ask:
    rules = real()["rules"]
    items = {row[0]: rules["items"][row[0]] for row in TABLE["rows"]}
    both({"ask": "load", "bundle": "doubts", "rules": {**rules, "items": items}, "start": True})
    return both


def judged(ask: Ask, item: str, reading: str, typed: str, unit: str, more: Any) -> Any:
    path = f"items/{item}/readings/{reading if '/' in reading else reading + '/one'}"
    value = {"typed": typed, "unit": unit, **more}
    cells = {path: {"value": value, "at": "1", "others": []}}
    question = {"bundle": "doubts", "item": item, "cells": cells, "car": {}, "today": TODAY}
    return ask({"ask": "item", **question})["item"]


@pytest.mark.parametrize(("item", "reading", "typed", "unit", "more", "meanings"), TABLE["rows"])
def test_a_reading_means_one_thing_or_is_asked_about(
    loaded: Ask, item: str, reading: str, typed: str, unit: str, more: Any, meanings: list[str]
) -> None:
    answer = judged(loaded, item, reading, typed, unit, more)
    doubts = [problem for problem in answer["problems"] if problem["code"] == "doubt"]
    if len(meanings) > 1:
        (doubt,) = doubts
        assert [f"{one['read']} {one['unit']}" for one in doubt["meanings"]] == meanings
        assert answer["grade"] is None
        assert answer["facts"] == {}
    else:
        assert not doubts
    if not meanings and typed != "none":
        assert [problem["code"] for problem in answer["problems"]] == ["unreadable"]
    if len(meanings) == 1 and meanings[0].split()[0] == "0.1875":
        assert answer["state"] == "done" or answer["facts"]


def test_the_rack_that_was_called_sound_is_asked_about_and_then_dangerous(loaded: Ask) -> None:
    # 0.1875 in is 4.76 mm: pint; what a rack may slide: the checklist's own limits
    assert float(pint.UnitRegistry().Quantity(0.1875, "inch").to("mm").magnitude) > 3
    assert judged(loaded, RACK, "slide", ".1875", "mm", {})["grade"] is None
    told = judged(loaded, RACK, "slide", ".1875", "in", {"sure": True})
    assert (told["grade"], told["problems"]) == ("dangerous", [])


def test_what_is_remembered_of_a_reading_is_told_from_all_that_was_typed_since(loaded: Ask) -> None:
    values = [
        {"typed": ".1875", "unit": "in"}, {"typed": ".1875", "unit": "mm"},
        {"typed": ".1875", "unit": "mm", "sure": 1}, {"typed": ".1875", "unit": "mm", "sure": True},
        {"typed": ".1875", "unit": "in", "read": "0.5"}, {"typed": ".1875", "unit": "in"},
        {"typed": "3/16", "unit": "in", "sure": True}, {"typed": "x", "unit": "in"},
    ]  # fmt: skip
    first: dict[str, Any] = {}
    for value in values + values[::-1] + values:
        if len(first) < len(values):
            readings._last.clear()
        more = {key: entry for key, entry in value.items() if key not in ("typed", "unit")}
        answer = judged(loaded, RACK, "slide", str(value["typed"]), str(value["unit"]), more)
        assert answer == first.setdefault(json.dumps(value), answer)


def test_a_card_is_told_what_was_worked_out_and_not_what_it_has_in_its_fields(loaded: Ask) -> None:
    cells = {
        f"items/brakes.front-pads/readings/pad/{place}": {
            "value": {"typed": typed, "unit": "mm"}, "at": "1", "others": [],
        }
        for place, typed in (("front-left", "6"), ("front-right", "4"))
    }  # fmt: skip
    both = loaded
    rules = real()["rules"]
    both({"ask": "load", "bundle": "pads", "rules": rules, "start": True})
    question = {"ask": "item", "bundle": "pads", "item": "brakes.front-pads", "cells": cells,
                "car": {}, "today": TODAY}  # fmt: skip
    everything, worked = both(question)["item"], both({**question, "shown": "worked"})["item"]
    typed = {name for name in everything["facts"] if name.startswith("pad.")}
    assert typed == {"pad.front-left", "pad.front-right"}
    assert worked["facts"] == {
        name: fact for name, fact in everything["facts"].items() if name not in typed
    }
    assert worked["facts"]
    assert {**worked, "facts": {}} == {**everything, "facts": {}}


def test_whatever_is_typed_both_engines_read_alike(loaded: Ask) -> None:
    table = Path(__file__).parents[1] / "values" / "typed.json"
    rows = json.loads(table.read_text(encoding="utf-8"))
    for row in rows["numbers"]:
        answer = judged(loaded, "brakes.fluid-water", "boiling", row[0], "degC", {"sure": True})
        assert answer["facts"] or answer["problems"]
    for row in rows["days"]:
        answer = judged(loaded, "upkeep.engine-oil", "done_on", row[0], "", {})
        assert answer["facts"] or answer["problems"]


@given(
    typed=st.decimals(0, 100, places=3).map(str),
    unit=st.sampled_from(["mm", "in"]),
)
def test_whoever_is_sure_is_not_asked_again(loaded: Ask, typed: str, unit: str) -> None:
    first = judged(loaded, RACK, "slide", typed, unit, {})
    for problem in first["problems"]:
        for meaning in problem.get("meanings", ()):
            value = {"read": meaning["read"], "sure": True}
            again = judged(loaded, RACK, "slide", typed, meaning["unit"], value)
            assert "doubt" not in [other["code"] for other in again["problems"]]
