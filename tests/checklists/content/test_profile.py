"""The car's own figures: what needs one says no OK without it, and what is known fills the checks.

Bands and rules beside the figures are common practice, no source, unless one is named.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.assessment import assess
from bradawl.judge.record.profile import PRACTICE
from tests.checklists.judging import assessed, judge
from tests.checkout import checklist_bundle
from tests.judge.saying import said

#: Checks that tell nothing without the maker's figure: their reading, and what it wants.
NEEDS_A_FIGURE = {
    "brakes.front-discs": {"thickness": ["minimum"]},
    "brakes.front-drums": {"diameter": ["maximum"]},
    "brakes.rear-discs": {"thickness": ["minimum"]},
    "brakes.rear-drums": {"diameter": ["maximum"]},
    "cooling.fan": {"opens": ["spec"]},
    "cooling.sensor": {"resistance": ["spec_degrees", "spec_ohm"]},
    "engine.compression": {"dry": ["spec_low"]},
    "engine.oil-pressure": {"pressure": ["spec", "spec_rpm"]},
    "fuel.regulator": {"open": ["spec"]},
    "ignition.timing": {"timing": ["spec"]},
    "steering.camber": {"camber": ["spec_low", "spec_high"]},
    "steering.caster": {"caster": ["spec_low", "spec_high"]},
    "steering.toe": {"toe": ["spec"]},
    "tyres.pressure": {"pressure": ["sticker"]},
}
#: Limits of common practice on something that a maker may say otherwise, and why an item may be
#: called fine by them: a new one is decided here, or gets a figure of its own.
NEEDS_NONE = {
    "accident.diagonals": "one car's two diagonals against one another",
    "accident.gaps": "left against right of one car",
    "accident.paint-film": "the car's own panels are the measure; their material is in the profile",
    "accident.stance": "left against right of one car",
    "body.panels": "seen, not measured",
    "brakes.fluid-water": "the fluid's chemistry",
    "brakes.front-pads": "the band lies above what makers allow; a thicker figure counts too",
    "brakes.parking": "the reading finds a fault only; the hold on a slope settles it",
    "brakes.pedal-reserve": "a share of its own travel",
    "bushings.steering-rack": "any slide is play",
    "cooling.pressure-test": "a loss, whatever it was pumped to",
    "electrical.charging": "the battery's chemistry, by its volts; a regulator's figures go first",
    "electrical.cranking": "the battery's chemistry, by its volts; finds a fault only",
    "electrical.drain": "what empties a battery in weeks, on any car",
    "electrical.ground-drop": "a loss in the cable",
    "engine.idle": "the reading finds a fault only; a figure of the car counts first",
    "engine.leak-down": "a share lost, on any engine",
    "engine.vacuum": "of any sound engine with its own camshaft",
    "fluids.coolant-mix": "the coolant's chemistry",
    "fuel.pressure-hold": "a loss, whatever it began at",
    "glass.windscreen": "seen, not measured",
    "ignition.lead-resistance": "the reading finds a fault only",
    "ignition.plugs": "the reading finds a fault only; a figure of the car counts first",
    "ignition.points": "the reading finds a fault only; a figure of the car counts first",
    "interior.aircon": "the reading finds a fault only",
    "lamps.aim": "law and practice of the road, not of a maker",
    "papers.odometer": "one reading against another",
    "rodents.engine-wiring": "counted",
    "steering.free-play": "law, and practice above it",
    "steering.linkage-play": "law, and practice below it",
    "suspension.ball-joints": "the reading finds a fault only",
    "suspension.wheel-bearings": "the reading finds a fault only",
    "rust.arches": "an area, on any car",
    "rust.floor": "an area, on any car",
    "rust.sills": "an area, on any car",
    "electrical.rest-voltage": "the battery's chemistry, by its volts",
    "fuel.carburettor": "the reading finds a fault only; a figure of the car counts first",
    "tyres.age": "of any tire",
    "tyres.runout": "law, and practice below it",
    "tyres.spare": "of any tire",
    "tyres.tread": "law, and practice above it",
}
CAR = {"cylinders": 4, "year": 1990, "fuel": "petrol"}


@pytest.fixture(scope="module")
def bundled() -> dict[str, Any]:
    return dict(checklist_bundle())


def wants(rule: dict[str, Any]) -> dict[str, list[str]]:
    return {row["id"]: row["wants"] for row in rule.get("readings", []) if row.get("wants")}


def figure(typed: str, unit: str, where: str = "manual") -> dict[str, str]:
    return {"typed": typed, "unit": unit, "from": where}


def codes(judged: dict[str, Any]) -> list[str]:
    return [problem["code"] for problem in judged["problems"]]


def texts(judged: dict[str, Any], bundled: dict[str, Any]) -> list[str]:
    return [said(row["said"], bundled["rules"]) for row in judged["reasons"]]


def test_every_limit_of_practice_is_decided(bundled: dict[str, Any]) -> None:
    """Whether it may call a car fine that its maker's figure would not, and why."""
    rules = bundled["rules"]["items"]
    assert {name: wants(rule) for name, rule in rules.items() if wants(rule)} == NEEDS_A_FIGURE
    bands = {
        name
        for name, rule in rules.items()
        for limit in rule.get("limits", [])
        if limit["source"] in ("practice", "fuel-bands", "assumption") and "is" not in limit
    }
    # how long oil, belts and fluids last is our assumption: a receipt within it settles nothing
    intervals = {name for name in bands if name.startswith("upkeep.")}
    assert not [name for name in intervals if rules[name].get("settled_by")]
    undecided = bands - intervals - set(NEEDS_A_FIGURE) - set(NEEDS_NONE)
    assert undecided == set(), "decide each in NEEDS_NONE, or give its reading `wants`"


