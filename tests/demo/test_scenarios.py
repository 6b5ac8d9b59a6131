"""What demo/*.yaml says exists in the checklists, and tells a whole story."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from datetime import date
from typing import Any

import pytest

from bradawl.common import resources
from bradawl.demo.phone import Phone, visit_of
from bradawl.demo.scenario import Finding, Scenario, read
from bradawl.desk.model.profiles.figures import groups
from bradawl.desk.model.profiles.shop_models import ALIKE, Figure, ModelsFile, plain
from bradawl.judge import assess, fold, photos_text
from bradawl.judge.record.shop_models import is_model
from tests.log.sync import reference

FILES = sorted(file.stem for file in resources.path_of("demo").glob("*.yaml"))
GRADES = {"none", "minor", "major", "dangerous", "uninspected"}

# 49 CFR 565.15, tables III to V: what a character is worth and what its place weighs.
WORTH = {str(digit): digit for digit in range(10)} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", [*range(1, 9), *range(1, 6), 7, 9, *range(2, 10)], strict=True)
)
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
# The same, table VII, for the years that the demo's cars were built in.
YEAR_CODES = {1988: "J", 1993: "P"}


@pytest.fixture(params=FILES)
def scenario(request: pytest.FixtureRequest) -> Scenario:
    (found,) = [s for s in read(resources.path_of("demo")) if s.key == request.param]
    return found


def recorded(scenario: Scenario) -> list[Finding]:
    second = scenario.second.findings if scenario.second else []
    return [*scenario.findings, *scenario.amendments, *second]


def events_of(played: list[Phone], scenario: Scenario) -> list[dict[str, Any]]:
    scope = f"inspection/{visit_of(scenario)}"
    return [event for phone in played for event in phone.events if event["scope"] == scope]


def judgement(scenario: Scenario, checklist: dict[str, Any], played: list[Phone]) -> dict[str, Any]:
    record = {"visit": visit_of(scenario), "cells": fold(events_of(played, scenario))}
    said: dict[str, Any] = assess(record, checklist["rules"], "2026-11-25")
    return said


def test_every_item_reading_choice_place_and_unit_is_in_the_checklists(
    scenario: Scenario, checklist: dict[str, Any]
) -> None:
    items = {item["id"]: item for item in checklist["items"]}
    readings_of_all = [one for item in items.values() for one in item.get("readings") or []]
    places = {place for reading in readings_of_all for place in reading.get("at") or []}
    wrong = []
    for finding in recorded(scenario):
        for photo in finding.photos:
            if photo.place and photo.place not in places:
                wrong.append(f"{finding.item}: no place {photo.place} of a photo")
        item = items.get(finding.item)
        if item is None:
            wrong.append(f"{finding.item}: no such item")
            continue
        readings = {reading["id"]: reading for reading in item.get("readings") or []}
        for name, written in finding.readings.items():
            kind, _, place = name.partition("/")
            if kind not in readings:
                wrong.append(f"{finding.item}: no reading {kind}")
                continue
            if (place or "one") not in (readings[kind].get("at") or ["one"]):
                wrong.append(f"{finding.item}: no place {place} of {kind}")
            units = readings[kind].get("units") or []
            if units and written.rpartition(" ")[2] not in units:
                wrong.append(f"{finding.item}: {written!r} is not in {units}")
        if finding.choice and finding.choice not in [c["id"] for c in item.get("choices") or []]:
            wrong.append(f"{finding.item}: no choice {finding.choice}")
        if finding.grade and finding.grade not in GRADES:
            wrong.append(f"{finding.item}: no grade {finding.grade}")
        if finding.grade == "uninspected" and not finding.why:
            wrong.append(f"{finding.item}: not inspected, and nobody says why")
    assert wrong == []


def test_the_judge_finds_no_problem_and_an_answer_in_every_item(
    scenario: Scenario, checklist: dict[str, Any], played: list[Phone]
) -> None:
    judged = judgement(scenario, checklist, played)["items"]
    problems = {item: said["problems"] for item, said in judged.items() if said["problems"]}
    assert problems == {}
    answered = {finding.item for finding in recorded(scenario)}
    assert [i for i in sorted(answered) if judged[i]["state"] == "open"] == []
    assert [i for i in sorted(answered) if not judged[i]["applies"]] == []


def test_the_vehicle_number_is_invented_and_adds_up(scenario: Scenario) -> None:
    """49 CFR 565.15 (check digit and year code), in force for model years from 1981: numbers before
    had other lengths (from memory). ZZZ is a maker's code nobody was given."""
    vin, year = scenario.car["vin"], int(scenario.car["year"])
    assert vin.startswith("ZZZ")
    if year < 1981:
        assert len(vin) < 17
        return
    total = sum(WORTH[letter] * weight for letter, weight in zip(vin, WEIGHTS, strict=True))
    assert vin[8] == ("X" if total % 11 == 10 else str(total % 11))
    assert vin[9] == YEAR_CODES[year]


