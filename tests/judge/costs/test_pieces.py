"""A job that is done piece by piece costs by the piece, until replacing the whole is cheaper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bradawl.judge import assess
from tests.checkout import checklist_bundle

ROOT = Path(__file__).parents[3]
STAMP = "001764052703000-00000-" + "a" * 32


@pytest.fixture(scope="module")
def rules() -> Any:
    return checklist_bundle()["rules"]


def chewed(rules: Any, wires: str | None, **more: Any) -> dict[str, Any]:
    """The line of work for a chewed engine harness with so many damaged wires."""
    values: dict[str, Any] = {"about/region": "us", "brief/hourly_rate": 100, **more}
    values["items/rodents.engine-wiring/choice"] = "cut"
    if wires is not None:
        path = "items/rodents.engine-wiring/readings/wires/one"
        values[path] = {"typed": wires, "unit": "1"}
    cells = {path: {"value": value, "at": STAMP, "others": []} for path, value in values.items()}
    result: Any = assess({"visit": "0" * 32, "cells": cells}, rules, "2026-11-25")
    lines = [x for x in result["money"]["lines"] if "rodents.engine-wiring" in x["covers"]]
    assert len(lines) == 1
    return dict(lines[0])


def by_hand(rules: Any, wires: int) -> list[int]:
    """The first wire and so many further ones, from the price file, at 100 dollars an hour."""
    remedies = rules["items"]["rodents.engine-wiring"]["remedies"]
    price = next(r for r in remedies if r["id"] == "splice")["prices"]["us"]
    each = price["each"]
    costs = []
    for n in range(3):
        cents = round(float(price["hours"][n]) * 100) + (wires - 1) * round(
            float(each["hours"][n]) * 100
        )
        costs.append(price["parts"][n] + (wires - 1) * each["parts"][n] + cents)
    return costs


@pytest.mark.parametrize("wires", [1, 2, 10, 30])
def test_each_wire_costs(rules: Any, wires: int) -> None:
    line = chewed(rules, str(wires))
    assert line["id"] == "rodents.engine-wiring/splice"
    assert line["cost"] == by_hand(rules, wires)


def test_sixty_wires_cost_more_than_ten_and_the_harness_tips_it(rules: Any) -> None:
    ten, sixty = chewed(rules, "10"), chewed(rules, "60")
    assert sixty["expected"] > ten["expected"] > chewed(rules, "2")["expected"]
    assert sixty["id"].endswith("/loom")
    assert chewed(rules, "200")["cost"] == sixty["cost"]


def test_uncounted_wires_cost_as_one(rules: Any) -> None:
    assert chewed(rules, None)["cost"] == by_hand(rules, 1)


def test_what_the_desk_wrote_is_the_whole_job(rules: Any) -> None:
    edit = {"plan/remedies/rodents.engine-wiring/splice": {"parts": [5, 5, 5], "hours": ["1"] * 3}}
    assert chewed(rules, "60", **edit)["cost"] == [105, 105, 105]