def test_a_reading_alone_settles_what_is_said_to_find_a_fault_only_never(
    bundled: dict[str, Any],
) -> None:
    for name, why in NEEDS_NONE.items():
        if "finds a fault only" in why:
            settled = bundled["rules"]["items"][name].get("settled_by", [])
            assert not settled, name


#: A sound measurement of each, the figure of the car that it wants, and one that it fails.
KNOWN: dict[str, tuple[dict[str, Any], dict[str, Any], dict[str, Any], str]] = {
    "fuel.regulator": (
        {"open": ("18", "psi"), "idle": ("10", "psi")},
        {"fuel_set": figure("18", "psi")},
        {"fuel_set": figure("43", "psi")},
        "major",
    ),
    "tyres.pressure": (
        {f"pressure/{w}": ("26", "psi") for w in ("front-left", "front-right")}
        | {f"pressure/{w}": ("32", "psi") for w in ("rear-left", "rear-right")},
        {"sticker_front": figure("26", "psi", "sticker"), "sticker_rear": figure("32", "psi")},
        {"sticker_front": figure("36", "psi", "sticker"), "sticker_rear": figure("32", "psi")},
        "major",
    ),
    "engine.compression": (
        {f"dry/{n}": ("95", "psi") for n in "1234"},
        {"compression_least": figure("90", "psi")},
        {"compression_least": figure("120", "psi")},
        "major",
    ),
    "engine.oil-pressure": (
        {"pressure": ("15", "psi"), "rpm": ("2000", "1")},
        {"oil_pressure": figure("15", "psi"), "oil_speed": figure("2000", "1")},
        {"oil_pressure": figure("40", "psi"), "oil_speed": figure("2000", "1")},
        "major",
    ),
    "ignition.timing": (
        {"timing": ("6", "deg")},
        {"timing": figure("5", "deg", "part")},
        {"timing": figure("10", "deg", "part")},
        "minor",
    ),
    "steering.toe": (
        {"toe": ("-3", "mm")},
        {"toe": figure("-3", "mm")},
        {"toe": figure("2", "mm")},
        "major",
    ),
    "steering.camber": (
        {"camber/front-left": ("-1", "deg"), "camber/front-right": ("-0.5", "deg")},
        {"camber_low_front": figure("-1", "deg"), "camber_high_front": figure("0", "deg")},
        {"camber_low_front": figure("0.5", "deg"), "camber_high_front": figure("1", "deg")},
        "major",
    ),
    "steering.caster": (
        {"caster/front-left": ("3", "deg"), "caster/front-right": ("3.5", "deg")},
        {"caster_low": figure("3", "deg"), "caster_high": figure("5", "deg")},
        {"caster_low": figure("4", "deg"), "caster_high": figure("5", "deg")},
        "minor",
    ),
    "cooling.sensor": (
        {"resistance": ("3537", "ohm"), "temperature": ("20", "degC")},
        {
            "sensor_degrees_cold": figure("-40", "degC"),
            "sensor_ohm_cold": figure("100", "kohm"),
            "sensor_degrees_warm": figure("40", "degC"),
            "sensor_ohm_warm": figure("1459", "ohm"),
            "sensor_degrees_hot": figure("130", "degC"),
            "sensor_ohm_hot": figure("70", "ohm"),
        },
        {
            "sensor_degrees_cold": figure("-20", "degC"),
            "sensor_ohm_cold": figure("18", "kohm"),
            "sensor_degrees_warm": figure("23.9", "degC"),
            "sensor_ohm_warm": figure("2.1", "kohm"),
            "sensor_degrees_hot": figure("120", "degC"),
            "sensor_ohm_hot": figure("100", "ohm"),
        },
        "minor",
    ),
}