def test_a_seal_covers_what_was_recorded_before_it_and_holds(
    scenario: Scenario, played: list[Phone]
) -> None:
    events = events_of(played, scenario)
    seals = [event for event in events if event["put"].startswith("seal/")]
    assert len(seals) == (1 if scenario.seal else 0)
    for seal in seals:
        reach = seal["value"]["through"]
        covered = [e for e in events if e["seq"] <= reach.get(e["device"], 0)]
        cells = fold(covered)
        leaves = reference.canonical(reference.leaves(covered))
        assert all(event["at"] < seal["at"] for event in covered)
        assert seal["value"]["leaves"] == hashlib.sha256(leaves.encode()).hexdigest()
        photos = photos_text(cells)
        assert seal["value"]["photos"]["hash"] == hashlib.sha256(photos.encode()).hexdigest()
        assert seal["value"]["photos"]["count"] == photos.count('"') // 2
        after = [e for e in events if e["device"] == seal["device"] and e["at"] > seal["at"]]
        assert len(after) == len([e for e in events if e["seq"] > reach.get(e["device"], 0)]) - 1


def test_the_main_car_tells_a_whole_story(
    main_car: Scenario, checklist: dict[str, Any], played: list[Phone]
) -> None:
    cells = fold(events_of(played, main_car))
    judged = judgement(main_car, checklist, played)
    areas = {finding.item.split(".")[0] for finding in main_car.findings}
    photos = [path for path in cells if "/photos/" in path]
    assert areas >= {
        "papers",
        "rust",
        "accident",
        "bushings",
        "brakes",
        "rodents",
        "fluids",
        "road",
    }
    assert 24 <= len(photos) <= 40
    assert judged["drive_home"]["answer"] == "trailer"
    assert {"none", "minor", "major", "dangerous", "uninspected"} <= {
        said["grade"] for said in judged["items"].values()
    }
    unseen = [f for f in main_car.findings if f.grade == "uninspected"]
    assert 12 <= len(unseen) <= 20


def test_the_main_car_has_forty_odd_findings_and_one_in_each_area_a_report_begins_with(
    main_car: Scenario, checklist: dict[str, Any], played: list[Phone]
) -> None:
    """More would be read by nobody; all that the judge grades counts, combinations included."""
    judged = judgement(main_car, checklist, played)
    grades = Counter(judged["items"][item]["grade"] for item in judged["findings"])
    assert set(grades) == {"minor", "major", "dangerous"}
    assert 40 <= grades.total() <= 49
    assert 5 <= grades["dangerous"] <= 7
    assert 12 <= grades["major"] <= 17
    first = {area["id"] for area in checklist["areas"] if int(area["report_order"]) <= 6}
    assert len(first) == 6
    assert first <= {item.split(".")[0] for item in judged["findings"]}
    assert {item["by"] for item in judged["items"].values()} >= {"combination", "reading", "choice"}


