"""A job that is done piece by piece costs by the piece, until replacing the whole is cheaper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import assess
from tests.amount import amount
from tests.checkout import checklist_bundle

ROOT = Path(__file__).parents[3]
WIRES = (
    ("lights", "airbag", "sensor", "cable", "fuel-pump"),
    ("insulated", "nibbled", "bare", "cut"),
    ("none", "fuse"),
    (1, 2, 10, 40),
)
STAMP = "001764052703000-00000-" + "a" * 32


@pytest.fixture(scope="module")
def rules() -> Any:
    return checklist_bundle()["rules"]


def assessed(rules: Any, values: dict[str, Any]) -> Any:
    cells = {path: {"value": value, "at": STAMP, "others": []} for path, value in values.items()}
    return assess({"visit": "0" * 32, "cells": cells}, rules, "2026-11-25")


def price_of(rules: Any) -> Any:
    remedies = rules["items"]["rodents.engine-wiring"]["remedies"]
    return next(r for r in remedies if r["id"] == "splice")["prices"]["us"]


def chewed(rules: Any, wires: str | None, **more: Any) -> dict[str, Any]:
    """The line of work for a chewed engine harness with so many damaged wires."""
    values: dict[str, Any] = {"about/region": "us", "brief/hourly_rate": 100, **more}
    values["items/rodents.engine-wiring/choice"] = "cut"
    if wires is not None:
        path = "items/rodents.engine-wiring/readings/wires/one"
        values[path] = {"typed": wires, "unit": "1"}
    result = assessed(rules, values)
    lines = [x for x in result["money"]["lines"] if "rodents.engine-wiring" in x["covers"]]
    assert len(lines) == 1
    return dict(lines[0])


def by_hand(rules: Any, wires: int) -> list[int]:
    """The first wire and so many further ones, from the price file, at 100 dollars an hour."""
    price = price_of(rules)
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


def test_kinds_of_wires_cost_on_top(rules: Any) -> None:
    wire = "items/rodents.engine-wiring/wires"
    plain = {f"{wire}/{name}/state": "nibbled" for name in "ab"}
    for kind, circuit in (("feed", "fan"), ("safety", "airbag")):
        line = chewed(rules, None, **plain, **{f"{wire}/a/circuit": circuit})
        extra = price_of(rules)["kinds"]
        expected = [
            by_hand(rules, 2)[n]
            + extra[kind]["parts"][n]
            + round(float(extra[kind]["hours"][n]) * 100)
            for n in range(3)
        ]
        assert line["cost"] == expected


def test_wires_recorded_one_by_one_and_in_bunches_count(rules: Any) -> None:
    """2, 10 and 60 wires differ, and what was counted on the whole counts where it is more."""
    wire = "items/rodents.engine-wiring/wires/a"

    def bunch(count: str) -> dict[str, Any]:
        typed = {"typed": count, "unit": "1"}
        return {f"{wire}/kind": "bunch", f"{wire}/count": typed, f"{wire}/state": "cut"}

    assert chewed(rules, None, **bunch("2"))["cost"] == by_hand(rules, 2)
    assert chewed(rules, None, **bunch("10"))["cost"] == by_hand(rules, 10)
    assert chewed(rules, "12", **bunch("10"))["cost"] == by_hand(rules, 12)
    assert chewed(rules, None, **bunch("60"))["id"].endswith("/loom")


@pytest.mark.parametrize("region", ["us", "eu"])
def test_the_harness_tips_it_where_the_line_says(rules: Any, region: str) -> None:
    few = chewed(rules, "3", **{"about/region": region})
    tips_at = few["tips_at"]
    assert few["pieces"] == 3
    assert 20 <= tips_at <= 60
    before = chewed(rules, str(tips_at - 1), **{"about/region": region})
    after = chewed(rules, str(tips_at), **{"about/region": region})
    assert before["id"].endswith("/splice")
    assert after["id"].endswith("/loom")
    assert "tips_at" not in after


@settings(deadline=None, max_examples=amount(200, short=30))
@given(st.lists(st.tuples(*map(st.sampled_from, WIRES)), max_size=6), st.data())
def test_more_wires_never_cost_less(
    rules: Any, wires: list[tuple[str, str, str, int]], data: st.DataObject
) -> None:
    """Nor does the car become dearer by them."""

    def record(some: list[tuple[str, str, str, int]]) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for n, (circuit, state, fuse, count) in enumerate(some):
            path = f"items/rodents.engine-wiring/wires/{n}"
            values[f"{path}/circuit"], values[f"{path}/state"] = circuit, state
            values[f"{path}/fuse"] = fuse
            values[f"{path}/count"] = {"typed": str(count), "unit": "1"}
        return values

    more = [*wires, data.draw(st.tuples(*map(st.sampled_from, WIRES)))]
    few, many = (assessed(rules, record(some))["money"] for some in (wires, more))
    assert few["totals"]["expected"] <= many["totals"]["expected"]
    charged = [m["totals"]["expected"] + m["reserve"]["amount"] for m in (few, many)]
    assert charged[0] <= charged[1]


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
