"""What must never be asked for: the cautions and instructions that keep a person whole.

Rodents: the CDC's page on cleaning up after rodents (gloves, 1 part bleach to 9 of water, five
minutes, never sweep or vacuum; air out for 30 minutes), read in a stored copy. The rest: common
practice, no source.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from bradawl.checklists.files import Checklist
from bradawl.judge import assess
from tests.checklists.judging import STAMP, TODAY, assessed, cells

UNDER = {"under-car", "jacking"}
HELPER = re.compile(r"\b(some(body|one)|helper|passenger)\b", re.IGNORECASE)
FAN_OR_AIR = ("interior.heater", "interior.aircon", "glass.demist", "interior.fumes")


def test_nobody_is_in_or_at_the_car_while_another_is_under_it(checklist: Checklist) -> None:
    said = checklist.cautions["under-car"].text
    assert "Nobody sits in the car, rocks it, turns the wheel or presses a pedal" in said
    asked = [
        item.id
        for item in checklist.items
        if UNDER & set(item.cautions) and HELPER.search(item.how)
    ]
    assert asked == []


def test_what_wants_two_people_has_a_way_alone(checklist: Checklist) -> None:
    alone = re.compile(r"alone|phone|stick|wall|yourself|seller|Never|written", re.IGNORECASE)
    unsaid = [i.id for i in checklist.items if HELPER.search(i.how) and not alone.search(i.how)]
    assert unsaid == []


@pytest.mark.parametrize("item", FAN_OR_AIR)
def test_no_fan_before_the_nest_check(item: str, checklist: Checklist) -> None:
    one = next(i for i in checklist.items if i.id == item)
    assert "nest check found nothing" in one.how
    assert "rodent-dirt" in one.cautions
    if "fan off" not in one.how:
        assert "rodents.cabin" in one.needs


def test_no_other_check_asks_for_the_blower(checklist: Checklist) -> None:
    blows = re.compile(r"\b(blower on|fan on)\b", re.IGNORECASE)
    assert {i.id for i in checklist.items if blows.search(i.how)} <= set(FAN_OR_AIR)


def test_the_rodent_caution_is_that_of_the_cdc(checklist: Checklist) -> None:
    said = checklist.cautions["rodent-dirt"].text
    for must in ("30 minutes", "Gloves", "1 part bleach to 9 parts water", "wait 5 minutes"):
        assert must in said
    assert "Never sweep, blow or vacuum it dry" in said


def test_nobody_opens_a_hot_cooling_system(checklist: Checklist) -> None:
    for item in checklist.items:
        if item.stage in ("warm", "hot", "road") and "radiator" in item.how:
            assert "Never open" in item.how, item.id


def test_a_stripped_car_is_one_finding_and_not_fifty_unknowns(bundled: dict[str, Any]) -> None:
    car = {"car/year": 1970, "car/fuel": "petrol"}
    whole = assessed(bundled, car)["coverage"]["total"]
    gone = assessed(bundled, {**car, "items/equipment.inventory/choice": "shell"})
    assert gone["coverage"]["total"] <= whole - 40
    assert not gone["items"]["engine.start"]["applies"]
    assert gone["drive_home"]["answer"] == "trailer"
    assert "equipment.inventory/large" in [line["id"] for line in gone["money"]["lines"]]


def test_what_is_missing_is_priced_by_what_it_is(bundled: dict[str, Any]) -> None:
    """A seat costs less than seats, seats less than an engine, and a bare shell the most."""
    car = {"car/year": 1970, "car/fuel": "petrol"}
    costs = []
    for gone in ("seat", "seats", "interior", "engine", "drivetrain", "shell"):
        money = assessed(bundled, {**car, "items/equipment.inventory/choice": gone})["money"]
        lines = [line for line in money["lines"] if line["item"] == "equipment.inventory"]
        assert len(lines) == 1, gone
        costs.append(lines[0]["expected"])
    assert costs == sorted(set(costs))
    assert costs[0] < 500 < 5000 < costs[-1]


def test_where_two_people_differ_on_what_is_missing_the_dearer_counts(
    bundled: dict[str, Any],
) -> None:
    answered = cells({"car/year": 1970, "items/equipment.inventory/choice": "interior"})
    answered["items/equipment.inventory/choice"]["others"] = [{"value": "shell", "at": STAMP}]
    money = assess({"visit": "v", "cells": answered}, bundled["rules"], TODAY)["money"]
    assert "equipment.inventory/large" in [line["id"] for line in money["lines"]]


@pytest.mark.parametrize(
    ("item", "choice", "remedy"),
    [
        ("glass.side-rear", "cracked", "glass"),
        ("glass.side-rear", "film", "strip"),
        ("tyres.spare", "old", "tyre"),
        ("equipment.inventory", "trim", "trim"),
    ],
)
def test_a_remedy_for_one_answer_is_for_no_other(
    bundled: dict[str, Any], item: str, choice: str, remedy: str
) -> None:
    car = {"car/year": 1995, "brief/uses": ["project"], f"items/{item}/choice": choice}
    lines = assessed(bundled, car)["money"]["lines"]
    assert [line["id"] for line in lines if line["item"] == item] == [f"{item}/{remedy}"]


@pytest.mark.parametrize(
    ("choices", "item", "grade"),
    [
        # 40 CFR 85.2207 (a) to (c), read: a dead connector, a light commanded on, dark or lit
        ({"engine.readiness": "dead"}, "engine.readiness", "major"),
        ({"engine.readiness": "dark"}, "engine.readiness", "major"),
        ({"engine.readiness": "lit"}, "engine.readiness", "major"),
        # common practice, no source
        ({"suspension.kingpins": "loose"}, "suspension.kingpins", "dangerous"),
        ({"electrical.fusible-links": "bridged"}, "electrical.fusible-links", "major"),
        ({"electrical.high-voltage": "damaged"}, "electrical.high-voltage", "dangerous"),
        ({"brakes.circuits": "one", "brakes.pipes": "pitted"}, "brakes.pipes", "dangerous"),
        ({"brakes.circuits": "two", "brakes.pipes": "pitted"}, "brakes.pipes", "major"),
        ({"transmission.converter": "slips"}, "transmission.converter", "major"),
    ],
)
def test_what_was_missing_from_the_list_is_rated(
    choices: dict[str, str], item: str, grade: str, bundled: dict[str, Any]
) -> None:
    values = {f"items/{name}/choice": choice for name, choice in choices.items()}
    assert assessed(bundled, values)["items"][item]["grade"] == grade
