"""Models that a shop remembers: whose a car is, and what their weak points do to price and plan.

How often a weak point is bad is this project's assumption; the laws are those of the price.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import json_api
from bradawl.judge.assessment import assess
from bradawl.judge.record import shop_models
from bradawl.judge.record.visit_facts import visit_facts
from tests.checkout import checklist_bundle
from tests.judge.conftest import Ask
from tests.judge.saying import said

RULES: Any = checklist_bundle()["rules"]
#: Checks that have a chance of being bad unseen.
PRICED = sorted(name for name, rule in RULES["items"].items() if rule.get("unseen"))
CAR = {"car/year": 1994, "car/make": "Brasthorn", "car/model": "Killdeer", "car/fuel": "petrol"}
MODEL = {"make": "brast-horn", "model": "KILL DEER", "from": 1992, "to": 1996}


def ask(question: dict[str, Any]) -> Any:
    return json.loads(json_api.ask(json.dumps(question)))


def cells(values: dict[str, Any]) -> Any:
    return {path: {"value": value, "at": "1", "others": []} for path, value in values.items()}


def judged(values: dict[str, Any]) -> Any:
    return assess({"visit": "v", "cells": cells(values)}, RULES, "2026-11-30")


@pytest.mark.parametrize(
    ("change", "fits"),
    [
        ({}, True),
        ({"model": "Killdeer 3.3"}, False),
        ({"make": "Adze"}, False),
        ({"from": 1995}, False),
        ({"to": 1993}, False),
        ({"from": 1994, "to": 1994}, True),
        ({"from": None, "to": None}, True),
        ({"make": 7}, False),
        ({"make": ""}, False),
    ],
)
def test_a_car_is_of_a_model_whatever_case_and_blanks(change: dict[str, Any], fits: bool) -> None:
    car = visit_facts(cells(CAR), "2026-11-30")["car"]
    assert shop_models.is_model({**MODEL, **change}, car) == fits
    assert not shop_models.is_model({**MODEL, **change}, {**car, "year": None})


def test_both_engines_find_the_model_in_the_shops_entries(both: Ask) -> None:
    def event(seq: int, put: str, value: Any) -> dict[str, Any]:
        return {
            "device": "d" * 32,
            "seq": seq,
            "at": f"00176405270300{seq}-00000-{'d' * 32}",
            "put": put,
            "value": value,
            "commit": "",
            "over": [],
        }

    events = [
        event(1, "letterhead", {"name": "Shop"}),
        event(2, "models/b", MODEL),
        event(3, "models/a", {**MODEL, "model": "Adze"}),
        event(4, "models/c", "damaged"),
    ]
    asked = {"ask": "models", "events": events, "car": cells(CAR), "today": "2026-11-30"}
    assert both(asked) == {"models": [{"id": "b", "value": MODEL}]}


def look(*rows: dict[str, Any]) -> dict[str, Any]:
    return {**CAR, "car/look_first": list(rows)}


def test_a_weak_point_is_asked_says_why_and_comes_earlier() -> None:
    row = {"item": "cooling.sensor", "chance": "often", "note": "Cracks at the plug."}
    plain, weak = judged(CAR), judged(look(row))
    assert not plain["items"]["cooling.sensor"]["asked"]  # a thorough check
    one = weak["items"]["cooling.sensor"]
    assert (one["asked"], one["state"], one["grade"]) == (True, "open", None)
    assert [said(reason["said"], RULES) for reason in one["reasons"]] == [
        "Look here first: Cracks at the plug."
    ]
    assert weak["money"]["reserve"]["amount"] > plain["money"]["reserve"]["amount"]


def test_a_weak_point_rises_in_what_next() -> None:
    ask({"ask": "load", "bundle": "real", "rules": RULES, "start": True})

    def place(values: dict[str, Any]) -> int:
        question = {
            "ask": "next",
            "bundle": "real",
            "states": dict.fromkeys(RULES["items"], "open"),
            "car": cells(values),
            "today": "2026-11-30",
            "minutes": "600",
            "drive": "drive",
        }
        return [row["item"] for row in ask(question)["next"]["items"]].index("cooling.sensor")

    assert place(look({"item": "cooling.sensor", "percent": 95})) < place(CAR)


@pytest.mark.parametrize(
    ("row", "chance"),
    [
        ({"chance": "often"}, "0.5"),
        ({"chance": "sometimes"}, "0.25"),
        ({"percent": 7}, "0.08"),  # the checklist's own: never lowered
        ({"percent": 100}, "0.95"),
        ({"percent": 0}, "0.08"),
        ({"chance": "always"}, "0.08"),
        ({}, "0.08"),
    ],
)
def test_a_chance_is_raised_and_capped_and_never_lowered(row: dict[str, Any], chance: str) -> None:
    facts = visit_facts(cells(look({"item": "cooling.sensor", **row})), "2026-11-30")
    raised = shop_models.raised(RULES, facts)
    assert raised["items"]["cooling.sensor"]["unseen"]["chance"] == chance
    assert RULES["items"]["cooling.sensor"]["unseen"]["chance"] == "0.08"


@pytest.mark.parametrize("damaged", [None, 5, "x", [5], [{"item": 3}], {"item": "a.b"}])
def test_what_is_damaged_raises_nothing(damaged: Any) -> None:
    assert judged({**CAR, "car/look_first": damaged})["money"] == judged(CAR)["money"]


WORTH = {**CAR, "brief/value_good": 60_000, "about/currency": "USD"}


def walk_away(values: dict[str, Any]) -> int:
    price = judged(values)["money"]["price"]["walk_away"]
    return -1 if price is None else price


ROW = st.fixed_dictionaries({"item": st.sampled_from(PRICED), "percent": st.integers(1, 95)})


@settings(max_examples=25, deadline=None)
@given(st.lists(ROW, max_size=6), st.sampled_from(PRICED))
def test_the_laws_of_the_price_hold_with_weak_points(rows: list[Any], item: str) -> None:
    """Knowing of them makes no car dearer; fine never lowers the price, a fault never raises it."""
    all_fine = {f"items/{name}/grade": {"grade": "none"} for name in RULES["items"]}
    some = {path: value for n, (path, value) in enumerate(sorted(all_fine.items())) if n % 5}
    some.pop(f"items/{item}/grade", None)
    weak = {**WORTH, **some, "car/look_first": rows}
    assert walk_away(weak) <= walk_away({**WORTH, **some})
    fine = {**weak, f"items/{item}/grade": {"grade": "none"}}
    faulty = {**weak, f"items/{item}/grade": {"grade": "minor"}}
    assert walk_away(faulty) <= walk_away(weak) <= walk_away(fine)
