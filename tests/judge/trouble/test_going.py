"""What to load, and the haul plan: both engines alike, figures against a units library and the law.

Oracles: pint for pounds and kilograms; 49 CFR 393.106(d) (all tiedowns together hold half the
weight, half of each direct one's limit counts) and 393.128(b) (two at the front, two at the rear),
worked out anew in exact fractions. 10 to 15 per cent on the tongue is common practice, no source.
"""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pint
import pytest

from bradawl.judge.trouble.hauling import CHOICES, haul_plan
from bradawl.judge.trouble.loading import load_list
from tests.amount import amount
from tests.judge.engines.test_trouble_engines import both
from tests.judge.records import cell
from tests.judge.saying import said
from tests.judge.test_real_checklists import real

assert both  # the fixture
KG = Fraction("0.45359237")
assert pint.UnitRegistry(non_int_type=Fraction).Quantity(1, "pound").to("kilogram").m == KG
RULES = real()["rules"]
WEIGHTS = {
    "car": "3400", "gear": "200", "trailer": "2000", "trailer_rating": "7000", "tow_rating": "7500",
    "hitch_rating": "8000", "tongue": "700", "tongue_rating": "900", "strap_limit": "3333",
}  # fmt: skip
GOOD = {"way": "trailer", "rolls": "yes", "steers": "yes", "stops": "yes", "brakes": "yes",
        "insured": "yes", "straps": "4"}  # fmt: skip


def cells_of(values: dict[str, Any]) -> dict[str, Any]:
    return {path: cell(value) for path, value in values.items()}


def planned(unit: str = "lb", **changed: Any) -> dict[str, Any]:
    values: dict[str, Any] = {
        f"haul/{name}": {"typed": typed, "unit": unit} for name, typed in WEIGHTS.items()
    }
    values |= {f"haul/{name}": answer for name, answer in GOOD.items()}
    for name, to in changed.items():
        weighed = isinstance(to, str) and name in WEIGHTS
        values[f"haul/{name}"] = {"typed": to, "unit": unit} if weighed else to
    return cells_of(values)


def plan(cells: dict[str, Any]) -> Any:
    return haul_plan(cells, real()["haul"])


def states(got: Any) -> dict[str, str]:
    return {row["id"]: row["state"] for row in got["checks"]}


def test_a_plan_that_fits_says_what_is_to_spare_in_the_unit_that_was_typed() -> None:
    got = plan(planned())
    assert got["answer"] == "fine", states(got)
    words = {row["id"]: said(row["said"], RULES, "us") for row in got["checks"]}
    assert words["trailer"] == "Loaded trailer 5,600 lb of 7,000 lb: 1,400 lb to spare."
    assert words["tongue"].startswith(
        "Tongue weight 700 lb, within 10 to 15 percent (560 lb to 840"
    )


@pytest.mark.parametrize(
    ("name", "to", "check"),
    [
        ("trailer_rating", "5599", "trailer"),
        ("tow_rating", "5599", "truck"),
        ("hitch_rating", "5599", "hitch"),
        ("tongue", "559", "tongue"),
        ("tongue", "841", "tongue"),
        ("tongue_rating", "699", "tongue-limit"),
        ("straps", "3", "straps"),
        # 4 straps, half of each counts, half of 3,400 lb is wanted: 850 lb each is enough
        ("strap_limit", "849", "hold"),
        ("brakes", "no", "brakes"),
        ("insured", "no", "insured"),
    ],
)
def test_what_is_over_is_never_a_plan_that_fits(name: str, to: str, check: str) -> None:
    got = plan(planned(**{name: to}))
    assert got["answer"] == "over"
    over = [row for row, state in states(got).items() if state == "over"]
    assert over == [check]


@pytest.mark.parametrize(
    ("name", "to"),
    [("trailer_rating", "5600"), ("tongue", "560"), ("tongue", "840"), ("strap_limit", "850")],
)
def test_what_just_meets_its_limit_fits(name: str, to: str) -> None:
    assert plan(planned(**{name: to}))["answer"] == "fine"


@pytest.mark.parametrize("name", [*WEIGHTS, *GOOD])
@pytest.mark.parametrize("to", [None, 7, [], {}, {"typed": "heavy", "unit": "lb"}, "unknown", -1])
def test_it_never_fits_by_ignorance(name: str, to: Any) -> None:
    got = plan(planned(**{name: to}))
    assert got["answer"] == "missing", (name, to)
    assert said(got["checks"][0]["said"], RULES)


def test_kilograms_and_pounds_come_to_the_same() -> None:
    metric = {name: str(float(Fraction(typed) * KG)) for name, typed in WEIGHTS.items()}
    assert states(plan(planned("kg", **metric))) == states(plan(planned()))
    mixed = planned()
    mixed["haul/car"] = cell({"typed": "1543", "unit": "kg"})  # 3,401.7 lb
    assert plan(mixed)["answer"] == "fine"


