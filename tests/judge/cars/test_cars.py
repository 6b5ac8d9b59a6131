"""What the judge says of whole cars, beside what an experienced buyer would (common practice)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.checkout import checklist_bundle
from tests.judge.cars.whole_cars import CARS, DRIVE, assessed

BUY = {"buy", "up_to", "not_until", "walk", "too_little"}
GRADES = {"none", "minor", "major", "dangerous", "uninspected"}
ROOT = Path(__file__).parents[3]


def _answers(seen: Any) -> tuple[set[str], set[str]]:
    """(choice and grade, readings) that an entry of `seen` gives."""
    if isinstance(seen, str):
        return {seen}, set()
    given = {seen[name] for name in ("choice", "grade") if name in seen}
    return given, set(seen.get("readings", {}))


def test_every_answer_of_every_car_is_one_that_the_checklists_offer() -> None:
    items = {item["id"]: item for item in checklist_bundle()["items"]}
    for car in CARS:
        for item, seen in car["seen"].items():
            assert item in items, (car["id"], item)
            offered = {choice["id"] for choice in items[item].get("choices") or []}
            readings = {reading["id"] for reading in items[item].get("readings") or []}
            answers, read = _answers(seen)
            assert answers <= offered | GRADES, (car["id"], item, answers)
            assert read <= readings, (car["id"], item, read)
        for item in (*car["names"], *car.get("silent", [])):
            assert item in car["seen"], (car["id"], item)


def test_every_expectation_is_whole() -> None:
    assert len({car["id"] for car in CARS}) == len(CARS) >= 20
    for car in CARS:
        assert car["buy"] in BUY
        assert car["drive"] in DRIVE.values()
        quoted = car["buy"] not in ("not_until", "too_little")
        assert ("price" in car) == quoted, f"{car['id']}: no price before it is cleared or seen"
        if quoted:
            low, high = car["price"]
            assert 0 <= low < high <= car["value"]
            assert (car["buy"] == "walk") <= (high < car["asked"])


@pytest.mark.parametrize("car", CARS, ids=[car["id"] for car in CARS])
def test_the_judge_says_what_an_experienced_buyer_would(car: dict[str, Any]) -> None:
    judged = assessed(car)
    decision, price = judged["decision"], judged["money"]["price"]
    assert (decision["buy"], DRIVE[decision["drive"]]) == (car["buy"], car["drive"])
    if "price" in car:
        assert car["price"][0] <= price["walk_away"] <= car["price"][1]
    else:
        assert price["walk_away"] is None
    clauses = [*decision["overruled"], *(c for row in decision["answers"].values() for c in row)]
    named = {clause["item"] for clause in clauses}
    assert set(car["names"]) <= named
    assert not named & set(car.get("silent", []))
    assert decision["spoken"]
