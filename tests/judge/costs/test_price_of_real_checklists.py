"""The laws of the price on the checklists as they are: every single finding of an untouched car,
and findings on top of random ones.

No oracle is needed for a law: the price of one state of the car is compared with that of another.
"""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from bradawl.judge import assess
from bradawl.judge.costs import price
from bradawl.judge.record.regions import rules_in
from bradawl.judge.record.visit_facts import visit_facts
from tests.amount import amount
from tests.checkout import checklist_bundle
from tests.judge.conftest import Ask
from tests.judge.records import TODAY, record
from tests.judge.test_real_checklists import load_rules

FOLDER = Path(__file__).parents[3] / "checklists"
VALUE = 100_000  # above any charge, so that no price ends at nothing
FAULTS = ["minor", "major", "dangerous"]
CAR: dict[str, Any] = {
    "brief_value_good": VALUE, "brief_margin": 0, "brief_uses": ["everyday"],
    "car_fuel": "petrol", "car_fuelling": "injection", "car_year": 1990, "car_cylinders": 4,
    "car_front_brakes": "disc", "car_rear_brakes": "drum", "car_structure": "unibody",
    "car_gearbox": "manual", "car_drive": "front", "car_steering": "rack",
}  # fmt: skip
RECENT = {"choice": "documented", "readings/done_on/one": {"typed": "2026-10-01", "unit": ""}}


@cache
def real() -> dict[str, Any]:
    rules: dict[str, Any] = checklist_bundle()["rules"]
    return rules


@cache
def american() -> Any:
    return rules_in(real(), "us")


@cache
def untouched() -> Any:
    return assess(record({}, **CAR), real(), TODAY)


@cache
def bare() -> Any:
    """The cells and facts of a car of which nothing is judged."""
    cells = record({}, **CAR)["cells"]
    return cells, visit_facts(cells, TODAY)


def price_of(grades: dict[str, str]) -> tuple[int, int, Any]:
    """(charge, bound, all of it) of a car whose items have these grades; nothing else is judged."""
    before = untouched()
    items = dict(before["items"])
    for name, grade in grades.items():
        items[name] = {**items[name], "state": "done", "grade": grade, "by": "person"}
    order = [name for name, one in items.items() if one["applies"]]
    cells, facts = bare()
    money = price.money(
        order,
        [name for name in order if items[name]["grade"] in FAULTS],
        items,
        before["baseline"],
        american(),
        facts,
        cells,
        {},
    )
    return money["totals"]["expected"] + money["reserve"]["amount"], money["price"]["bound"], money


@pytest.mark.parametrize("part", range(8))
def test_no_single_finding_on_an_untouched_car_raises_its_price(part: int) -> None:
    charge, bound, _ = price_of({})
    names = [name for name, one in untouched()["items"].items() if one["applies"]]
    mine = sorted(names)[part::8]
    for name in mine[: amount(len(mine), short=4)]:
        for grade in FAULTS:
            found, best, _ = price_of({name: grade})
            assert found >= charge, (name, grade)
            assert best <= bound, (name, grade)
        fine, best, _ = price_of({name: "none"})
        assert fine <= charge, name
        assert best == bound, name


@pytest.mark.parametrize("part", range(8))
def test_every_answer_of_a_choice_keeps_the_laws_in_the_whole_judgment(part: int) -> None:
    before = untouched()["money"]
    charge = before["totals"]["expected"] + before["reserve"]["amount"]
    asked = [
        (name, choice)
        for name, rule in sorted(real()["items"].items())
        for choice in rule.get("choices", [])
        if choice.get("grade") in ("none", *FAULTS) and untouched()["items"][name]["applies"]
    ]
    for name, choice in asked[part :: 8 * 4]:
        money = assess(record({name: {"choice": choice["id"]}}, **CAR), real(), TODAY)["money"]
        found = money["totals"]["expected"] + money["reserve"]["amount"]
        if choice["grade"] == "none":
            assert found <= charge, (name, choice["id"])
        else:
            assert found >= charge, (name, choice["id"])
            assert money["price"]["bound"] <= before["price"]["bound"], (name, choice["id"])


@pytest.mark.parametrize("seed", range(amount(16, short=3)))
def test_a_further_answer_on_a_car_half_looked_at_keeps_the_laws(seed: int) -> None:
    dice = random.Random(seed)
    names = sorted(name for name, one in untouched()["items"].items() if one["applies"])
    faulty, fine = dice.choice([(0.05, 0.5), (0.2, 0.4), (0.6, 0.2)])
    grades = {}
    for name in names:
        chance = dice.random()
        if chance < faulty:
            grades[name] = dice.choice(FAULTS)
        elif chance < faulty + fine:
            grades[name] = "none"
    for name in dice.sample(names, 6):
        before = {one: grade for one, grade in grades.items() if one != name}
        charge, bound, money = price_of(before)
        assert VALUE - charge <= bound
        assert money["reserve"]["amount"] >= 0
        for grade in FAULTS:
            found, best, _ = price_of({**before, name: grade})
            assert found >= charge, (name, grade)
            assert best <= bound, (name, grade)
        assert price_of({**before, name: "none"})[0] <= charge, name


def test_what_is_shown_as_held_is_never_more_than_is_held() -> None:
    """Where a dearer job would spare a hold, less is shown than held: a few per cent at most."""
    for grades in ({}, {"engine.compression": "major", "rust.sills": "dangerous"}):
        _, _, money = price_of(grades)
        shown = sum(row["amount"] for row in money["reserve"]["items"])
        amount = money["reserve"]["amount"]
        assert 0.95 * amount <= shown <= amount + len(money["reserve"]["items"]) / 2
        named = [row["item"] for row in money["reserve"]["items"]]
        assert len(set(named)) == len(named)


def test_maintenance_that_is_due_and_its_check_unseen_are_not_both_counted() -> None:
    """By hand from checklists/prices/us.yaml: the new belt is due, and what is held for the belt
    nobody saw is part of that job, not a second one."""
    rules = rules_in(real(), "us")
    _, _, money = price_of({})
    assert "baseline/timing-belt" in [line["id"] for line in money["lines"]]
    held = {row["item"]: row["amount"] for row in money["reserve"]["items"]}
    unseen = rules["items"]["engine.timing-belt"]["unseen"]
    low, likely, high = unseen["cost"]
    hold = float(unseen["chance"]) * (low + 4 * likely + high) / 6
    due = next(line for line in money["lines"] if line["id"] == "baseline/timing-belt")
    assert held.get("engine.timing-belt", 0) <= max(0, round(hold) - due["expected"]) + 1


def test_both_engines_price_a_real_car_alike(both: Ask) -> None:
    load_rules(both, "real", real())
    dice = random.Random(7)
    names = sorted(name for name, one in untouched()["items"].items() if one["applies"])
    for share in (0.1, 0.5):
        grades: dict[str, Any] = {}
        for name in names:
            if dice.random() < share:
                grades[name] = (dice.choice(["none", "none", *FAULTS]), "seen")
        question = {"ask": "assess", "bundle": "real", "today": TODAY, **record(grades, **CAR)}
        money = both(question)["assessment"]["money"]
        taken = money["totals"]["expected"] + money["reserve"]["amount"]
        assert money["price"]["walk_away"] in (None, VALUE - taken)
