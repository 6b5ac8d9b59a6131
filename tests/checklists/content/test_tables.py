"""Combinations, conflicts, baseline and assumptions, judged on the real checklists."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.checklists.files import Checklist
from bradawl.checklists.shapes.items import Item
from bradawl.checklists.shapes.tables import Condition
from tests.checklists.judging import assessed


def answers(**choices: str) -> dict[str, Any]:
    return {f"items/{item.replace('__', '.')}/choice": choice for item, choice in choices.items()}


def answers_of(found: dict[str, str]) -> dict[str, Any]:
    """A choice by item, or a grade."""
    values: dict[str, Any] = {}
    for name, answer in found.items():
        is_grade = answer in ("minor", "major", "dangerous")
        value: Any = {"grade": answer} if is_grade else answer
        values[f"items/{name}/{'grade' if is_grade else 'choice'}"] = value
    return values


# The combinations that the issue names; common practice, no source.
PAIRS = [
    (
        {"rodents.battery-lead": "nibbled", "fluids.oil-leak": "wet"},
        "rodents.battery-lead",
        "dangerous",
    ),
    (
        {"rodents.battery-lead": "nibbled", "fluids.fuel-leak": "smell"},
        "rodents.battery-lead",
        "dangerous",
    ),
    (
        {"rodents.battery-lead": "nibbled", "electrical.main-feeds": "unfused"},
        "rodents.battery-lead",
        "dangerous",
    ),
    ({"rust.sills": "soft", "rust.jacking-points": "crushed"}, "rust.sills", "dangerous"),
    ({"brakes.pipes": "pitted", "brakes.fluid-level": "low"}, "brakes.pipes", "dangerous"),
    ({"road.tracking": "crab", "accident.inner-wings": "major"}, "road.tracking", "dangerous"),
    ({"exhaust.pipes": "leaks", "rust.floor": "holed"}, "exhaust.pipes", "dangerous"),
    ({"upkeep.timing-belt": "claimed", "fluids.oil-leak": "wet"}, "upkeep.timing-belt", "major"),
    ({"fluids.oil-filler": "thick", "fluids.coolant": "low"}, "fluids.oil-filler", "major"),
]


@pytest.mark.parametrize(("choices", "item", "grade"), PAIRS)
def test_two_findings_together_are_worse_than_either(
    choices: dict[str, str], item: str, grade: str, bundled: dict[str, Any]
) -> None:
    values = answers_of(choices)
    together = assessed(bundled, values)["items"][item]
    assert together["grade"] == grade
    named = [r for r in together["reasons"] if r["code"] == "combination"]
    assert named
    assert set(named[0]["with"]) | {item} == set(choices)


# Two small things at two ends of the car, or that don't make each other worse: no danger together.
# Common practice, no source.
HARMLESS = [
    {"rodents.rear-wiring": "lamps", "fuel.hoses-bay": "cracked"},
    {"rodents.rear-wiring": "lamps", "fluids.oil-leak": "wet"},
    {"rodents.battery-lead": "nibbled", "fuel.tank": "deep"},
    {"rodents.battery-lead": "nibbled", "fluids.gearbox-leak": "wet"},
    {"electrical.main-feeds": "unfused", "fluids.oil-leak": "wet"},
    {"electrical.main-feeds": "unfused", "electrical.battery": "loose"},
    {"fluids.oil-leak": "drips", "exhaust.pipes": "leaks"},
    {"brakes.pipes": "surface", "brakes.fluid-level": "low"},
    {"brakes.pipes": "surface", "brakes.pedal-firm": "spongy"},
    {"bushings.steering-rack": "little", "steering.column": "play"},
    {"tyres.nuts": "odd", "suspension.wheel-bearings": "rumbles"},
    {"rust.belt-anchors": "surface", "interior.belts-rear": "frayed"},
    {"tyres.damage": "crazed", "suspension.springs": "broken"},
    {"fluids.coolant": "water", "cooling.fan": "cold"},
    {"upkeep.timing-belt": "unknown", "cooling.pump": "hidden"},
    {"lamps.stop": "one", "lamps.position": "rear"},
]


@pytest.mark.parametrize("found", HARMLESS, ids=lambda found: "+".join(found.values()))
def test_two_findings_that_do_not_touch_are_not_raised(
    found: dict[str, str], bundled: dict[str, Any]
) -> None:
    assert assessed(bundled, answers_of(found))["combinations"] == []


def test_two_small_findings_never_make_a_danger(checklist: Checklist) -> None:
    """Each way to meet a combination that makes a danger holds something that is no trifle."""
    items = {item.id: item for item in checklist.items}
    for rule in checklist.combinations:
        if rule.grade != "dangerous":
            continue
        parts = [*rule.all_, *([] if not rule.any_ else [rule.any_[0]])]
        assert any(not _may_be_minor(part, items) for part in parts), rule.id


def _may_be_minor(part: Condition, items: dict[str, Item]) -> bool:
    """Whether a finding that is only minor may meet the condition."""
    if part.fact is not None:
        return False
    for name in part.items:
        known = {choice.id: choice.grade for choice in items[name].choices}
        if part.choice is not None and any(known.get(c) == "minor" for c in part.choice):
            return True
        if part.at_least == "minor" and (not known or "minor" in known.values()):
            return True
    return False


def test_old_tyres_with_low_tread_are_worse_than_either(bundled: dict[str, Any]) -> None:
    values: dict[str, Any] = {}
    for wheel in ("front-left", "front-right", "rear-left", "rear-right"):
        values[f"items/tyres.age/readings/dot/{wheel}"] = {"typed": "1015", "unit": ""}
        for place in ("outer", "middle", "inner"):
            path = f"items/tyres.tread/readings/tread/{wheel}-{place}"
            values[path] = {"typed": "2.5", "unit": "mm"}
    items = assessed(bundled, values)["items"]
    assert items["tyres.tread"]["grade"] == items["tyres.age"]["grade"] == "dangerous"


def test_every_combination_can_happen_and_raises_something(
    checklist: Checklist, bundled: dict[str, Any]
) -> None:
    for rule in checklist.combinations:
        values: dict[str, Any] = {}
        for condition in (*rule.all_, *rule.any_):
            item = next(i for i in checklist.items if i.id == condition.items[0])
            if condition.fact is not None:
                values["items/tyres.age/readings/dot/front-left"] = {"typed": "1010", "unit": ""}
            elif condition.choice is not None:
                known = {i.id: {c.id for c in i.choices} for i in checklist.items}
                name = next(i for i in condition.items if set(condition.choice) & known[i])
                pick = next(c for c in condition.choice if c in known[name])
                values[f"items/{name}/choice"] = pick
            else:
                values[f"items/{item.id}/grade"] = {"grade": condition.at_least}
        held = {one["id"] for one in assessed(bundled, values)["combinations"]}
        assert rule.id in held


def test_wishes_that_work_against_each_other_are_named(bundled: dict[str, Any]) -> None:
    brief = assessed(bundled, {"brief/uses": ["show", "track", "everyday"]})["brief"]
    named = [set(conflict["uses"]) for conflict in brief["conflicts"]]
    assert {"show", "track"} in named
    assert {"show", "everyday"} in named
    assert assessed(bundled, {"brief/uses": ["everyday"]})["brief"]["conflicts"] == []


def test_without_a_receipt_maintenance_is_due_whatever_was_said(bundled: dict[str, Any]) -> None:
    rows = {
        row["id"]: row
        for row in assessed(
            bundled,
            {
                "items/upkeep.engine-oil/choice": "documented",
                "items/upkeep.engine-oil/readings/done_on/one": {"typed": "2026-06", "unit": ""},
                "items/upkeep.brake-fluid/choice": "claimed",
                "items/upkeep.plugs/choice": "seen",
                "items/upkeep.timing-belt/choice": "not-fitted",
            },
        )["baseline"]
    }
    assert not rows["engine-oil"]["due"]
    assert rows["brake-fluid"]["due"]
    assert rows["plugs"]["due"]
    assert rows["coolant"]["due"]  # nobody asked
    assert "timing-belt" not in rows  # a chain


def test_the_baseline_holds_what_the_trade_lists(checklist: Checklist) -> None:
    # common practice, no source
    assert {row.id for row in checklist.baseline} == {
        *("engine-oil", "gearbox-oil", "differential-oil", "coolant", "brake-fluid", "plugs"),
        *("leads", "cap-rotor", "filters", "drive-belts", "timing-belt", "hoses", "grease-points"),
    }


def test_every_assumption_says_that_it_is_one(checklist: Checklist) -> None:
    assert checklist.assumptions is not None
    parts = (checklist.assumptions.drive, checklist.assumptions.attention)
    sources = {part.source for part in (*parts, checklist.assumptions.money)}
    sources |= {item.unseen.source for item in checklist.items if item.unseen}
    sources |= {row.source for row in checklist.baseline}
    assert sources == {"assumption"}


def clean_visit(bundled: dict[str, Any]) -> dict[str, Any]:
    """A known car of which every item that is asked was looked at and found without fault."""
    car: dict[str, Any] = {"car/fuel": "petrol", "car/fuelling": "injection", "car/year": 1990}
    car |= {"car/front_brakes": "disc", "car/rear_brakes": "drum", "car/structure": "unibody"}
    car |= {"car/gearbox": "manual", "car/drive": "front", "car/steering": "rack"}
    car |= {"about/dark": True, "about/wet": True, "about/motorway": True}
    car |= {"about/distance_home": {"typed": "180", "unit": "km"}, "brief/uses": ["everyday"]}
    items = assessed(bundled, car)["items"]
    return car | {
        f"items/{item}/grade": {"grade": "none"} for item, one in items.items() if one["applies"]
    }


def test_a_car_seen_whole_and_sound_may_be_driven_home(bundled: dict[str, Any]) -> None:
    result = assessed(bundled, clean_visit(bundled))
    assert result["drive_home"]["answer"] == "drive"
    assert result["coverage"]["share_percent"] == 100


def test_whatever_the_drive_depends_on_must_have_been_seen(
    checklist: Checklist, bundled: dict[str, Any]
) -> None:
    # Unknown is never fine: each essential item alone, unseen, keeps the car from being cleared.
    clean = clean_visit(bundled)
    essential = [
        item.id
        for item in checklist.items
        if f"items/{item.id}/grade" in clean
        and (item.drive == "essential" or "essential" in item.drive_if.values())
    ]
    assert len(essential) > 40
    for item in essential:
        unseen = {path: value for path, value in clean.items() if path != f"items/{item}/grade"}
        home = assessed(bundled, unseen)["drive_home"]
        assert home["answer"] == "not_cleared", item
        assert [reason["item"] for reason in home["reasons"] if reason["item"] == item]


# One job in two places: a finding's remedy and the maintenance that is due. Common practice.
ONCE = [
    ("fluids.engine-oil", "engine-oil"),
    ("fluids.oil-filler", "engine-oil"),
    ("fluids.coolant", "coolant"),
    ("fluids.coolant-mix", "coolant"),
    ("engine.belts", "drive-belts"),
    ("engine.timing-belt", "timing-belt"),
    ("ignition.plugs", "plugs"),
    ("ignition.leads", "leads"),
    ("ignition.lead-resistance", "leads"),
    ("ignition.cap-rotor", "cap-rotor"),
    ("brakes.fluid-level", "brake-fluid"),
    ("brakes.fluid-water", "brake-fluid"),
    ("cooling.hoses", "hoses"),
]


@pytest.mark.parametrize(("item", "row"), ONCE)
def test_a_job_that_a_finding_and_the_maintenance_ask_for_is_paid_once(
    item: str, row: str, bundled: dict[str, Any]
) -> None:
    plain = {line["id"] for line in assessed(bundled, {})["money"]["lines"]}
    assert f"baseline/{row}" in plain
    grade = {f"items/{item}/grade": {"grade": "major", "why": "seen"}}
    money = assessed(bundled, grade)["money"]
    lines = {line["id"] for line in money["lines"]}
    assert len(lines) == len(plain)
    assert any(item in line["covers"] for line in money["lines"])


def test_two_findings_that_one_job_puts_right_pay_it_once(bundled: dict[str, Any]) -> None:
    pairs = [
        ("brakes.fluid-level", "brakes.fluid-water"),
        ("fluids.coolant", "fluids.coolant-mix"),
        ("papers.legal-today", "papers.last-inspection"),
        ("rodents.injector-leads", "cooling.sensor"),
        ("accident.rails-straight", "accident.diagonals"),
        ("steering.gear", "steering.free-play"),
    ]
    for pair in pairs:
        grades = {f"items/{one}/grade": {"grade": "major", "why": "seen"} for one in pair}
        lines = assessed(bundled, grades)["money"]["lines"]
        assert len([line for line in lines if set(line["covers"]) & set(pair)]) == 1, pair


def test_an_old_spare_alone_is_priced_as_one_tyre_and_keeps_no_car_off_the_road(
    bundled: dict[str, Any],
) -> None:
    """Common practice, no source: the car does not stand on it."""
    wheels = ("front-left", "front-right", "rear-left", "rear-right")
    values: dict[str, Any] = {
        f"items/tyres.age/readings/dot/{wheel}": {"typed": "0124", "unit": ""} for wheel in wheels
    }
    values["items/tyres.spare/readings/dot/spare"] = {"typed": "0101", "unit": ""}
    values["items/tyres.spare/choice"] = "good"
    values["items/tyres.damage/choice"] = "crazed"
    said = assessed(bundled, values)
    one = said["items"]["tyres.spare"]
    assert one["grade"] == "minor"
    assert one["reasons"][0]["fact"] == "spare_age"
    assert said["items"]["tyres.age"]["grade"] == "none"
    assert said["items"]["tyres.damage"]["grade"] == "minor"
    lines = [line for line in said["money"]["lines"] if "tyres.spare" in line["covers"]]
    assert [line["id"] for line in lines] == ["tyres.spare/tyre"]
    assert "tyres.spare" not in [one["item"] for one in said["drive_home"]["reasons"]]


KERB_LINE = 100  # characters of a sentence that is read at arm's length: two lines on a phone


def test_a_sentence_at_the_kerb_of_two_findings_is_read_in_two_lines(
    checklist: Checklist,
) -> None:
    titles = {item.id: item.title for item in checklist.items}
    for rule in checklist.combinations:
        named = [
            one
            for met in rule.all_ + rule.any_
            for one in ([met.item] if isinstance(met.item, str) else met.item)
        ]
        for item in rule.raises or named:
            line = f"{titles[item]}: {rule.grade}. {rule.reason}"
            assert len(line) <= KERB_LINE, line
