"""Wires: figures against published tables, handbook examples and pint; laws, under both engines.

Read for it: FAA AC 43.13-1B change 1, tables 11-7, 11-8, 11-9 and paragraph 11-66; 33 CFR 183.425,
Table 5. Geometry of the American wire gauge (ASTM B258) and k = 115 (IEC 60364-4-43): from memory.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.checkout import checklist_bundle
from tests.judge.conftest import Ask
from tests.judge.saying import said

ITEM = "electrical.main-feeds"
STAMP = "001764052703000-00000-" + "a" * 32
Wire = dict[str, Any]

# AC 43.13-1B, table 11-9: AWG, A at 105 degC in bundles, ohms per 1,000 ft of tin-plated copper
TABLE_11_9 = {
    "22": ("3", "16.20"), "20": ("4", "9.88"), "18": ("6", "6.23"), "16": ("7", "4.81"),
    "14": ("10", "3.06"), "12": ("13", "2.02"), "10": ("17", "1.26"), "8": ("38", "0.70"),
    "6": ("50", "0.44"), "4": ("68", "0.28"), "2": ("95", "0.18"), "1": ("113", "0.15"),
    "0": ("128", "0.12"), "-1": ("147", "0.09"),
}  # fmt: skip
# 33 CFR 183.425, Table 5, column of 60 degC
TABLE_5 = {
    "18": "10", "16": "15", "14": "20", "12": "25", "10": "40", "8": "55", "6": "80", "4": "105",
    "2": "140", "1": "165", "0": "195", "-1": "225",
}  # fmt: skip


def table() -> Any:
    return checklist_bundle()["rules"]["wires"]


def typed(text: str, unit: str) -> dict[str, str]:
    return {"typed": text, "unit": unit}


def cells(wires: dict[str, Wire], item: str = ITEM, **more: Any) -> dict[str, Any]:
    values = {
        f"items/{item}/wires/{name}/{field}": value
        for name, wire in wires.items()
        for field, value in wire.items()
    }
    values.update(more)
    return {path: {"value": value, "at": STAMP, "others": []} for path, value in values.items()}


@pytest.fixture(scope="module")
def loaded(both: Ask) -> Ask:
    rules = checklist_bundle()["rules"]
    items = [ITEM, "rodents.engine-wiring", "rodents.rear-wiring", "rodents.battery-lead"]
    piece = {**rules, "items": {name: rules["items"][name] for name in items}}
    both({"ask": "load", "bundle": "wires", "rules": piece, "start": True})
    return both


def judged(
    loaded: Ask, wires: dict[str, Wire], item: str = ITEM, car: Any = None, **more: Any
) -> Any:
    about = {
        f"car/{name}": {"value": v, "at": STAMP, "others": []} for name, v in (car or {}).items()
    }
    return loaded(
        {
            "ask": "item",
            "bundle": "wires",
            "item": item,
            "cells": cells(wires, item, **more),
            "car": about,
            "today": "2026-11-30",
        }
    )["item"]


def facts(loaded: Ask, wire: Wire, **more: Any) -> dict[str, str]:
    """Of one wire: its facts without its name."""
    found = judged(loaded, {"w": wire}, **more)["facts"]
    return {name.removesuffix(".w"): fact["value"] for name, fact in found.items()}


def test_the_table_is_the_published_one() -> None:
    rows = {row["n"]: row for row in table()["gauges"]}
    assert {n: (row["bears"], row["ohm_per_1000ft"]) for n, row in rows.items()} == TABLE_11_9
    assert {n: rows[n]["alone"] for n in TABLE_5} == TABLE_5


@pytest.mark.parametrize("row", table()["gauges"], ids=lambda row: row["n"])
def test_areas_follow_the_geometry_of_the_gauge(row: Any) -> None:
    # ASTM B258, from memory: 0.127 mm x 92 ** ((36 - n) / 39)
    diameter = 0.127 * 92 ** ((36 - int(row["n"])) / 39)
    assert float(row["mm2"]) == pytest.approx(math.pi / 4 * diameter**2, rel=0.004)
    # IEC 60028, from memory: 17.241 ohm mm2/km; stranded and tinned wire resists up to a third more
    solid = 17.241 / float(row["mm2"]) * 0.3048
    assert solid * 0.93 < float(row["ohm_per_1000ft"]) < solid * 1.34


@pytest.mark.parametrize(
    ("gauge", "feet", "amperes", "volts"),
    [
        ("6", "107", "20", 0.942),  # AC 43.13-1B, table 11-7, the four examples
        ("4", "90", "20", 0.504),
        ("12", "88", "20", 3.555),  # printed as 3.60
        ("14", "100", "20", 6.12),
        ("10", "39", "20", 0.98),  # table 11-8; its second row misprints .491 as .366
        ("10", "156", "20", 3.93),
        ("10", "273", "20", 6.88),
    ],
)
def test_the_drop_is_that_of_the_handbook(
    gauge: str, feet: str, amperes: str, volts: float, loaded: Ask
) -> None:
    wire = {"gauge": typed(gauge, "AWG"), "length": typed(feet, "ft"), "load": typed(amperes, "A")}
    assert float(facts(loaded, wire)["wire_drop"]) == pytest.approx(volts, abs=0.006)


def test_hot_copper_loses_more(loaded: Ask) -> None:
    # AC 43.13-1B, 11-66: a run of 88 ft at 20 degC may be 88 x 254.5 / (234.5 + 80) ft at 80 degC
    wire = {"gauge": typed("12", "AWG"), "load": typed("20", "A")}
    shorter = f"{88 * 254.5 / (234.5 + 80):.4f}"
    hot = facts(loaded, {**wire, "length": typed(shorter, "ft")})["wire_drop_hot"]
    assert hot == facts(loaded, {**wire, "length": typed("88", "ft")})["wire_drop"]


def test_a_length_in_meters_is_the_same_wire(loaded: Ask) -> None:
    meters = pint.UnitRegistry().Quantity(88, "foot").to("m").magnitude
    wire = {"gauge": typed("3.31", "mm2"), "load": typed("20", "A")}
    found = facts(loaded, {**wire, "length": typed(f"{meters:.4f}", "m")})
    assert found["wire_drop"] == facts(loaded, {**wire, "length": typed("88", "ft")})["wire_drop"]


@pytest.mark.parametrize(
    ("gauge", "row"),
    [
        (("14", "AWG"), "14"), (("13", "AWG"), "14"), (("3", "AWG"), "4"), (("0", "AWG"), "0"),
        (("1/0", "AWG"), "0"), (("00", "AWG"), "-1"), (("2/0", "AWG"), "-1"),
        (("4/0", "AWG"), "-1"), (("1.5", "mm2"), "16"), (("2,5", "mm2"), "14"),
        (("0.5", "mm2"), "22"), (("6", "mm2"), "10"), (("35", "mm2"), "2"), (("24", "AWG"), ""),
        (("0.2", "mm2"), ""), (("x", "AWG"), ""), (("", "mm2"), ""), (("1/x", "AWG"), ""),
        (("-3", "AWG"), ""),
    ],
)  # fmt: skip
def test_a_size_between_two_counts_as_the_thinner(
    gauge: tuple[str, str], row: str, loaded: Ask
) -> None:
    result = judged(loaded, {"w": {"gauge": typed(*gauge)}})
    bears = {one["n"]: one["bears"] for one in table()["gauges"]}.get(row)
    assert result["facts"].get("wire_bears.w", {}).get("value") == bears
    assert bool(result["problems"]) == (not row)


def test_the_fuse_covers_the_load_and_protects_the_wire(loaded: Ask) -> None:
    # 8 A x 1.25 = 10 A; 14 AWG alone bears 20 A (33 CFR 183.425)
    wire = {"gauge": typed("14", "AWG"), "load": typed("8", "A"), "circuit": "fan"}
    found = facts(loaded, wire)
    assert (found["wire_fuse"], found["wire_fuse_most"]) == ("10", "20")
    assert (found["wire_bears"], found["wire_alone"]) == ("10", "20")
    # 18 A x 1.25 = 22.5 A: no fuse is large enough for the load and small enough for the wire
    thin = facts(loaded, {**wire, "load": typed("18", "A")})
    assert thin["wire_risk"] == "thin"
    assert "wire_fuse" not in thin


def test_a_short_is_worked_out_by_hand(loaded: Ask) -> None:
    # 14 AWG, 10 ft: 12.6 V / (0.01 + 0.0306) ohm = 310 A; (115 x 2.08 / 310) ** 2 = 0.59 s
    wire = {"gauge": typed("14", "AWG"), "length": typed("10", "ft"), "fuse": "none"}
    found = facts(loaded, wire)
    assert found["wire_short"] == "310"
    assert found["wire_heat"] == "second"
    # 2 AWG, 3 ft: 12.6 / 0.01054 = 1,195 A; (115 x 33.6 / 1195) ** 2 = 10.4 s
    cable = {"gauge": typed("2", "AWG"), "length": typed("3", "ft"), "circuit": "cable"}
    assert facts(loaded, cable)["wire_heat"] == "minute"
    assert "wire_heat" not in facts(loaded, {**wire, "fuse": "fuse"})


@given(
    n=st.sampled_from(sorted(TABLE_11_9)),
    feet=st.decimals(min_value=1, max_value=60, places=1),
)
@settings(deadline=None, max_examples=40)
def test_a_shorts_current_is_told_in_two_digits(n: str, feet: Decimal, loaded: Ask) -> None:
    """Ohm's law, within the half of the second digit: 5% at most, as a mechanic reads a meter."""
    gauge = {"0": "1/0", "-1": "2/0"}.get(n, n)
    wire = {"gauge": typed(gauge, "AWG"), "length": typed(str(feet), "ft"), "fuse": "none"}
    found = judged(loaded, {"w": wire})["facts"]["wire_short.w"]
    ohms = 0.01 + float(TABLE_11_9[n][1]) / 1000 * float(feet)
    assert float(found["value"]) == pytest.approx(12.6 / ohms, rel=0.05)
    assert len(found["value"].strip("0.")) <= 2
    assert said(found["said"], {}).startswith("Shorted, it draws about, ")