@pytest.mark.parametrize("item", sorted(KNOWN))
def test_a_check_is_rated_by_the_cars_own_figure_and_never_ok_without(
    item: str, bundled: dict[str, Any]
) -> None:
    taken, right, wrong, grade = KNOWN[item]
    without = judge(bundled, item, taken, **CAR)
    assert without["grade"] != "none"
    if without["grade"] is None:
        assert (without["state"], codes(without)) == ("open", ["no_figure"])
        [problem] = without["problems"]
        assert problem["path"].startswith("car/")
        assert said(problem["said"], bundled["rules"]).startswith("No figure for this car: ")
    assert judge(bundled, item, taken, **CAR, **right)["grade"] == "none"
    assert judge(bundled, item, taken, **CAR, **wrong)["grade"] == grade


def test_what_practice_says_is_told_beside_it(bundled: dict[str, Any]) -> None:
    taken = {"open": ("43", "psi"), "idle": ("35", "psi")}
    [problem] = judge(bundled, "fuel.regulator", taken, **CAR, injection="port")["problems"]
    assert said(problem["said"], bundled["rules"], "us") == (
        "No figure for this car: Maker's set pressure. Without it this isn't rated OK. By practice "
        "alone: Regulator's vacuum line: works. From memory, no source read: port injection runs "
        "at 35 psi or more, one injector at far less, continuous injection at about twice that. "
        "The maker's is in the manual, often on a tag by the rail or the regulator."
    )


@pytest.mark.parametrize("item", sorted(NEEDS_A_FIGURE))
def test_a_figure_that_nobody_knows_is_told_with_practice_and_where_it_stands(
    item: str, bundled: dict[str, Any]
) -> None:
    """Common practice, no source, but for the fuel pressures, which are from memory."""
    rule = bundled["rules"]["items"][item]
    [wanted] = NEEDS_A_FIGURE[item].values()
    facts = {row["figure"].split("_")[0] for row in rule["readings"] if row["id"] in wanted}
    assert facts
    assert facts <= set(PRACTICE)
    judged = judge(bundled, item, KNOWN[item][0], **CAR) if item in KNOWN else None
    if judged is not None and judged["grade"] is None:
        [problem] = judged["problems"]
        text = said(problem["said"], bundled["rules"])
        assert "no source" in text
        assert any(place in text for place in ("manual", "sticker", "stamped", "cast")), text


@pytest.mark.parametrize("name", sorted(PRACTICE))
def test_practice_is_named_as_what_it_is(name: str) -> None:
    figure = {"number": "1", "unit": PRACTICE[name][1]}
    text = said({"id": f"judge-practice-{name}", "args": {"figure": figure}}, {})
    assert text.startswith(("Common practice, no source: ", "From memory, no source read: "))


def test_an_ok_where_nobody_knows_the_figure_is_one_by_eye(bundled: dict[str, Any]) -> None:
    """Project rule: unknown is never fine, so no limit is claimed to be met."""
    taken = {"toe": ("1", "mm")}
    by_eye = judge(bundled, "steering.toe", taken, grade="none", **CAR)
    assert (by_eye["grade"], by_eye["by"], codes(by_eye)) == ("none", "eye", [])
    assert texts(by_eye, bundled)[0] == (
        "OK by eye. There's no figure for this car to hold it against: Maker's figure."
    )
    untouched = judge(bundled, "steering.toe", {}, grade="none", **CAR)
    assert untouched["by"] == "eye"
    known = judge(bundled, "steering.toe", taken, grade="none", **CAR, toe=figure("1", "mm"))
    assert (known["grade"], known["by"]) == ("none", "reading")
    worse = judge(bundled, "steering.toe", taken, grade="minor", **CAR)
    assert (worse["grade"], worse["by"]) == ("minor", "person")


