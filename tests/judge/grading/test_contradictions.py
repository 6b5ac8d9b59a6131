"""Answers that contradict one another: asked, the worse counts, none is fine until settled.

What counts as a contradiction and how it is settled are this project's rules; the cases are common
practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge import assess, judge_item, visit_facts
from bradawl.judge.grading.contradictions import unsettled
from tests.judge.records import TODAY, cell, item, rules
from tests.judge.saying import said

TREAD = {
    "readings": [{"id": "tread", "quantity": "length", "units": ["mm"], "at": []}],
    "limits": [{"of": "tread", "below": "1.6", "unit": "mm", "grade": "major", "source": "law"}],
    "choices": [
        {"id": "good", "title": "Well above the bars", "grade": "none"},
        {"id": "bars", "title": "At the bars", "grade": "major"},
    ],
    "settled_by": ["tread"],
}
DEAD_AND_DRIVEN = {
    "id": "dead-and-driven",
    "all": [
        {"item": "engine.start", "choice": ["never"]},
        {"item": "road.stop", "choice": ["straight"]},
    ],
    "question": "It doesn't start, and it was driven. Which is right?",
    "source": "practice",
}


def car_rules(**tread: Any) -> dict[str, Any]:
    return rules(
        {
            "tyres.tread": item("tyres", **{**TREAD, **tread}),
            "engine.start": item(
                "engine",
                drive="essential",
                choices=[{"id": "never", "grade": "major"}, {"id": "at-once", "grade": "none"}],
            ),
            "road.stop": item(
                "road", drive="essential", choices=[{"id": "straight", "grade": "none"}]
            ),
        },
        contradictions=[DEAD_AND_DRIVEN],
    )


def judged(cells: dict[str, Any], **tread: Any) -> Any:
    return assess({"visit": "v", "cells": cells}, car_rules(**tread), TODAY)


def tread_cells(millimeters: str, choice: str) -> dict[str, Any]:
    return {
        "items/tyres.tread/readings/tread/one": cell({"typed": millimeters, "unit": "mm"}),
        "items/tyres.tread/choice": cell(choice),
    }


APART = {"items/engine.start/choice": cell("never"), "items/road.stop/choice": cell("straight")}


@pytest.mark.parametrize(
    ("millimeters", "choice", "asked"),
    [
        ("1", "good", 'The answer says OK, and the reading says "Needs fixing".'),
        ("7", "bars", 'The answer says "Needs fixing", and the reading is within its limits.'),
    ],
)
def test_an_answer_and_a_figure_that_disagree_are_asked_and_the_worse_counts(
    millimeters: str, choice: str, asked: str
) -> None:
    got = judged(tread_cells(millimeters, choice))
    assert got["items"]["tyres.tread"]["grade"] == "major"
    [question] = got["questions"]
    assert question["items"] == ["tyres.tread"]
    assert said(question["said"], car_rules()).startswith(asked)


@pytest.mark.parametrize(("millimeters", "choice"), [("1", "bars"), ("7", "good")])
def test_an_answer_and_a_figure_that_agree_are_not_asked(millimeters: str, choice: str) -> None:
    assert judged(tread_cells(millimeters, choice))["questions"] == []


def test_figures_that_alone_settle_nothing_contradict_no_fault_that_was_seen() -> None:
    assert judged(tread_cells("7", "bars"), settled_by=[])["questions"] == []


def test_what_sees_different_things_contradicts_nothing() -> None:
    assert judged(tread_cells("1", "good"), separate=True)["questions"] == []


def test_a_tap_asks_at_once() -> None:
    """The phone asks `judge_item` at every tap, with that item's cells alone."""
    facts = visit_facts({}, TODAY)
    judgment = judge_item("tyres.tread", tread_cells("1", "good"), car_rules(), facts)
    assert [problem["code"] for problem in judgment["problems"]] == ["contradiction"]


@pytest.mark.parametrize(
    ("grade", "why", "at", "is_asked"),
    [
        ("major", "mud on the bars", "2", False),
        ("none", "typed in the wrong field", "2", False),
        ("major", "", "2", True),
        ("major", "mud on the bars", "0", True),  # said before it was measured
        ("uninspected", "too dark", "2", True),
    ],
)
def test_a_rating_with_a_reason_after_both_settles_it(
    grade: str, why: str, at: str, is_asked: bool
) -> None:
    cells = tread_cells("1", "good")
    cells["items/tyres.tread/grade"] = cell({"grade": grade}, at)
    cells["items/tyres.tread/why"] = cell(why, at)
    assert bool(judged(cells)["questions"]) == is_asked


def test_marked_ok_with_the_rest_settles_nothing() -> None:
    cells = tread_cells("1", "good")
    cells["items/tyres.tread/grade"] = cell({"grade": "none", "together": True}, "2")
    assert judged(cells)["questions"]


def test_two_items_that_cannot_both_be_are_asked_at_each_and_neither_is_fine() -> None:
    got = judged(APART)
    [question] = got["questions"]
    assert question["id"] == "dead-and-driven"
    assert unsettled(got["questions"]) == {"engine.start", "road.stop"}
    assert said(question["said"], car_rules()) == DEAD_AND_DRIVEN["question"]
    start, stop = got["items"]["engine.start"], got["items"]["road.stop"]
    assert (start["grade"], start["state"]) == ("major", "done")  # the worse one counts
    assert (stop["grade"], stop["state"], stop["measured"]) == (None, "open", "none")
    assert [one["problems"][0]["code"] for one in (start, stop)] == ["contradiction"] * 2
    assert "road.stop" in [row["item"] for row in got["coverage"]["not_reached"]]
    assert [row["item"] for row in got["drive_home"]["reasons"] if not row["seen"]] == ["road.stop"]


def test_another_answer_at_either_item_settles_it() -> None:
    got = judged({**APART, "items/engine.start/choice": cell("at-once")})
    assert got["questions"] == []
    assert got["items"]["road.stop"]["grade"] == "none"


@pytest.mark.parametrize(
    ("at_grade", "at_choice", "is_asked"), [("2", "1", False), ("2", "3", True)]
)
def test_a_reason_at_one_of_them_settles_it_until_another_answer_comes(
    at_grade: str, at_choice: str, is_asked: bool
) -> None:
    cells = {**APART, "items/engine.start/choice": cell("never", at_choice)}
    cells["items/road.stop/grade"] = cell({"grade": "none"}, at_grade)
    cells["items/road.stop/why"] = cell("driven before it died", at_grade)
    got = judged(cells)
    assert bool(got["questions"]) == is_asked
    assert got["items"]["road.stop"]["grade"] == (None if is_asked else "none")
