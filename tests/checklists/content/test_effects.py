"""What the faults of our checklists do to the drive and to the purchase.

Each car is sound but for what is named. Common practice of the trade, no source; that a salvage
or junk title keeps a car off the road: state title law, from memory.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any, get_args

import pytest

from bradawl.checklists.files import Checklist
from bradawl.judge import assess
from bradawl.judge.values.types.terms import Place
from tests.judge.cars.whole_cars import real, record_of
from tests.judge.records import TODAY, cell

ON_THE_WAY = ("hurts", "immobilizes", "limits")
CAR: dict[str, Any] = {
    "asked": 4000,
    "value": 9000,
    "rest": "fine",
    "seen": {},
    "facts": {
        "car/year": "1999",
        "car/cylinders": "6",
        "car/fuel": "petrol",
        "car/airbags": "yes",
        "car/gearbox": "manual",
        "car/steering": "rack",
        "car/structure": "unibody",
    },
}


@cache
def sound() -> dict[str, Any]:
    cells: dict[str, Any] = record_of(CAR)["cells"]
    return cells


def assessed(found: dict[str, str], **about: Any) -> Any:
    cells = {path: value for path, value in sound().items() if path.split("/")[1] not in found}
    for item, answer in found.items():
        graded = answer in ("minor", "major", "dangerous")
        path = f"items/{item}/{'grade' if graded else 'choice'}"
        cells[path] = cell({"grade": answer} if graded else answer)
    for name, value in about.items():
        cells[f"about/{name}"] = cell(value)
    return assess({"visit": "v", "cells": cells}, real()["rules"], TODAY)


def drive(found: dict[str, str], **about: Any) -> tuple[str, set[str]]:
    """The answer, and what the drive home must leave out."""
    answer = assessed(found, **about)["drive_home"]
    return answer["answer"], set(re.findall(r"judge-easy-([a-z-]+)", str(answer["said"])))


def test_a_sound_car_is_driven_home_and_may_be_bought() -> None:
    assert drive({}) == ("drive", set())
    assert assessed({})["decision"]["buy"] == "buy"


TRAILER: list[dict[str, str]] = [
    {"engine.start": "never"},
    {"engine.noise": "knock"},
    {"engine.belts": "missing"},
    {"road.temperature": "climbs"},
    {"cooling.hot-look": "boils"},
    {"fluids.engine-oil": "low"},
    {"fluids.engine-oil": "milky"},
    {"fluids.coolant-leak": "wet"},
    {"fluids.coolant": "oil"},
    {"interior.gauges": "oil"},
    {"electrical.cranking": "dead"},
    {"road.clutch": "drags"},
    {"brakes.parking": "seized"},
    {"equipment.can-be-loaded": "stuck"},
    {"suspension.air": "down"},
    {"papers.legal-today": "no"},
    {"papers.recalls": "stop"},
    {"interior.fumes": "strong"},
    {"rodents.battery-lead": "bare"},
    {"tyres.tread": "bald"},
    {"steering.column": "loose"},
    {"rust.rails": "holed"},
    {"accident.rails-straight": "dangerous"},
    # worse together than alone, and an answer that alone only limits the drive hides none of it
    {"road.tracking": "crab", "accident.diagonals": "major"},
    {"electrical.main-feeds": "unfused", "fuel.hoses-bay": "cracked"},
    {"exhaust.pipes": "leaks", "rust.floor": "holed"},
]


@pytest.mark.parametrize("found", TRAILER, ids=lambda found: "+".join(map("=".join, found.items())))
def test_what_hurts_or_would_not_make_it_goes_on_a_trailer(found: dict[str, str]) -> None:
    assert drive(found)[0] == "trailer"


#: What each fault keeps a driver from; a speed off the highway is said with the highway.
LIMITS: list[tuple[dict[str, str], set[str]]] = [
    ({"lamps.headlamps": "one"}, {"dark"}),
    ({"lamps.headlamps": "none"}, {"dark", "wet"}),
    ({"lamps.position": "rear"}, {"dark", "wet"}),
    ({"lamps.indicators": "side"}, {"dark", "motorway"}),
    ({"glass.wipers": "dead"}, {"wet"}),
    ({"glass.windscreen": "major"}, {"dark", "wet"}),
    ({"tyres.tread": "bars"}, {"wet", "motorway"}),
    ({"tyres.age": "major"}, {"motorway", "far", "load"}),
    ({"suspension.wheel-bearings": "rumbles"}, {"motorway", "far"}),
    ({"suspension.dampers": "leaks"}, {"wet", "motorway"}),
    ({"bushings.control-arms-front": "torn"}, {"motorway"}),
    ({"suspension.bounce": "rocks"}, {"wet", "fast"}),
    ({"accident.water": "flood"}, {"dark", "motorway", "far"}),
    ({"electrical.charging": "major"}, {"dark", "wet", "far"}),
    ({"engine.start": "help"}, {"far"}),
    ({"fluids.oil-leak": "drips"}, {"far"}),
    ({"cooling.fan": "dead"}, {"far"}),
    ({"road.clutch": "slips"}, {"motorway", "far", "towing", "load"}),
    ({"transmission.propeller-shaft": "play"}, {"motorway", "far"}),
    ({"rodents.engine-wiring": "bare"}, {"dark", "wet", "motorway", "far"}),
    ({"upkeep.timing-belt": "unknown"}, {"motorway"}),
]


@pytest.mark.parametrize(
    ("found", "limits"), LIMITS, ids=lambda one: "+".join(one.values()) if "." in str(one) else ""
)
def test_the_limit_fits_the_fault(found: dict[str, str], limits: set[str]) -> None:
    assert drive(found) == ("limits", limits)


USES: list[tuple[dict[str, str], set[str]]] = [
    ({"interior.belts-rear": "fails"}, {"rear-seat"}),
    ({"interior.other-seats": "dangerous"}, {"rear-seat"}),
    ({"body.tow-bar": "loose"}, {"towing"}),
    ({"lamps.trailer-socket": "unsafe"}, {"towing"}),
    ({"equipment.roof-load": "dangerous"}, {"load"}),
    ({"rust.boot-floor": "holed"}, {"load"}),
    ({"brakes.parking": "weak"}, {"towing", "load"}),
]


@pytest.mark.parametrize(("found", "uses"), USES)
def test_a_seat_a_hitch_or_a_bed_keeps_nobody_from_driving_home(
    found: dict[str, str], uses: set[str]
) -> None:
    assert drive(found) == ("drive", uses)


def test_a_tired_bearing_is_no_matter_for_a_long_way_home() -> None:
    found = {"suspension.wheel-bearings": "rumbles"}
    assert drive(found, distance_home={"typed": "20", "unit": "mi"})[0] == "limits"
    assert drive(found, distance_home={"typed": "300", "unit": "mi"})[0] == "trailer"
    # a lamp waits for daylight, however far it is
    dim = {"lamps.headlamps": "one"}
    assert drive(dim, distance_home={"typed": "300", "unit": "mi"}, dark=True)[0] == "limits"


STOPS: list[dict[str, str]] = [
    {"papers.debts": "hit"},
    {"papers.number-match": "differs"},
    {"papers.number-match": "missing"},
    {"papers.number-tampering": "major"},
    {"papers.registration": "other"},
    {"papers.registration": "missing"},
    {"papers.lien": "open"},
    {"papers.odometer": "falls"},
    {"papers.certification-label": "differs"},
]


@pytest.mark.parametrize("found", STOPS, ids=lambda found: "+".join(map("=".join, found.items())))
def test_nothing_is_bought_before_the_papers_are_cleared(found: dict[str, str]) -> None:
    got = assessed(found)
    assert got["decision"]["buy"] == "not_until"
    # what stops the deal is no fault of the car
    assert got["drive_home"]["answer"] == "drive"


def test_papers_with_more_miles_than_the_dial_stop_the_deal_and_a_dead_dial_does_not() -> None:
    path = "items/papers.odometer/"
    cells = {
        **sound(),
        path + "choice": cell("rises"),
        path + "readings/last-recorded/one": cell({"typed": "180000", "unit": "mi"}),
        "car/odometer": cell({"typed": "142000", "unit": "mi"}),
    }
    got = assess({"visit": "v", "cells": cells}, real()["rules"], TODAY)
    assert got["decision"]["buy"] == "not_until"
    assert assessed({"papers.odometer": "stopped"})["decision"]["buy"] != "not_until"


@pytest.mark.parametrize(
    "found",
    [
        {"papers.title-brands": "junk"},
        {"accident.water": "flood"},
        {"accident.rails-straight": "dangerous"},
    ],
)
def test_some_cars_are_not_bought_at_all(found: dict[str, str]) -> None:
    assert assessed(found)["decision"]["buy"] == "walk"


@pytest.mark.parametrize("brand", ["salvage", "junk"])
def test_a_title_that_cannot_be_registered_keeps_the_car_off_the_road(brand: str) -> None:
    answer = assessed({"papers.title-brands": brand})["drive_home"]
    assert answer["answer"] == "trailer"
    assert answer["said"]["id"] == "judge-answer-trailer-law"


def test_a_damp_shell_and_an_old_crack_in_the_wiring_are_no_flood() -> None:
    got = assessed({"accident.water": "damp", "electrical.looms": "minor"})
    assert got["items"]["accident.water"]["grade"] == "minor"
    assert got["decision"]["buy"] != "walk"


def test_no_danger_is_made_milder_but_where_nobody_is_in_its_way(checklist: Checklist) -> None:
    """A dangerous fault hurts unless its own effects say who is out of its way, and why."""
    milder = {
        item.id
        for item in checklist.items
        for effect in item.effects
        if effect.does == "limits" and _is_of_danger(item, effect.on)
    }
    assert milder == {
        "lamps.headlamps",  # waits for daylight and a dry road
        "body.tow-bar",
        "interior.belts-rear",
        "interior.other-seats",
        "equipment.roof-load",
        "brakes.parking",  # the brakes that stop it are others
    }


def _is_of_danger(item: Any, on: list[str]) -> bool:
    dangers = {choice.id for choice in item.choices if choice.grade == "dangerous"}
    return "dangerous" in on or bool(dangers & set(on))


def test_an_effect_of_an_answer_is_of_one_that_is_a_fault(checklist: Checklist) -> None:
    for item in checklist.items:
        grades = {choice.id: choice.grade for choice in item.choices}
        grades.update({limit.of: limit.grade for limit in item.limits})
        for effect in item.effects:
            for name in effect.on:
                assert grades.get(name, name) in ("minor", "major", "dangerous"), (item.id, name)


def test_no_answer_has_the_same_effect_twice(checklist: Checklist) -> None:
    for item in checklist.items:
        grades = {choice.id: choice.grade for choice in item.choices}
        said = [
            (effect.does in ON_THE_WAY or effect.does, name)
            for effect in item.effects
            for name in effect.on
        ]
        assert len(said) == len(set(said)), item.id
        for kind, name in said:
            # a factor for a grade and one for an answer of that grade would both be taken
            assert (kind, grades.get(name)) not in said or kind is True, (item.id, name)


def test_what_must_be_near_has_places_to_be_near_at(checklist: Checklist) -> None:
    """A combination of what is near holds at some place of the car for each way to meet it."""
    places = {item.id: set(item.places or get_args(Place)) for item in checklist.items}
    for rule in checklist.combinations:
        if rule.near:
            sides = [set().union(*(places[i] for i in part.items)) for part in rule.all_]
            assert set.intersection(*sides), rule.id
            assert any(len(places[i]) < len(get_args(Place)) for p in rule.all_ for i in p.items)