def test_a_bunch_of_several_sizes_is_as_good_as_its_thinnest(loaded: Ask) -> None:
    sizes = {"gauge": typed("18", "AWG"), "thickest": typed("12", "AWG")}
    bunch = {"kind": "bunch", "count": typed("7", "1"), "state": "bare", **sizes}
    found = judged(loaded, {"w": bunch})["facts"]
    assert found["wire_bears.w"]["value"] == TABLE_11_9["18"][0]
    assert "7 wires, 18 AWG to 12 AWG" in said(found["wire_bears.w"]["said"], {})
    turned = {**bunch, "gauge": sizes["thickest"], "thickest": sizes["gauge"]}
    assert judged(loaded, {"w": turned})["facts"]["wire_bears.w"]["value"] == TABLE_11_9["18"][0]
    alone = {**bunch, "gauge": None}
    assert judged(loaded, {"w": alone})["facts"]["wire_bears.w"]["value"] == TABLE_11_9["12"][0]
    unread = judged(loaded, {"w": {**bunch, "thickest": typed("fat", "AWG")}})
    assert [problem["path"].split("/")[-1] for problem in unread["problems"]] == ["thickest"]


@pytest.mark.parametrize("item", ["rodents.injector-leads", "electrical.fusible-links"])
def test_injector_leads_and_fusible_links_take_wires_and_are_billed_by_them(item: str) -> None:
    rule = checklist_bundle()["rules"]["items"][item]
    assert "wires" in rule["answers"]
    assert any(row.get("per") == "wires" for row in rule["remedies"])


