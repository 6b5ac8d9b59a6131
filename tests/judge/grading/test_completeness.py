"""Half measured is not measured: every item that readings settle, whole and with one less.

The figures are those of a sound car, common practice without a source; what must be there is the
project's rule that unknown is never fine.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.checklists.judging import judge
from tests.checkout import checklist_bundle
from tests.judge.saying import said

WHEELS = ("front-left", "front-right", "rear-left", "rear-right")
CAR: dict[str, Any] = {"cylinders": 4, "year": 2000, "volts": "12", "injection": "port"}
PANELS = [
    *("roof", "bonnet", "boot-lid"),
    *("front-wing-left", "front-wing-right", "front-door-left", "front-door-right"),
    *("rear-door-left", "rear-door-right", "rear-wing-left", "rear-wing-right"),
]
SOUND: dict[str, dict[str, tuple[str, str]]] = {
    "accident.paint-film": {f"film/{panel}-1": ("118", "um") for panel in PANELS},
    "accident.diagonals": {
        f"diagonal/{place}": ("58", "in") for place in ("floor-a", "floor-b", "front-a", "front-b")
    },
    "brakes.tester-print": {
        **{f"force/{wheel}": ("2000", "N") for wheel in WHEELS},
        "efficiency": ("62", "%"),
    },
    "brakes.front-pads": {f"pad/{wheel}": ("8", "mm") for wheel in WHEELS[:2]},
    "brakes.fluid-water": {"water": ("1", "%")},
    "brakes.pedal-reserve": {"rest": ("6", "in"), "pressed": ("4", "in")},
    "bushings.steering-rack": {"slide": ("0", "mm")},
    "cooling.pressure-test": {"fall": ("0", "psi")},
    "cooling.sensor": {
        "resistance": ("2500", "ohm"),
        "temperature": ("20", "degC"),
        "spec_degrees/cold": ("0", "degC"),
        "spec_ohm/cold": ("5896", "ohm"),
        "spec_degrees/warm": ("20", "degC"),
        "spec_ohm/warm": ("2500", "ohm"),
        "spec_degrees/hot": ("80", "degC"),
        "spec_ohm/hot": ("323", "ohm"),
    },
    "electrical.rest-voltage": {"rest": ("12.6", "V")},
    "electrical.drain": {"drain": ("30", "mA")},
    "electrical.ground-drop": {f"drop/{place}": ("0.1", "V") for place in ("engine", "body")},
    "electrical.charging": {"charging": ("14.2", "V")},
    "engine.readiness": {"not-ready": ("0", "1")},
    "engine.vacuum": {"idle": ("19", "inHg")},
    "engine.oil-pressure": {
        "pressure": ("30", "psi"),
        "rpm": ("2000", "1"),
        "spec": ("25", "psi"),
        "spec_rpm": ("2000", "1"),
    },
    "engine.compression": {
        **{f"dry/{n}": ("150", "psi") for n in (1, 2, 3, 4)},
        "spec_low": ("120", "psi"),
    },
    "engine.leak-down": {f"loss/{n}": ("5", "%") for n in (1, 2, 3, 4)},
    "fluids.coolant-mix": {"mix": ("50", "%")},
    "fuel.regulator": {"open": ("43", "psi"), "idle": ("35", "psi"), "spec": ("43", "psi")},
    "ignition.timing": {"timing": ("8", "deg"), "spec": ("9", "deg")},
    "fuel.pressure-hold": {
        "hold_start": ("43", "psi"),
        "hold_end": ("41", "psi"),
        "hold_time": ("5", "min"),
    },
    "papers.number-match": {
        # of model year 2000, with its check digit: 49 CFR 565.15, worked by hand
        f"vin/{place}": ("1M8GDM9A9YP042788", "")
        for place in ("body", "plate", "papers")
    },
    "glass.windscreen": {"driver-zone": ("0", "mm"), "elsewhere": ("0", "mm")},
    "lamps.aim": {f"fall/{side}": ("4.5", "in") for side in ("left", "right")},
    "steering.linkage-play": {f"rock/{wheel}": ("0", "in") for wheel in WHEELS[:2]},
    "steering.toe": {"toe": ("2", "mm"), "spec": ("2", "mm")},
    "steering.camber": {
        **{f"camber/{wheel}": ("-0.5", "deg") for wheel in WHEELS[:2]},
        "spec_low/front": ("-1", "deg"),
        "spec_high/front": ("0.5", "deg"),
    },
    "steering.caster": {
        **{f"caster/{wheel}": ("3", "deg") for wheel in WHEELS[:2]},
        "spec_low": ("2", "deg"),
        "spec_high": ("4", "deg"),
    },
    "steering.free-play": {"play": ("0.25", "in"), "wheel": ("15", "in")},
    "suspension.bounce": {f"cycles/{wheel}": ("1", "1") for wheel in WHEELS},
    "tyres.tread": {
        f"tread/{wheel}-{rib}": ("8", "in/32")
        for wheel in WHEELS
        for rib in ("outer", "middle", "inner")
    },
    "tyres.age": {f"dot/{wheel}": ("2324", "") for wheel in WHEELS},
    "tyres.pressure": {
        **{f"pressure/{wheel}": ("32", "psi") for wheel in WHEELS},
        **{f"sticker/{axle}": ("32", "psi") for axle in ("front", "rear")},
    },
    "tyres.runout": {f"runout/{wheel}": ("0.02", "in") for wheel in WHEELS},
}
#: The wheel's diameter is not needed: unknown, the strictest figure of the law counts.
UNNEEDED = ("steering.free-play",)
#: An answer or a code is held against a fact of the car: tests/judge/vectors, not here.
BY_THE_CAR = {"electrical.polarity", "ignition.order"}


@pytest.fixture(scope="module")
def bundled() -> dict[str, Any]:
    return dict(checklist_bundle())


def settled(bundled: dict[str, Any]) -> set[str]:
    return {name for name, rule in bundled["rules"]["items"].items() if rule.get("settled_by")}


def test_every_item_that_readings_settle_is_tried(bundled: dict[str, Any]) -> None:
    assert set(SOUND) == settled(bundled) - BY_THE_CAR


@pytest.mark.parametrize("item", sorted(SOUND))
def test_all_that_it_needs_settles_an_item_and_one_less_does_not(
    item: str, bundled: dict[str, Any]
) -> None:
    full = SOUND[item]
    # only cars of that time have it
    car = {**CAR, "year": 1990} if item == "ignition.timing" else CAR
    judged = judge(bundled, item, full, **car)
    assert (judged["grade"], judged["problems"]) == ("none", [])
    for left_out in full:
        if len(full) == 1 or item in UNNEEDED:
            continue
        rest = {place: value for place, value in full.items() if place != left_out}
        judged = judge(bundled, item, rest, **car)
        assert (judged["grade"], judged["state"]) == (None, "open"), left_out
        own = left_out.split("/")[0] in ("spec", "spec_low", "spec_high", "spec_rpm", "sticker")
        code = "no_figure" if own or left_out.startswith("spec_") else "incomplete"
        assert [problem["code"] for problem in judged["problems"]] == [code], left_out


@pytest.mark.parametrize(
    ("item", "taken", "sentence"),
    [
        (
            "engine.compression",
            ("dry/1", "dry/2"),
            "Compression, dry: 2 of 4 cylinders measured: 3 and 4 are missing.",
        ),
        (
            "engine.compression",
            ("dry/1", "dry/2", "dry/4"),
            "Compression, dry: 3 of 4 cylinders measured: 3 is missing.",
        ),
        (
            "brakes.front-pads",
            ("pad/front-left",),
            "Pad remaining: 1 of 2 measured; front right is missing.",
        ),
        (
            "tyres.tread",
            tuple(place for place in SOUND["tyres.tread"] if "rear-right" not in place),
            "Tread: 9 of 12 measured; rear right is missing.",
        ),
        (
            "steering.toe",
            ("toe",),
            (
                "No figure for this car: Maker's figure. Without it this isn't rated OK. Common "
                "practice, no source: from straight to 3.18 mm in with rear drive, about straight "
                "with front drive. The maker's is in the manual under wheel alignment."
            ),
        ),
        ("engine.oil-pressure", ("pressure",), "Still to measure: Engine speed, rpm."),
    ],
)
def test_what_is_missing_is_said(
    item: str, taken: tuple[str, ...], sentence: str, bundled: dict[str, Any]
) -> None:
    readings = {place: SOUND[item][place] for place in taken}
    [problem] = judge(bundled, item, readings, **CAR)["problems"]
    assert said(problem["said"], bundled["rules"]) == sentence


def test_a_fault_counts_at_once_and_a_grade_or_an_answer_needs_no_readings(
    bundled: dict[str, Any],
) -> None:
    low = {"dry/1": ("150", "psi"), "dry/2": ("60", "psi")}
    assert judge(bundled, "engine.compression", low, **CAR)["grade"] == "major"
    one = {"tread/front-left-outer": ("8", "in/32")}
    assert judge(bundled, "tyres.tread", one, "good", **CAR)["grade"] == "none"
    assert judge(bundled, "tyres.tread", {"tread/front-left-outer": ("1", "in/32")})["grade"] == (
        "major"
    )


def test_a_code_that_is_none_is_not_there(bundled: dict[str, Any]) -> None:
    codes = {**SOUND["tyres.age"], "dot/rear-left": ("LMLR", "")}
    judged = judge(bundled, "tyres.age", codes, **CAR)
    assert judged["grade"] is None
    assert [problem["code"] for problem in judged["problems"]] == ["unreadable"]
