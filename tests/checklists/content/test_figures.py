"""The limits in the files, judged, against the published figures that they quote.

Each row: item, readings, choice, grade, and where the figure stands. "read" and "from memory" say
how far the text was read; "common practice" has no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.checklists.judging import Readings, assessed, judge

WHEELS = ("front-left", "front-right", "rear-left", "rear-right")
TREAD = tuple(f"tread/{w}-{p}" for w in WHEELS for p in ("outer", "middle", "inner"))


def each(places: tuple[str, ...], typed: str, unit: str) -> Readings:
    return dict.fromkeys(places, (typed, unit))


def pads(left: str, right: str, unit: str = "mm") -> Readings:
    return {"pad/front-left": (left, unit), "pad/front-right": (right, unit)}


def drums(lining: str) -> Readings:
    return {"lining/rear-left": (lining, "mm"), "lining/rear-right": (lining, "mm")}


def forces(left: str, right: str) -> Readings:
    front = {"force/front-left": (left, "N"), "force/front-right": (right, "N")}
    rear = {"force/rear-left": ("1000", "N"), "force/rear-right": ("1000", "N")}
    return {**front, **rear, "efficiency": ("60", "%")}


def dots(code: str) -> Readings:
    return {f"dot/{tyre}": (code, "") for tyre in WHEELS}


def play(inches: str, wheel: str) -> Readings:
    return {"play": (inches, "in"), "wheel": (wheel, "in")}


def pedal(rest: str, pressed: str) -> Readings:
    return {"rest": (rest, "in"), "pressed": (pressed, "in")}


def rock(left: str, right: str) -> Readings:
    return {"rock/front-left": (left, "in"), "rock/front-right": (right, "in")}


def cylinders(*psi: str) -> Readings:
    return {f"dry/{n}": (typed, "psi") for n, typed in enumerate(psi, 1)}


FIGURES: list[tuple[str, Readings, str | None, str]] = [
    # 49 CFR 570.5(g), read as RCW 46.37.360: lining under 1/32 in (0.79375 mm)
    ("brakes.front-pads", pads("0.79", "0.79"), None, "dangerous"),
    ("brakes.front-pads", pads("1", "1", "in/32"), None, "major"),
    ("brakes.front-pads", pads("0.80", "0.80"), None, "major"),
    # common practice, no source: worn below 2/32 in
    ("brakes.front-pads", pads("1.4", "1.4"), None, "major"),
    ("brakes.front-pads", pads("2", "2", "in/32"), None, "minor"),
    ("brakes.rear-drums", drums("1.4"), "dry", "major"),
    # common practice, no source: change at 4/32 in
    ("brakes.front-pads", pads("2.9", "2.9"), None, "minor"),
    ("brakes.front-pads", pads("4", "4", "in/32"), None, "none"),
    # 49 CFR 570.5(f), read as RCW 46.37.360: not beyond the figure marked on the part
    (
        "brakes.front-discs",
        {"thickness/front-left": ("19.9", "mm"), "minimum": ("20", "mm")},
        None,
        "major",
    ),
    (
        "brakes.rear-drums",
        {"diameter/rear-left": ("201.1", "mm"), "maximum": ("201", "mm")},
        None,
        "major",
    ),
    # 49 CFR 570.5(c), read as RCW 46.37.360: at most 80 % of the pedal's travel
    ("brakes.pedal-reserve", pedal("6", "1"), None, "dangerous"),
    ("brakes.pedal-reserve", pedal("6", "1.2"), None, "minor"),
    ("brakes.pedal-reserve", pedal("6", "2.5"), None, "none"),
    # 49 CFR 571.116, read in secondary pages: DOT 4 wet boils at 155 degC, DOT 3 at 140, 5.1 at 180
    ("brakes.fluid-water", {"boiling": ("154", "degC")}, "dot4", "major"),
    ("brakes.fluid-water", {"boiling": ("154", "degC")}, "dot3", "minor"),
    ("brakes.fluid-water", {"boiling": ("179", "degC")}, "dot5-1", "major"),
    # common practice, no source: renew at 3 % water
    ("brakes.fluid-water", {"water": ("3.1", "%")}, None, "major"),
    ("brakes.fluid-water", {"water": ("1", "%")}, None, "none"),
    # 49 CFR 570.5(d), from memory: within 25 ft from 20 mph
    ("road.brake-stop", {"distance": ("25", "ft")}, "straight", "none"),
    ("road.brake-stop", {"distance": ("7.7", "m")}, "straight", "dangerous"),
    # 2014/45/EU 1.2.1, 1.2.2, 1.4.2, from memory: 30 % and, at the steered wheels, 50 % of the
    # higher side; 50 % of the weight, 58 % from 2012 on; parking brake 16 %, below half dangerous
    ("brakes.tester-print", forces("2000", "1500"), None, "none"),
    ("brakes.tester-print", forces("2000", "1400"), None, "minor"),
    ("brakes.tester-print", forces("2000", "1390"), None, "major"),
    ("brakes.tester-print", forces("2000", "990"), None, "dangerous"),
    ("brakes.tester-print", {**forces("2000", "2000"), "efficiency": ("57", "%")}, None, "major"),
    ("brakes.tester-print", {**forces("2000", "2000"), "parking": ("15.9", "%")}, None, "major"),
    ("brakes.tester-print", {**forces("2000", "2000"), "parking": ("7.9", "%")}, None, "dangerous"),
    # 49 CFR 570.5(d), from memory: 25 % between the wheels of an axle
    ("brakes.tester-print", forces("2000", "1490"), None, "minor"),
    # 49 CFR 570.7(a), read: 2 in up to 16 in of wheel, 2 1/4 in at 18 in
    ("steering.free-play", play("2.0", "15"), None, "minor"),
    ("steering.free-play", play("2.1", "15"), None, "major"),
    ("steering.free-play", play("2 1/4", "18"), None, "minor"),
    ("steering.free-play", play("2.3", "18"), None, "major"),
    # 2014/45/EU 2.3, from memory: more than one fifth of the wheel's diameter
    ("steering.free-play", play("3.1", "15"), None, "dangerous"),
    # 49 CFR 570.7(b), read: at most 1/4 in at the tread
    ("steering.linkage-play", rock("0.25", "0.25"), None, "minor"),
    ("steering.linkage-play", rock("0.26", "0.1"), None, "major"),
    # 49 CFR 570.7(d), read: at most 1.5 times the maker's figure
    ("steering.toe", {"toe": ("3.0", "mm"), "spec": ("2", "mm")}, None, "none"),
    ("steering.toe", {"toe": ("3.1", "mm"), "spec": ("2", "mm")}, None, "major"),
    # 49 CFR 570.8(b), from memory: no more than two free cycles
    ("suspension.bounce", {f"cycles/{w}": ("2", "1") for w in WHEELS}, None, "none"),
    ("suspension.bounce", {"cycles/front-left": ("3", "1")}, None, "major"),
    # 49 CFR 570.9(a), read as RCW 46.37.425: at least 2/32 in (1.5875 mm)
    ("tyres.tread", each(TREAD, "2", "in/32"), None, "minor"),
    ("tyres.tread", each(TREAD, "1.58", "mm"), None, "major"),
    ("tyres.tread", each(TREAD, "4", "in/32"), None, "none"),
    # 49 CFR 570.9(a)(2), read in the sister text 570.62: the wear bars stand at 2/32 in
    ("tyres.tread", {}, "bars", "major"),
    ("tyres.tread", each(TREAD, "1.5", "mm"), "good", "major"),
    # 49 CFR 574.5, read: week and year; common practice, no source: old at ten years
    ("tyres.age", dots("5016"), None, "minor"),
    ("tyres.age", dots("4016"), None, "major"),
    ("tyres.age", dots("0122"), None, "none"),
    ("tyres.age", dots("031"), None, "dangerous"),
    # common practice, no source: the car does not stand on its spare
    ("tyres.spare", {"dot/spare": ("0101", "")}, "good", "minor"),
    ("tyres.spare", {"dot/spare": ("0122", "")}, "good", "none"),
    # 49 CFR 570.10(b), read: runout at most 1/8 in
    ("tyres.runout", {"runout/front-left": ("1/8", "in")}, None, "minor"),
    ("tyres.runout", {"runout/front-left": ("0.13", "in")}, None, "major"),
    # common practice, no source: 3/8 in before the driver, 1 1/2 in elsewhere
    ("glass.windscreen", {"driver-zone": ("11", "mm"), "elsewhere": ("0", "mm")}, None, "major"),
    ("glass.windscreen", {"driver-zone": ("3/8", "in"), "elsewhere": ("0", "mm")}, None, "minor"),
    ("glass.windscreen", {"driver-zone": ("0", "mm"), "elsewhere": ("41", "mm")}, None, "major"),
    # 49 CFR 571.205, from memory: 70 % light
    ("glass.side-rear", {"light": ("69", "%")}, "good", "major"),
    ("glass.side-rear", {"light": ("70", "%")}, "good", "none"),
    # 2014/45/EU 4.4.4, from memory: 60 to 120 flashes a minute
    ("lamps.indicators", {"rate": ("121", "1")}, "good", "minor"),
    ("lamps.indicators", {"rate": ("60", "1")}, "good", "none"),
    # textbook table, common practice: 12.24 V is half full, 12.06 V a quarter
    ("electrical.rest-voltage", {"rest": ("12.45", "V")}, None, "none"),
    ("electrical.rest-voltage", {"rest": ("12.24", "V")}, None, "minor"),
    ("electrical.rest-voltage", {"rest": ("12.0", "V")}, None, "major"),
    # common practice, no source: 50 mA at rest; 13.2 to 15 V charging; 9.6 V cranking
    ("electrical.drain", {"drain": ("50", "mA")}, None, "none"),
    ("electrical.drain", {"drain": ("0.051", "A")}, None, "minor"),
    ("electrical.charging", {"charging": ("14.2", "V")}, None, "none"),
    ("electrical.charging", {"charging": ("13.1", "V")}, None, "major"),
    ("electrical.charging", {"charging": ("15.1", "V")}, None, "major"),
    ("electrical.cranking", {"cranking": ("9.5", "V")}, "brisk", "minor"),
    # common practice, no source: the lowest cylinder at least 75 % of the highest
    ("engine.compression", cylinders("160", "150", "155", "120"), None, "minor"),
    ("engine.compression", cylinders("160", "150", "155", "119"), None, "major"),
    # public training text, read: 17 to 22 inHg at sea level, 1 inHg less per 1,000 ft
    ("engine.vacuum", {"idle": ("15", "inHg"), "altitude": ("5000", "ft")}, None, "none"),
    ("engine.vacuum", {"idle": ("15", "inHg"), "altitude": ("0", "ft")}, None, "minor"),
    # common practice, no source: 10 psi for each 1,000 turns
    (
        "engine.oil-pressure",
        {
            "pressure": ("30", "psi"),
            "rpm": ("3000", "1"),
            "spec": ("30", "psi"),
            "spec_rpm": ("3000", "1"),
        },
        None,
        "none",
    ),
    ("engine.oil-pressure", {"pressure": ("20", "psi"), "rpm": ("3000", "1")}, None, "major"),
    # glycol table, read in secondary pages: 50 % freezes at -37 degC, 40 % at -24 degC
    ("fluids.coolant-mix", {"mix": ("50", "%")}, None, "none"),
    ("fluids.coolant-mix", {"mix": ("40", "%")}, None, "minor"),
    # 49 CFR 565, read: the check digit; ISO 3779, from memory: no I, O, Q
    ("papers.number-match", {"vin/body": ("1M8GDM9AXKP042788", "")}, "same", "none"),
    ("papers.number-match", {"vin/body": ("1M8GDM9AXKP042787", "")}, "same", "major"),
    ("papers.number-match", {"vin/body": ("1M8GDM9AXKPO42788", "")}, "same", "major"),
    # a car from elsewhere need not carry a check digit
    ("papers.number-match", {"vin/body": ("ZZZAB1A32B1000001", "")}, "same", "none"),
]


@pytest.mark.parametrize(("item", "readings", "choice", "grade"), FIGURES)
def test_a_reading_is_graded_by_the_published_figure(
    item: str, readings: Readings, choice: str | None, grade: str, bundled: dict[str, Any]
) -> None:
    judged = judge(bundled, item, readings, choice)
    # an answer beside the figure may be asked about (test_contradictions.py)
    assert [one for one in judged["problems"] if one["code"] != "contradiction"] == []
    assert (judged["grade"], judged["state"]) == (grade, "done")


def test_all_cylinders_of_the_car_settle_the_compression(bundled: dict[str, Any]) -> None:
    # common practice, no source: each against the highest of all
    figures = {**cylinders("160", "150", "155", "150"), "spec_low": ("120", "psi")}
    assert judge(bundled, "engine.compression", figures, cylinders=4)["grade"] == "none"
    for count in (None, 6, 8):
        car = {} if count is None else {"cylinders": count}
        judged = judge(bundled, "engine.compression", figures, **car)
        assert (judged["grade"], judged["state"]) == (None, "open")
        assert [problem["code"] for problem in judged["problems"]] == ["incomplete"]


# what a region's own law says, and what the other's law is there: (grade, its source)
BY_REGION: dict[str, tuple[str, Readings, str | None, tuple[str, str], tuple[str, str]]] = {
    # 49 CFR 570.9(a), read as RCW 46.37.425: 2/32 in (1.5875 mm); 89/459/EEC, from memory: 1.6 mm
    "tread at 2/32 in": (
        "tyres.tread",
        each(TREAD, "2", "in/32"),
        None,
        ("minor", "practice"),
        ("major", "eu89-459"),
    ),
    "tread below both": (
        "tyres.tread",
        each(TREAD, "1.5", "mm"),
        None,
        ("major", "cfr570.9.a"),
        ("major", "eu89-459"),
    ),
    # 49 CFR 570.5(g), read as RCW 46.37.360: 1/32 in; the directive gives no figure
    "lining under 1/32 in": (
        "brakes.front-pads",
        pads("0.79", "0.79"),
        None,
        ("dangerous", "cfr570.5.g"),
        ("dangerous", "practice"),
    ),
    # 2014/45/EU 1.2.1, from memory: 30 % between the wheels of an axle
    "imbalance over 30 %": (
        "brakes.tester-print",
        forces("2000", "1390"),
        None,
        ("major", "practice"),
        ("major", "eu2014-45.1"),
    ),
    # 49 CFR 570.7(a), read: 2 in up to 16 in of wheel
    "free play over 2 in": (
        "steering.free-play",
        play("2.1", "15"),
        None,
        ("major", "cfr570.7.a"),
        ("major", "practice"),
    ),
    # 2014/45/EU 2.3, from memory: one fifth of the diameter
    "free play over a fifth": (
        "steering.free-play",
        play("3.1", "15"),
        None,
        ("dangerous", "practice"),
        ("dangerous", "eu2014-45.2"),
    ),
    # 49 CFR 570.10(c), read; 2014/45/EU 5.2.1, read in a national text: both laws say so
    "a nut is missing": (
        "tyres.nuts",
        {},
        "missing",
        ("major", "cfr570.10.c"),
        ("major", "eu2014-45.5.2"),
    ),
    # 2014/45/EU 6.1.1, read in a national text; 49 CFR 570 says nothing of rust
    "a holed sill": (
        "rust.sills",
        {},
        "holed",
        ("major", "practice"),
        ("major", "eu2014-45.6.1.1"),
    ),
}


@pytest.mark.parametrize("name", BY_REGION)
def test_a_regions_law_speaks_in_that_region_and_is_practice_elsewhere(
    name: str, bundled: dict[str, Any]
) -> None:
    item, readings, choice, *expected = BY_REGION[name]
    for region, (grade, source) in zip(("us", "eu"), expected, strict=True):
        judged = judge(bundled, item, readings, choice, region)
        assert (judged["grade"], judged["reasons"][0]["source"]) == (grade, source), region
    for unknown in (None, "mars"):
        unsaid = judge(bundled, item, readings, choice, unknown)
        assert unsaid == judge(bundled, item, readings, choice, "us")


# papers of a region: what is asked where, by the law named
@pytest.mark.parametrize(
    ("item", "year", "where"),
    [
        # 49 CFR 580.17(a), read: model year 2010 and older exempt, 2011 and newer for 20 years
        ("papers.odometer-statement", 2010, set()),
        ("papers.odometer-statement", 2011, {"us"}),
        # 49 CFR 567.4, from memory: a label on cars built since 1969
        ("papers.certification-label", 1965, set()),
        ("papers.certification-label", 1988, {"us"}),
        # title brands and liens stand on the titles of American states; common practice, no source
        ("papers.title-brands", 1965, {"us"}),
        ("papers.lien", 1995, {"us"}),
        # 40 CFR 85.2207, read: the test of the on-board diagnostic system, cars from 1996
        ("engine.readiness", 1995, set()),
        ("engine.readiness", 1996, {"us"}),
        # 2014/45/EU 1.2, from memory: a roller test; 6.1.9, 7.4, 7.5
        ("brakes.tester-print", 1995, {"eu"}),
        ("papers.changes-approved", 1995, {"eu"}),
        ("equipment.safety-kit", 1995, {"eu"}),
        ("papers.registration", 1995, {"us", "eu"}),
    ],
)
def test_a_regions_papers_are_asked_there(
    item: str, year: int, where: set[str], bundled: dict[str, Any]
) -> None:
    for region in ("us", "eu"):
        car = {"car/year": year, "about/region": region, "about/depth": "thorough"}
        judged = assessed(bundled, {**car, "car/fuel": "petrol"})["items"][item]
        assert judged["asked"] == (region in where), region


def test_an_answer_given_stays_when_the_region_is_changed(bundled: dict[str, Any]) -> None:
    answered = {"about/region": "eu", "items/papers.lien/choice": "open"}
    judged = assessed(bundled, answered)["items"]["papers.lien"]
    assert (judged["asked"], judged["grade"], judged["problems"]) == (True, "major", [])


@pytest.mark.parametrize(
    ("item", "choice", "grade", "source"),
    [
        # 28 CFR 25.52, read in part: junk and salvage automobiles
        ("papers.title-brands", "salvage", "major", "cfr25.52"),
        ("papers.title-brands", "junk", "major", "cfr25.52"),
        # common practice, no source
        ("papers.title-brands", "clean", "none", ""),
        ("papers.lien", "open", "major", ""),
        ("papers.odometer-statement", "exempt", "none", "cfr580.17"),
        ("papers.odometer-statement", "not-actual", "major", "cfr580.5"),
        # 40 CFR 85.2207, read: a connector that is missing or dead fails
        ("engine.readiness", "dead", "major", "cfr85.2207"),
    ],
)
def test_american_papers_are_graded_by_what_the_law_calls_them(
    item: str, choice: str, grade: str, source: str, bundled: dict[str, Any]
) -> None:
    judged = judge(bundled, item, {}, choice)
    assert (judged["grade"], judged["reasons"][0]["source"]) == (grade, source)


@pytest.mark.parametrize(
    ("year", "count", "grade"), [(1998, "2", "none"), (1998, "3", "major"), (2003, "2", "major")]
)
def test_monitors_that_are_not_ready_are_counted_by_the_cars_year(
    year: int, count: str, grade: str, bundled: dict[str, Any]
) -> None:
    # a state's rule, read second-hand: two may be open up to 2000, one from 2001 on
    judged = judge(bundled, "engine.readiness", {"not-ready": (count, "1")}, year=year)
    assert judged["grade"] == grade


CLAMPS: Readings = {
    "hold_start": ("36", "psi"),
    "hold_end": ("10", "psi"),
    "hold_time": ("5", "min"),
}


def clamped(back: str, supply: str) -> Readings:
    """The rail emptied to 10 psi; so much was left with the return, then the supply clamped."""
    return {**CLAMPS, "clamp_return": (back, "psi"), "clamp_supply": (supply, "psi")}


# all common practice, no source; the pressures follow from the regulator's physics
FACTS_OF_THE_TRADE = {
    "36 psi open is about 28 psi at a warm idle of 16 inHg": (
        "fuel.regulator",
        {
            "open": ("36", "psi"),
            "idle": ("28", "psi"),
            "vacuum": ("16", "inHg"),
            "spec": ("36", "psi"),
        },
        None,
        "none",
        {"reference": "working", "expected_idle": "28.1", "implied_vacuum": "16.3"},
    ),
    "a regulator that reads the same with the hose on has no reference": (
        "fuel.regulator",
        {"open": ("36", "psi"), "idle": ("36", "psi")},
        None,
        "major",
        {"reference": "none"},
    ),
    "fuel in the reference hose is a torn diaphragm": (
        "fuel.regulator",
        {},
        "wet",
        "dangerous",
        {},
    ),
    "a rail that empties at key-off has a leak to look for": (
        "fuel.pressure-hold",
        CLAMPS,
        None,
        "minor",
        {"leak": "untested"},
    ),
    "it holds once the return is clamped: the regulator leaked": (
        "fuel.pressure-hold",
        clamped("35", "10"),
        None,
        "minor",
        {"leak": "regulator"},
    ),
    "it holds once the supply is clamped: the valve of the pump leaked": (
        "fuel.pressure-hold",
        clamped("10", "35"),
        None,
        "minor",
        {"leak": "pump-valve"},
    ),
    "it holds with neither clamped: an injector leaks into the engine": (
        "fuel.pressure-hold",
        clamped("10", "10"),
        None,
        "major",
        {"leak": "injector"},
    ),
    "an open sensor reads as cold": (
        "cooling.sensor",
        {"resistance": ("open", "ohm")},
        None,
        "major",
        {"circuit": "open"},
    ),
    "a bridged sensor reads as hot": (
        "cooling.sensor",
        {"resistance": ("0.05", "ohm")},
        None,
        "major",
        {"circuit": "short"},
    ),
    "a live lead chewed bare beside metal is a fire waiting": (
        "rodents.battery-lead",
        {},
        "bare-metal",
        "dangerous",
        {},
    ),
    "a rack that slides in its mounts is dangerous": (
        "bushings.steering-rack",
        {"slide": ("4", "mm")},
        None,
        "dangerous",
        {},
    ),
    "a rack that slides steers late and then too much": (
        "road.steering",
        {},
        "late",
        "dangerous",
        {},
    ),
    "what the seller claims and no receipt shows was not done": (
        "upkeep.timing-belt",
        {},
        "claimed",
        "major",
        {},
    ),
    "no receipts at all is a finding": ("papers.receipts", {}, "none", "major", {}),
}


@pytest.mark.parametrize(
    ("item", "readings", "choice", "grade", "facts"),
    FACTS_OF_THE_TRADE.values(),
    ids=FACTS_OF_THE_TRADE.keys(),
)
def test_a_fact_of_the_trade_holds(
    item: str,
    readings: Readings,
    choice: str | None,
    grade: str,
    facts: dict[str, str],
    bundled: dict[str, Any],
) -> None:
    judged = judge(bundled, item, readings, choice)
    assert judged["grade"] == grade
    assert {name: judged["facts"][name]["value"] for name in facts} == facts


@pytest.mark.parametrize("wet", ["fluids.oil-leak", "fluids.fuel-leak"])
def test_a_nibbled_live_lead_is_worse_with_oil_or_fuel_near_it(
    wet: str, bundled: dict[str, Any]
) -> None:
    # common practice, no source
    nibbled = {"items/rodents.battery-lead/choice": "nibbled"}
    alone = assessed(bundled, nibbled)["items"]["rodents.battery-lead"]
    assert alone["grade"] == "major"
    leak = "smell" if wet == "fluids.fuel-leak" else "wet"
    beside = assessed(bundled, {**nibbled, f"items/{wet}/choice": leak})
    raised = beside["items"]["rodents.battery-lead"]
    assert (raised["grade"], raised["by"]) == ("dangerous", "combination")
    assert beside["drive_home"]["answer"] == "trailer"


def test_a_nibbled_live_lead_is_worse_with_no_fuse_before_it(bundled: dict[str, Any]) -> None:
    # common practice, no source: nothing stops the current
    values = {
        "items/rodents.battery-lead/choice": "nibbled",
        "items/electrical.main-feeds/choice": "unfused",
    }
    assert assessed(bundled, values)["items"]["rodents.battery-lead"]["grade"] == "dangerous"


def test_work_without_a_receipt_is_due_whatever_was_claimed(bundled: dict[str, Any]) -> None:
    # common practice, no source
    rows = {
        answer: next(
            row
            for row in assessed(bundled, {"items/upkeep.timing-belt/choice": answer})["baseline"]
            if row["id"] == "timing-belt"
        )
        for answer in ("claimed", "seen", "unknown")
    }
    assert all(row["due"] for row in rows.values())
    assert rows["claimed"]["said"] == {"id": "judge-due-claimed"}


def test_a_document_past_its_interval_is_due_again(bundled: dict[str, Any]) -> None:
    done: Readings = {"done_on": ("2023-05", "")}
    judged = judge(bundled, "upkeep.brake-fluid", done, "documented")
    assert judged["grade"] == "minor"
    fresh: Readings = {"done_on": ("2025-05", "")}
    assert judge(bundled, "upkeep.brake-fluid", fresh, "documented")["grade"] == "none"


@pytest.mark.parametrize(
    ("item", "choice", "source"),
    [
        ("brakes.hoses", "bulge", "cfr570.5.e"),
        ("tyres.nuts", "missing", "cfr570.10.c"),
        ("rust.sills", "holed", "practice"),
        # what everybody sees has no source
        ("fluids.oil-leak", "drips", ""),
    ],
)
def test_an_answer_names_the_source_of_its_grade(
    item: str, choice: str, source: str, bundled: dict[str, Any]
) -> None:
    reasons = judge(bundled, item, {}, choice)["reasons"]
    assert [reason["source"] for reason in reasons] == [source]
    assert not source or source in bundled["sources"]


def test_a_rack_is_held_to_a_closer_limit_than_a_box(bundled: dict[str, Any]) -> None:
    # common practice, no source: 1/2 in at the rim with a rack, 1 1/4 in with a box
    twenty: Readings = {"play": ("20", "mm"), "wheel": ("380", "mm")}
    assert judge(bundled, "steering.free-play", twenty, steering="rack")["grade"] == "minor"
    assert judge(bundled, "steering.free-play", twenty, steering="box")["grade"] == "none"


@pytest.mark.parametrize(
    ("item", "choice", "grade"),
    [
        # 2014/45/EU 5.2.1, 5.1.3, 2.1.2, 7.1.1, read in a national text with the same codes
        ("tyres.nuts", "missing", "major"),
        ("tyres.nuts", "loose", "dangerous"),
        ("suspension.wheel-bearings", "clear", "major"),
        ("suspension.wheel-bearings", "loose", "dangerous"),
        ("bushings.steering-rack", "slides", "dangerous"),
        ("rust.belt-anchors", "scale", "major"),
        ("rust.belt-anchors", "holed", "dangerous"),
    ],
)
def test_an_answer_is_graded_as_the_directive_grades_it(
    item: str, choice: str, grade: str, bundled: dict[str, Any]
) -> None:
    assert judge(bundled, item, {}, choice)["grade"] == grade


@pytest.mark.parametrize(
    ("year", "efficiency", "grade"),
    [
        # 2014/45/EU 1.2.2, from memory: 58 % from 2012, 50 % before, 48 % before October 1991;
        # under half of that dangerous
        (2012, "57", "major"),
        (2012, "28", "dangerous"),
        (2005, "57", "none"),
        (2005, "49", "major"),
        (2005, "24.9", "dangerous"),
        (1985, "48", "none"),
        (1985, "47", "major"),
        (1985, "23", "dangerous"),
    ],
)
def test_the_efficiency_of_the_brakes_is_held_to_the_cars_year(
    year: int, efficiency: str, grade: str, bundled: dict[str, Any]
) -> None:
    typed = {**forces("2000", "2000"), "efficiency": (efficiency, "%")}
    assert judge(bundled, "brakes.tester-print", typed, year=year)["grade"] == grade
