"""What the whole cars of cars.yaml have behind them, by the real checklists.

The expectations follow from `why` in cars.yaml, written before; common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge import assess
from tests.judge.cars.whole_cars import CARS, assessed, real
from tests.judge.records import TODAY, cell

SUSPECTED = ("suspected", "likely", "strong")


def standings(car: str) -> dict[str, str]:
    (told,) = [one for one in CARS if one["id"] == car]
    return {row["id"]: row["standing"] for row in assessed(told)["histories"]}


@pytest.mark.parametrize(
    ("car", "suspected"),
    [
        ("honest-and-good", set()),
        ("high-miles-cared-for", set()),
        ("neglected-but-honest", set()),
        ("light-front-repair", set()),
        ("hard-hit", {"crash"}),
        ("flooded", {"flood"}),
        ("miles-turned-back", {"rollback"}),
        ("painted-to-sell", {"painted"}),
        ("low-miles-sat-ten-years", {"standing"}),
        ("chewed-and-parked", {"rodents"}),
    ],
)
def test_a_car_is_suspected_of_what_happened_to_it_and_of_nothing_else(
    car: str, suspected: set[str]
) -> None:
    told = standings(car)
    assert len(told) == 6
    assert {name for name, word in told.items() if word in SUSPECTED} == suspected


def test_one_look_at_a_spare_suspects_nobody_and_clears_nobody() -> None:
    assert set(standings("one-look").values()) == {"not_excluded"}


def receipt(item: str, at: str, on: str) -> dict[str, Any]:
    start = f"items/{item}/readings"
    return {
        f"{start}/done_at/one": cell({"typed": at, "unit": "mi"}),
        f"{start}/done_on/one": cell({"typed": on, "unit": ""}),
    }


def judged_odometer(*receipts: dict[str, Any], dial: str = "142000") -> Any:
    cells = {"car/odometer": cell({"typed": dial, "unit": "mi"})}
    for one in receipts:
        cells.update(one)
    record: Any = {"visit": "v", "cells": cells}
    return assess(record, real()["rules"], TODAY)["items"]["papers.odometer"]


def test_receipts_in_other_checks_are_compared_with_the_dial_and_with_one_another() -> None:
    oil = receipt("upkeep.engine-oil", "180000", "2020-05-01")
    assert judged_odometer(oil)["grade"] == "major"
    assert judged_odometer(oil, dial="190000")["grade"] is None
    brakes = receipt("upkeep.brake-fluid", "120000", "2023-05-01")
    between = judged_odometer(oil, brakes, dial="190000")
    assert between["grade"] == "major"
    assert between["facts"]["fallen"]["value"] == "60000"
    book = {
        "items/papers.service-book/readings/last-entry/one": cell({"typed": "150000", "unit": "mi"})
    }
    assert judged_odometer(book)["facts"]["fallen"]["value"] == "8000"
