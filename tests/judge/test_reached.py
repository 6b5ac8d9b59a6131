"""Every computation is reached by `assess`: from a record of the real checklist to what is read.

The table C1 to P8 is the project's own list of what the judge computes. Figures are checked against
law, tables and reference libraries elsewhere; that they reach a person's eye in the app, with the
server stopped, is checked in tests/phone/screens/walk/test_computations.py with the same records.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from bradawl.judge.measurements import registry
from tests.checklists.judging import assessed
from tests.checklists.reached import MEASURED, Measured
from tests.checkout import checklist_bundle
from tests.judge.saying import said

ROOT = Path(__file__).parents[2]
WANTED = {f"C{n}" for n in range(1, 16)}


@cache
def bundled() -> dict[str, Any]:
    return checklist_bundle()


def judged(values: dict[str, Any]) -> dict[str, Any]:
    return assessed(bundled(), values)


def values_of(case: Measured) -> dict[str, Any]:
    values: dict[str, Any] = {f"car/{name}": value for name, value in case.car.items()}
    for name, (typed, unit) in case.readings.items():
        path = name if "/" in name else f"{name}/one"
        values[f"items/{case.item}/readings/{path}"] = {"typed": typed, "unit": unit}
    if case.choice:
        values[f"items/{case.item}/choice"] = case.choice
    return values


@pytest.mark.parametrize("case", MEASURED, ids=[case.id for case in MEASURED])
def test_a_measurement_is_reached_by_assess_and_said_in_a_sentence(case: Measured) -> None:
    one = judged(values_of(case))["items"][case.item]
    assert [row for row in one["problems"] if row["code"] != "no_figure"] == []
    shown = [said(row["said"], bundled()["rules"], "us") for row in one["reasons"]]
    shown += [said(row["said"], bundled()["rules"], "us") for row in one["facts"].values()]
    for text in case.says:
        assert [sentence for sentence in shown if text in sentence], (text, shown)


def test_every_measurement_of_the_list_has_a_record() -> None:
    assert {case.id.split()[0] for case in MEASURED} == WANTED


def test_every_kind_of_computation_is_in_the_real_checklists() -> None:
    used = {
        rule["compute"]["kind"]
        for rule in bundled()["rules"]["items"].values()
        if rule.get("compute")
    }
    assert used == set(registry.KINDS)


FOUND = {
    "about/asking_price": 2400,
    "about/currency": "EUR",
    "about/region": "eu",
    "about/distance_home": {"typed": "180", "unit": "km"},
    "brief/uses": ["show", "track"],
    "brief/value_good": 20000,
    "items/rodents.battery-lead/choice": "nibbled",
    "items/fluids.oil-leak/choice": "wet",
    "items/brakes.pipes/choice": "pitted",
    "items/brakes.hoses/grade": {"grade": "uninspected"},
    "items/brakes.hoses/why": "no access",
    "items/upkeep.brake-fluid/choice": "claimed",
    "items/brakes.front-pads/readings/pad/front-left": {"typed": "2,5", "unit": "mm"},
}


def j1(said: dict[str, Any]) -> bool:
    one = said["items"]["brakes.front-pads"]
    return one["grade"] == "minor" and one["reasons"][0]["source"] == "practice"


def j2(said: dict[str, Any]) -> bool:
    raised = said["combinations"][0]
    return raised["grade"] == "dangerous" and "rodents.battery-lead" in raised["items"]


def j3(said: dict[str, Any]) -> bool:
    home = said["drive_home"]
    return home["answer"] == "trailer" and bool(home["reasons"])


def j4(said: dict[str, Any]) -> bool:
    missed = {row["item"]: row["said"] for row in said["coverage"]["not_reached"]}
    return missed["brakes.hoses"] == {
        "id": "judge-reason-unseen-why",
        "args": {"why": "no access"},
    }


def j5(said: dict[str, Any]) -> bool:
    plan = said["next"]
    return bool(plan["items"]) and bool(plan["left_out"])


def j6(said: dict[str, Any]) -> bool:
    return bool(said["brief"]["weights"]) and said["brief"]["conflicts"][0]["uses"] == [
        "show",
        "track",
    ]


def p1(said: dict[str, Any]) -> bool:
    totals = said["money"]["totals"]
    return bool(totals["p50"] <= totals["p80"] <= totals["p90"]) and bool(said["money"]["lines"])


def p2(said: dict[str, Any]) -> bool:
    held = said["money"]["reserve"]
    return held["amount"] > 0 and held["items"][0]["source"] == "assumption"


def p3(said: dict[str, Any]) -> bool:
    """With little seen there is no price, and with the rest found fine there is one."""
    rest = {f"items/{item}/grade": {"grade": "none"} for item in bundled()["rules"]["items"]}
    money = judged({**rest, **FOUND, "brief/value_good": 30000})["money"]
    price, reserve = money["price"], money["reserve"]["amount"]
    worked = price["worth"] - money["totals"]["expected"] - reserve - price["margin"]
    quoted = worked > 0 and price["walk_away"] == worked and bool(price["arguments"])
    return quoted and said["money"]["price"]["walk_away"] is None


def p5(said: dict[str, Any]) -> bool:
    row = next(row for row in said["baseline"] if row["id"] == "brake-fluid")
    return row["due"] and row["evidence"] == "claimed"


@pytest.mark.parametrize("reached", [j1, j2, j3, j4, j5, j6, p1, p2, p3, p5])
def test_a_judgement_is_reached_by_assess(reached: Any) -> None:
    assert reached(judged(FOUND))
