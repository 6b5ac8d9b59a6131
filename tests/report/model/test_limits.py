"""Limits beside readings: only those that count for this car, once each, in the reader's units."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl import language
from bradawl.judge.record.visit_facts import visit_facts
from bradawl.report.model.limits import limits_of
from tests.report.visits import TODAY, item

FACTS = visit_facts({"car/year": {"value": 1989, "at": "0", "others": []}}, TODAY)
PLAY = {"id": "play", "title": "Free play", "quantity": "length", "units": ["mm", "in"]}


def limit(kind: str, figure: Any, unit: str = "mm", grade: str = "minor", **more: Any) -> Any:
    return {"of": "play", kind: figure, "unit": unit, "grade": grade, "source": "practice", **more}


def shown(limits: list[Any], region: str = "us") -> list[str]:
    one: Any = item("steering.play", "Free play", readings=[PLAY], limits=limits)
    with language.reading_as(language.Reader(region=region)):
        return [limit.text for limit in limits_of(one, "play", FACTS)]


# 1 in = 25.4 mm (international yard, 1959)
@pytest.mark.parametrize(
    ("region", "said"),
    [("us", "Minor above 0.512 in (13 mm)"), ("eu", "Minor above 13 mm")],
)
def test_of_two_limits_of_one_grade_the_one_that_is_reached_first_is_shown(
    region: str, said: str
) -> None:
    assert shown([limit("above", "30"), limit("above", "13")], region) == [said]
    assert len(shown([limit("below", "2"), limit("above", "13")], region)) == 2


def test_a_limit_that_does_not_count_for_this_car_is_not_shown() -> None:
    newer = limit("above", "13", applies={"year": {"from": 1991}})
    assert shown([newer, limit("above", "2", "in")]) == ["Minor above 2 in"]


def test_the_gravest_stands_first_and_a_word_is_no_limit() -> None:
    assert shown(
        [
            {"of": "play", "is": "yes", "grade": "major", "source": "practice"},
            limit("outside", ["1", "2"], "in"),
            limit("above", "5/32", "in", "dangerous"),
        ]
    ) == ["Unsafe above 5/32 in", "Minor outside 1 in to 2 in"]


def test_a_fact_is_limited_in_the_units_of_what_it_is_made_of() -> None:
    tread = {"id": "tread", "title": "Tread", "quantity": "length", "units": ["in/32", "mm"]}
    depth = {"of": "depth", "below": "3", "unit": "mm", "grade": "minor", "source": "practice"}
    one: Any = item("tires.tread", "Tread", readings=[tread], limits=[depth])
    # 3 / 25.4 * 32 = 3.78
    assert [limit.text for limit in limits_of(one, "depth", FACTS)] == [
        "Minor below 3.8/32 in (3 mm)"
    ]


def test_nothing_is_nothing_in_every_unit() -> None:
    assert shown([limit("below", "0")]) == ["Minor below 0 in"]