def test_an_answer_that_says_ok_does_not_hide_a_figure_that_nobody_knows(
    bundled: dict[str, Any],
) -> None:
    taken = {"thickness/front-left": ("0.9", "in"), "thickness/front-right": ("0.9", "in")}
    assert judge(bundled, "brakes.front-discs", {}, "smooth")["grade"] == "none"
    unknown = judge(bundled, "brakes.front-discs", taken, "smooth")
    assert (unknown["grade"], codes(unknown)) == (None, ["no_figure"])
    stamped = {"rotor_front": figure("0.85", "in", "part")}
    assert judge(bundled, "brakes.front-discs", taken, "smooth", **stamped)["grade"] == "none"
    thin = {"rotor_front": figure("0.95", "in", "part")}
    assert judge(bundled, "brakes.front-discs", taken, "smooth", **thin)["grade"] == "major"


@pytest.mark.parametrize(
    ("where", "ending"),
    [
        ("manual", ", from the manual."),
        ("sticker", ", from the sticker."),
        ("part", ", stamped on the part."),
        ("practice", ", somebody's word or practice."),
        ("elsewhere", "."),
    ],
)
def test_the_reasons_name_where_a_figure_was_read(
    where: str, ending: str, bundled: dict[str, Any]
) -> None:
    car = {**CAR, "timing": figure("5", "deg", where)}
    judged = judge(bundled, "ignition.timing", {"timing": ("6", "deg")}, **car)
    assert texts(judged, bundled)[-1] == "Maker's timing: 5°" + ending


def test_what_was_read_at_the_check_counts_before_what_was_kept(bundled: dict[str, Any]) -> None:
    taken = {"timing": ("6", "deg"), "spec": ("6", "deg")}
    judged = judge(bundled, "ignition.timing", taken, **CAR, timing=figure("20", "deg"))
    assert judged["grade"] == "none"


def test_a_figure_that_nobody_can_read_is_a_problem_and_no_figure(bundled: dict[str, Any]) -> None:
    taken = {"timing": ("6", "deg")}
    for value in (figure("five", "deg"), figure("5", "psi"), figure("300", "deg"), "5", 5, [], {}):
        judged = judge(bundled, "ignition.timing", taken, **CAR, timing=value)
        assert judged["grade"] is None
        assert "no_figure" in codes(judged)
        assert len(codes(judged)) == 2


def test_a_maker_s_figure_takes_the_place_of_practice(bundled: dict[str, Any]) -> None:
    # 13.5 V: practice calls that low, a maker's regulator may be set to it
    low = {"charging": ("13.5", "V")}
    assert judge(bundled, "electrical.charging", low)["grade"] == "minor"
    own = {"charging_low": figure("13.3", "V"), "charging_high": figure("14.1", "V")}
    assert judge(bundled, "electrical.charging", low, **own)["grade"] == "none"
    high = {"charging": ("14.5", "V")}
    assert judge(bundled, "electrical.charging", high)["grade"] == "none"
    assert judge(bundled, "electrical.charging", high, **own)["grade"] == "minor"


def test_a_thermostat_is_rated_by_its_stamp(bundled: dict[str, Any]) -> None:
    taken = {"opens": ("195", "degF")}
    assert judge(bundled, "cooling.fan", taken, "good")["grade"] is None
    for stamped, grade in (("192", "none"), ("90", "minor"), ("160", "minor")):
        unit = "degC" if stamped == "90" else "degF"
        car = {"thermostat": figure("82" if unit == "degC" else stamped, unit, "part")}
        assert judge(bundled, "cooling.fan", taken, "good", **car)["grade"] == grade, stamped


@pytest.mark.parametrize(
    ("kind", "there", "not_there"),
    [
        ({"ignition": "coil-on-plug"}, "ignition.plugs", "ignition.leads"),
        ({"ignition": "coil-on-plug"}, "ignition.coil", "ignition.points"),
        ({"ignition": "electronic"}, "ignition.timing", "ignition.points"),
        ({"charging": "alternator"}, "electrical.charging", "electrical.generator"),
        ({"circuits": "dual"}, "brakes.master-cylinder", "brakes.circuits"),
        ({"gearbox": "cvt"}, "transmission.park", "transmission.clutch-hydraulics"),
        ({"gearbox": "dual-clutch"}, "transmission.park", "transmission.converter"),
    ],
)
def test_what_the_car_has_decides_what_is_asked(
    kind: dict[str, Any], there: str, not_there: str, bundled: dict[str, Any]
) -> None:
    car = {"year": 1962, "fuel": "petrol", **kind}
    assert judge(bundled, there, {}, **car)["applies"]
    assert not judge(bundled, not_there, {}, **car)["applies"]