def test_the_cheap_car_is_dangerous_and_the_dear_one_is_not(
    scenarios: list[Scenario],
    main_car: Scenario,
    shared_car: Scenario,
    cheap_car: Scenario,
    checklist: dict[str, Any],
    played: list[Phone],
) -> None:
    main, shared, cheap = [
        judgement(one, checklist, played) for one in (main_car, shared_car, cheap_car)
    ]
    grades = {
        name: Counter(said["items"][item]["grade"] for item in said["findings"])
        for name, said in (("main", main), ("shared", shared), ("cheap", cheap))
    }
    asked = [int(one.about["asking_price"]) for one in (cheap_car, main_car, shared_car)]
    assert asked == sorted(set(asked))
    assert main["money"]["price"]["walk_away"] > asked[1]
    assert cheap["money"]["price"]["bound"] < asked[0]  # whatever the rest is like
    assert cheap["drive_home"]["answer"] == "trailer"
    assert grades["cheap"]["dangerous"] > grades["main"]["dangerous"]
    assert shared["drive_home"]["answer"] == "limits"
    assert grades["shared"]["dangerous"] == 0
    assert grades["shared"].total() < grades["main"].total() / 2
    for one in scenarios:
        photos = sum(len(finding.photos) for finding in recorded(one))
        assert one is main_car or photos <= 6


def test_the_two_phones_disagree(
    shared_car: Scenario, checklist: dict[str, Any], played: list[Phone]
) -> None:
    """Not signed: a choice and a reading of two phones that had seen nothing of each other."""
    cells = fold(events_of(played, shared_car))
    parted = {path.split("/")[2] for path, cell in cells.items() if cell["others"]}
    assert parted >= {"choice", "readings"}
    assert not shared_car.seal


def test_the_cars_are_american_and_of_three_kinds(
    scenarios: list[Scenario], checklist: dict[str, Any]
) -> None:
    """Dollars, miles, and the units of the trade there (common practice, no source): no reading is
    in a unit of the metric system where the checklist offers one that an American gauge shows."""
    metric = {"mm", "um", "km", "m", "bar", "kPa", "degC", "N", "daN", "kN", "kgf"}
    offered = {
        (item["id"], reading["id"]): set(reading.get("units") or [])
        for item in checklist["items"]
        for reading in item.get("readings") or []
    }
    for one in scenarios:
        assert (one.about["region"], one.about["currency"]) == ("us", "USD")
        assert {one.about["distance_home"][-3:], one.car["odometer"][-3:]} == {" mi"}
        for finding in recorded(one):
            for name, written in finding.readings.items():
                units = offered[finding.item, name.partition("/")[0]]
                assert written.rpartition(" ")[2] not in units & metric, (finding.item, written)
        papers = {finding.item for finding in one.findings}
        assert papers >= {"papers.registration", "papers.title-brands", "papers.lien"}
    assert {one.car["fuelling"] for one in scenarios} == {"carburettor", "injection"}
    assert {one.car["cylinders"] for one in scenarios} >= {"6", "8"}
    assert {one.car["structure"] for one in scenarios} == {"unibody", "frame"}
    years = sorted(int(one.car["year"]) for one in scenarios)
    assert years[-1] - years[0] >= 20


def test_visits_lie_in_the_past_of_the_day_the_demo_was_written(scenario: Scenario) -> None:
    days = [scenario.started.date, *[f.day for f in recorded(scenario) if f.day]]
    assert max(date.fromisoformat(day) for day in days) <= date(2026, 11, 29)


def test_the_models_of_the_demo_are_a_file_that_the_desk_takes(
    checklist: dict[str, Any], scenarios: list[Scenario]
) -> None:
    data = (resources.path_of("demo") / "models.json").read_text(encoding="utf-8")
    file = ModelsFile.model_validate(json.loads(data))
    [model] = file.models
    fields = {
        field.name: field
        for group in groups(checklist, {"body_style": "wagon"})
        for field in group.fields
    }
    for name, value in model.facts.items():
        if isinstance(value, Figure):
            assert value.unit in fields[name].units, name
        elif name in fields:
            assert value in dict(fields[name].choices), name
        else:
            assert name in ALIKE
    assert {row.item for row in model.look} <= set(checklist["rules"]["items"])
    cars = [{**one.car, "year": int(one.car["year"])} for one in scenarios]
    assert [is_model(plain(model), car) for car in cars].count(True) == 1