def test_of_what_two_wrote_unseen_the_worse_counts() -> None:
    cells = planned()
    cells["haul/car"]["others"] = [{"value": {"typed": "9000", "unit": "lb"}, "at": "0"}]
    assert plan(cells)["answer"] == "over"
    cells = planned()
    cells["haul/tow_rating"]["others"] = [{"value": {"typed": "500", "unit": "lb"}, "at": "0"}]
    assert plan(cells)["answer"] == "over"


def test_a_car_that_is_driven_moves_has_plates_and_is_insured() -> None:
    driven = {"way": "drive", "rolls": "yes", "steers": "yes", "stops": "yes", "insured": "yes"}
    values = {f"haul/{name}": to for name, to in driven.items()}
    assert plan(cells_of(values))["answer"] == "missing"
    assert plan(cells_of({**values, "haul/plates": "permit"}))["answer"] == "fine"
    assert plan(cells_of({**values, "haul/plates": "none"}))["answer"] == "over"
    no = {**values, "haul/plates": "permit", "haul/stops": "no"}
    assert plan(cells_of(no))["answer"] == "over"
    assert plan({})["answer"] == "missing"


def test_the_law_worked_out_anew_for_random_plans(both: Any) -> None:
    """Against fractions of our own, under both engines."""
    for seed in range(amount(200, short=40)):
        dice = random.Random(seed)
        unit = dice.choice(["lb", "kg"])
        weights = {name: str(dice.randint(300, 9000)) for name in WEIGHTS}
        chosen = {name: dice.choice(CHOICES[name]) for name in ("rolls", "steers", "stops")}
        count = dice.randint(1, 8)
        cells = planned(unit, **weights, **chosen, straps=str(count))
        got = both({"ask": "haul", "cells": cells, "figures": real()["haul"]})["plan"]
        load = sum(int(weights[name]) for name in ("car", "gear", "trailer"))
        tongue = int(weights["tongue"])
        over = {
            "trailer": load > int(weights["trailer_rating"]),
            "truck": load > int(weights["tow_rating"]),
            "hitch": load > int(weights["hitch_rating"]),
            "tongue": not load * Fraction(1, 10) <= tongue <= load * Fraction(15, 100),
            "tongue-limit": tongue > int(weights["tongue_rating"]),
            "straps": count < 4,
            "hold": count * Fraction(int(weights["strap_limit"]), 2)
            < Fraction(int(weights["car"]), 2),
        }
        told = states(got)
        assert {name: told[name] == "over" for name in over} == over


def test_the_list_is_made_of_open_checks_and_of_what_was_said(both: Any) -> None:
    rows = real()["load"]
    tooled = {item: rule["tools"] for item, rule in RULES["items"].items() if rule.get("tools")}
    open_, done = sorted(tooled)[:40], sorted(tooled)[40:50]
    asked = {**dict.fromkeys(open_, "open"), **dict.fromkeys(done, "done")}

    def listed(values: dict[str, Any]) -> Any:
        question = {"ask": "load_list", "bundle": "trouble", "cells": cells_of(values),
                    "states": asked, "rows": rows}  # fmt: skip
        lines = both(question)["lines"]
        return {line["id"]: line for line in lines}

    plain = listed({})
    wanted = {tool for item in open_ for tool in tooled[item]}
    assert {name for name, line in plain.items() if line["tool"]} == wanted
    for name in wanted:
        assert set(plain[name]["items"]) == {item for item in open_ if name in tooled[item]}
    assert "jump-pack" in plain
    assert not {"straps", "wheels", "fuel-can", "winch"} & set(plain)
    told = listed({"calls/c/sat": {"answers": ["years"], "words": ""}, "haul/way": "trailer"})
    assert {"straps", "wheels", "fuel-can", "winch", "tow-lights"} <= set(told)
    why = [said(row, RULES) for row in told["wheels"]["because"]]
    assert why == ["By what was said on the phone."]
    # an answer that is a claim counts too, until it was found false
    parked = {"claims/c-runs-parked/kind": "ran-when-parked"}
    assert "fuel-can" in listed(parked)
    assert "skates" not in listed(parked)
    assert "skates" in listed({"haul/steers": "no"})
    left = listed({"load/jump-pack": "left", f"load/{min(wanted)}": "packed", "load/x": "left"})
    assert left["jump-pack"]["state"] == "left"
    assert left[min(wanted)]["state"] == "packed"
    assert left["extinguisher"]["state"] == ""


@pytest.mark.parametrize("damaged", [7, True, [], {}, "words", {"answers": "x"}, None])
def test_whatever_stands_there_there_is_a_list(damaged: Any) -> None:
    paths = ("load/magnet", "calls/c/sat", "haul/way", "claims/c-runs-parked/kind", "load", "haul/")
    lines = load_list(cells_of(dict.fromkeys(paths, damaged)), {"no.such": "open"}, RULES,
                      real()["load"])  # fmt: skip
    assert [line for line in lines if line["id"] == "jump-pack"]