RISKS = [
    ({"state": "bare", "fuse": "none"}, "fire", "dangerous"),
    ({"state": "cut", "fuse": "none", "near": "metal"}, "fire", "dangerous"),
    ({"state": "bare", "fuse": "fuse", "near": "fuel"}, "fire", "dangerous"),
    ({"state": "bare", "circuit": "cable"}, "fire", "dangerous"),
    ({"state": "nibbled", "circuit": "cable"}, "cable", "major"),
    ({"state": "insulated", "fuse": "none"}, "unfused", "major"),
    ({"gauge": typed("18", "AWG"), "rating": typed("30", "A")}, "overfused", "major"),
    ({"gauge": typed("18", "AWG"), "load": typed("12", "A")}, "overload", "major"),
    ({"state": "cut", "circuit": "airbag"}, "safety", "major"),
    ({"state": "bare"}, "bare", "major"),
    ({"state": "cut"}, "cut", "major"),
    ({"state": "nibbled", "circuit": "airbag"}, "nibbled", "minor"),
    ({"state": "insulated", "circuit": "cable", "fuse": "none"}, None, None),
    ({"state": "insulated", "circuit": "sensor", "fuse": "none"}, None, None),
    ({"state": "insulated"}, None, None),
    (
        {"gauge": typed("14", "AWG"), "length": typed("20", "ft"), "load": typed("9", "A")},
        "drop",
        "minor",
    ),
]


@pytest.mark.parametrize(("wire", "risk", "grade"), RISKS)
def test_the_gravest_that_is_to_be_said(wire: Wire, risk: str, grade: str, loaded: Ask) -> None:
    """Grades: common practice, no source; the drop: AC 43.13-1B table 11-6, from memory."""
    result = judged(loaded, {"w": wire})
    assert result["facts"].get("wire_risk.w", {}).get("value") == risk
    assert result["grade"] == grade


def test_a_horn_may_lose_more_and_six_volts_half(loaded: Ask) -> None:
    # 14 AWG, 12 ft, 20 A: 0.00306 x 12 x 20 = 0.73 V
    wire = {"gauge": typed("14", "AWG"), "length": typed("12", "ft"), "load": typed("15", "A")}
    assert facts(loaded, wire)["wire_risk"] == "drop"  # 0.55 V of 0.5
    horn = {**wire, "circuit": "horn"}
    assert "wire_risk" not in facts(loaded, horn)
    assert facts(loaded, horn, car={"volts": "6"})["wire_risk"] == "drop"