def test_a_returnless_system_is_no_dead_regulator(bundled: dict[str, Any]) -> None:
    same = {"open": ("58", "psi"), "idle": ("58", "psi")}
    assert judge(bundled, "fuel.regulator", same, **CAR)["grade"] == "major"
    car = {"fuel_return": "returnless", "fuel_set": figure("58", "psi")}
    assert judge(bundled, "fuel.regulator", same, **CAR, **car)["grade"] == "none"


def test_a_plastic_hood_needs_no_reading_and_is_no_filler(bundled: dict[str, Any]) -> None:
    item = next(one for one in bundled["items"] if one["id"] == "accident.paint-film")
    places = [place for reading in item["readings"] for place in reading["at"]]
    taken = {f"film/{place}": ("110", "um") for place in places if not place.startswith("bonnet")}
    assert judge(bundled, "accident.paint-film", taken)["grade"] is None
    car = {"material_bonnet": "plastic"}
    assert judge(bundled, "accident.paint-film", taken, **car)["grade"] == "none"
    silent = {**taken, "film/bonnet-1": ("none", "um")}
    assert judge(bundled, "accident.paint-film", silent)["grade"] == "major"
    assert judge(bundled, "accident.paint-film", silent, **car)["grade"] == "none"


def test_three_points_that_do_not_fall_are_no_table(bundled: dict[str, Any]) -> None:
    taken = {"resistance": ("2500", "ohm"), "temperature": ("20", "degC")}
    car = dict(KNOWN["cooling.sensor"][1], sensor_ohm_hot=figure("200", "kohm"))
    judged = judge(bundled, "cooling.sensor", taken, **CAR, **car)
    assert (judged["grade"], codes(judged)) == (None, ["unreadable"])


#: The maker's figures (invented), what the receipt says, what comes of it by hand.
#: Ours is 5 years or 50,000 mi.
@pytest.mark.parametrize(
    ("own", "done_on", "done_at", "is_due", "says"),
    [
        ({}, "2020-06-01", "90000", True, "6.5 years since, due every 5 years by practice"),
        ({"belt_years": ("7", "yr")}, "2020-06-01", "90000", False, "7 years by the car's maker"),
        ({"belt_years": ("4", "yr")}, "2022-06-01", "90000", True, "4 years by the car's maker"),
        ({"belt_distance": ("60000", "mi")}, "2024-06-01", "39000", True, "60,000 mi by the car's"),
        ({"belt_distance": ("105000", "mi")}, "2024-06-01", "39000", False, "105,000 mi by the"),
        ({"belt_distance": ("105000", "mi")}, "2020-06-01", "39000", True, "5 years by practice"),
    ],
)  # fmt: skip
def test_the_makers_service_interval_comes_before_ours(
    own: dict[str, tuple[str, str]], done_on: str, done_at: str, is_due: bool, says: str,
    bundled: dict[str, Any],
) -> None:  # fmt: skip
    start = "items/upkeep.timing-belt/"
    values = {
        "car/odometer": {"typed": "100000", "unit": "mi"},
        start + "choice": "documented",
        start + "readings/done_on/one": {"typed": done_on, "unit": ""},
        start + "readings/done_at/one": {"typed": done_at, "unit": "mi"},
        **{f"car/{name}": figure(*typed) for name, typed in own.items()},
    }
    result = assessed(bundled, values)
    row = next(row for row in result["baseline"] if row["id"] == "timing-belt")
    assert row["due"] == is_due
    assert says in said(row["said"], bundled["rules"], "us")
    assert (result["items"]["upkeep.timing-belt"]["grade"] == "major") == is_due


FIGURES = {path: value for _, right, wrong, _ in KNOWN.values() for path, value in right.items()}


@given(st.sets(st.sampled_from(sorted(FIGURES))), st.sets(st.sampled_from(sorted(FIGURES))))
def test_more_figures_make_nothing_fine_that_nobody_measured(
    some: set[str], more: set[str]
) -> None:
    rules = checklist_bundle()["rules"]

    def fine(names: set[str]) -> set[str]:
        cells = {f"car/{name}": {"value": FIGURES[name], "at": "1", "others": []} for name in names}
        items = assess({"visit": "v", "cells": cells}, rules, "2026-11-30")["items"]
        return {name for name, one in items.items() if one["state"] != "open"}

    assert fine(some) == fine(some | more) == set()
