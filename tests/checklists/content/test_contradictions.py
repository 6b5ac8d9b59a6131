"""The contradictions of the real checklists: each can happen, and is asked of its items.

What contradicts what is common practice, no source; the three first cases are those that the
project's own trial of the phone found to pass unasked.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.checklists.files import Checklist
from tests.checklists.judging import assessed, judge


def questions(bundled: dict[str, Any], values: dict[str, Any]) -> dict[str, list[str]]:
    return {row["id"]: row["items"] for row in assessed(bundled, values)["questions"]}


def test_a_car_that_never_starts_was_not_driven(bundled: dict[str, Any]) -> None:
    values = {
        "items/engine.start/choice": "never",
        "items/road.brake-stop/choice": "straight",
        "items/engine.noise/choice": "quiet",
        "items/interior.fumes/choice": "faint",
    }
    assert questions(bundled, values) == {
        "dead-engine-driven": ["engine.start", "road.brake-stop"],
        "dead-engine-heard": ["engine.noise", "engine.start"],
        "dead-engine-smelled": ["engine.start", "interior.fumes"],
    }


def test_paper_beyond_the_dial_is_a_fault_and_a_question(bundled: dict[str, Any]) -> None:
    reading = {"typed": "180000", "unit": "mi"}
    values = {
        "items/papers.odometer/readings/last-recorded/one": reading,
        "items/papers.odometer/choice": "rises",
        "car/odometer": {"typed": "142000", "unit": "mi"},
    }
    assert questions(bundled, values) == {"paper-beyond-dial": ["papers.odometer"]}
    assert assessed(bundled, values)["items"]["papers.odometer"]["grade"] == "major"
    values["car/odometer"] = {"typed": "180000", "unit": "mi"}
    assert questions(bundled, values) == {}
    assert assessed(bundled, values)["items"]["papers.odometer"]["grade"] == "none"


def test_a_vin_of_another_year_is_asked(bundled: dict[str, Any]) -> None:
    # 1M8GDM9AXKP042788 is the worked example of a check digit in public literature: K is 1989
    values = {"car/vin": "1M8GDM9AXKP042788", "car/year": 1999}
    assert questions(bundled, values) == {"year-and-number": ["papers.number-match"]}
    assert questions(bundled, {**values, "car/year": 1989}) == {}


@pytest.mark.parametrize(
    ("item", "readings", "choice"),
    [
        ("tyres.tread", {"tread/front-left-inner": ("1/32", "in")}, "good"),
        ("bushings.steering-rack", {"slide": ("0.16", "in")}, "still"),
        ("rodents.engine-wiring", {"wires": ("3", "1")}, "none"),
        ("suspension.wheel-bearings", {"play/front-left": ("0.04", "in")}, "tight"),
    ],
)
def test_fine_by_answer_and_a_fault_by_figure_is_asked(
    item: str, readings: dict[str, tuple[str, str]], choice: str, bundled: dict[str, Any]
) -> None:
    codes = [one["code"] for one in judge(bundled, item, readings, choice)["problems"]]
    assert codes == ["contradiction"]


@pytest.mark.parametrize(
    ("item", "readings", "choice"),
    [
        ("lamps.indicators", {"rate": ("150", "1")}, "good"),
        ("engine.vacuum", {"idle": ("13", "inHg"), "altitude": ("0", "ft")}, "steady"),
        ("upkeep.engine-oil", {"done_on": ("2019-01", "")}, "documented"),
        ("brakes.front-discs", {"thickness/front-left": ("0.8", "in"), "minimum": ("0.9", "in")},
         "smooth"),
    ],
)  # fmt: skip
def test_an_answer_about_something_else_contradicts_no_figure(
    item: str, readings: dict[str, tuple[str, str]], choice: str, bundled: dict[str, Any]
) -> None:
    judged = judge(bundled, item, readings, choice)
    assert judged["grade"] in ("minor", "major", "dangerous")
    assert judged["problems"] == []


MEASURED = {
    "paper-beyond-dial": {
        "items/papers.odometer/readings/last-recorded/one": {"typed": "9", "unit": "mi"},
        "car/odometer": {"typed": "8", "unit": "mi"},
    },
    "year-and-number": {"car/vin": "1M8GDM9AXKP042788", "car/year": 1999},
    "same-and-different-numbers": {
        "items/papers.number-match/readings/vin/body": {"typed": "ABC123", "unit": ""},
        "items/papers.number-match/readings/vin/papers": {"typed": "ABC124", "unit": ""},
    },
    "dead-engine-charging": {
        "items/electrical.charging/readings/charging/one": {"typed": "14", "unit": "V"}
    },
}


def test_every_contradiction_can_happen_and_names_all_its_items(
    checklist: Checklist, bundled: dict[str, Any]
) -> None:
    assert len(checklist.contradictions) >= 12
    offered = {item.id: {choice.id for choice in item.choices} for item in checklist.items}
    for rule in checklist.contradictions:
        values: dict[str, Any] = dict(MEASURED.get(rule.id, {}))
        named = set()
        for condition in rule.all_:
            choice = (condition.choice or [""])[0]
            item = next(i for i in condition.items if not choice or choice in offered[i])
            named.add(item)
            if choice:
                values[f"items/{item}/choice"] = choice
        assert questions(bundled, values).get(rule.id) == sorted(named), rule.id


def test_every_answer_that_a_contradiction_names_is_one_of_its_items(checklist: Checklist) -> None:
    """An item in a list of several that none of the named answers fits would never be asked."""
    offered = {item.id: {choice.id for choice in item.choices} for item in checklist.items}
    for rule in checklist.contradictions:
        for condition in rule.all_:
            for item in condition.items if condition.choice else ():
                assert set(condition.choice or ()) & offered[item], (rule.id, item)