def test_the_worst_wire_grades_the_item_and_is_named(loaded: Ask) -> None:
    wires = {
        "a": {"circuit": "lights", "state": "nibbled", "gauge": typed("16", "AWG")},
        "b": {"circuit": "fuel-pump", "state": "bare", "fuse": "none", "gauge": typed("14", "AWG")},
        "c": {"circuit": "Rally clock", "state": "cut"},
    }
    result = judged(loaded, wires)
    assert result["grade"] == "dangerous"
    sentences = [said(reason["said"], {}) for reason in result["reasons"]]
    assert sentences[0] == "Fuel pump, 14 AWG: bare and live, it can start a fire."
    assert "Rally clock: cut." in sentences
    assert said(result["facts"]["wire_bears.b"]["said"], {}).startswith(
        "Carries in a harness, Fuel pump, 14 AWG: 10"
    )


def test_rear_light_wires_are_no_grave_fault(loaded: Ask) -> None:
    item = "rodents.rear-wiring"
    assert judged(loaded, {"w": {"state": "cut"}}, item)["grade"] == "minor"
    assert judged(loaded, {"w": {"state": "cut", "near": "fuel"}}, item)["grade"] == "dangerous"


def test_whole_wires_settle_nothing(loaded: Ask) -> None:
    whole = {"state": "insulated", "fuse": "fuse", "gauge": typed("14", "AWG")}
    assert judged(loaded, {"w": whole})["state"] == "open"


def test_no_damage_beside_a_damaged_wire_is_asked(loaded: Ask) -> None:
    more = {f"items/{ITEM}/choice": "sound"}
    result = judged(loaded, {"w": {"state": "bare"}}, **more)
    assert [problem["code"] for problem in result["problems"]] == ["contradiction"]


def test_a_bunch_counts_its_wires(loaded: Ask) -> None:
    wires = {
        "a": {"kind": "bunch", "count": typed("12", "1"), "where": "firewall", "state": "nibbled"},
        "b": {"circuit": "fan", "state": "cut", "fuse": "none"},
        "c": {"circuit": "stereo", "state": "insulated", "fuse": "none"},
        "d": {"circuit": "airbag", "state": "cut"},
    }
    found = judged(loaded, wires, "rodents.engine-wiring")["facts"]
    counts = {name: fact["value"] for name, fact in found.items() if name.startswith("wires_")}
    assert counts == {"wires_all": "14", "wires_feed": "1", "wires_fuse": "2", "wires_safety": "1"}


def test_what_somebody_else_saw_counts_where_it_is_worse(loaded: Ask) -> None:
    path = f"items/{ITEM}/wires/w/state"
    record = cells({"w": {"state": "nibbled"}})
    record[path]["others"] = [{"value": "bare", "at": STAMP}]
    question = {"ask": "item", "bundle": "wires", "item": ITEM, "cells": record}
    result = loaded({**question, "car": {}, "today": "2026-11-30"})["item"]
    assert (result["grade"], result["conflict"]) == ("major", True)


JUNK = st.sampled_from(
    [None, "", "x", 7, True, [], {}, {"typed": 3}, {"typed": "3", "unit": 4}, typed("1e9", "A")]
)
FIELDS = ("kind", "circuit", "gauge", "state", "fuse", "rating", "near", "load", "length", "count")


@settings(deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS), JUNK))
def test_any_record_is_judged(loaded: Ask, wire: Wire) -> None:
    assert judged(loaded, {"w": wire})["state"] in ("open", "done")


SIZES = [row["n"] for row in table()["gauges"]]
FIGURES = st.decimals(Decimal("0.5"), 90, places=1).map(str)


@settings(deadline=None)
@given(st.integers(0, len(SIZES) - 2), FIGURES, FIGURES, FIGURES)
def test_thicker_bears_no_less_and_longer_drops_no_less(
    loaded: Ask, size: int, length: str, further: str, load: str
) -> None:
    def of(n: int, feet: str) -> dict[str, Any]:
        gauge = {"-1": "2/0"}.get(SIZES[n], SIZES[n])
        wire = {"gauge": typed(gauge, "AWG"), "length": typed(feet, "ft"), "load": typed(load, "A")}
        return {k: Fraction(v) for k, v in facts(loaded, wire).items() if k != "wire_risk"}

    thin, thick = of(size, length), of(size + 1, length)
    longer = of(size, str(Decimal(length) + Decimal(further)))
    for name in ("wire_bears", "wire_alone", "wire_fuse_most"):
        assert thin[name] <= thick[name]
    assert thick["wire_drop"] <= thin["wire_drop"] <= longer["wire_drop"]
    assert thin.get("wire_fuse", 0) <= thin["wire_alone"]
    if "wire_fuse" in thin:
        assert thin["wire_fuse"] >= Fraction(load) * Fraction("1.25")
