"""The whole assessment: areas, findings, what is implied, what is unknown, combinations.

The order of findings and that a combination only raises are this project's rules; the example of a
live lead near fuel is common practice, without a source.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge import assess
from tests.judge.conftest import Ask
from tests.judge.records import TODAY, assessed, item, record, rules
from tests.judge.saying import said


def test_an_area_counts_its_items_and_shows_its_worst() -> None:
    r = rules({"a.x": item("a"), "a.y": item("a"), "a.z": item("a"), "b.x": item("b")})
    got = assessed(r, {"a.x": "minor", "a.y": ("uninspected", "dark")})
    assert got["areas"] == [
        {"area": "a", "title": {"checklist": ["area", "a"]}, "worst": "minor",
         "open": 1, "done": 1, "uninspected": 1, "total": 3},
        {"area": "b", "title": {"checklist": ["area", "b"]}, "worst": None,
         "open": 1, "done": 0, "uninspected": 0, "total": 1},
    ]  # fmt: skip


def test_findings_come_worst_first_then_by_danger_then_in_walk_order() -> None:
    r = rules({"a.1": item(), "a.2": item(danger=4), "a.3": item(), "a.4": item(), "a.5": item()})
    given = {"a.1": "minor", "a.2": "minor", "a.3": "dangerous", "a.4": "minor", "a.5": "none"}
    assert assessed(r, given)["findings"] == ["a.3", "a.2", "a.1", "a.4"]


def test_the_walk_goes_by_stage_and_then_by_place() -> None:
    r = rules(
        {"a.late": item(stage="hot"), "a.second": item(stage="arrival", order=2),
         "a.first": item(stage="arrival", order=1)}
    )  # fmt: skip
    missed = assessed(r, {})["coverage"]["not_reached"]
    assert [row["item"] for row in missed] == ["a.first", "a.second", "a.late"]


def test_an_item_that_another_answers_is_not_asked() -> None:
    r = rules({"a.whole": item(), "a.part": item(implied_by=["a.whole"])})
    assert assessed(r, {})["items"]["a.part"]["state"] == "open"
    part = assessed(r, {"a.whole": "none"})["items"]["a.part"]
    assert (part["state"], part["by"], part["grade"]) == ("done", "implied", "none")
    assert said(part["reasons"][0]["said"], r) == 'Not asked: "a.whole" answers it.'


def test_an_answer_of_its_own_is_never_replaced_by_an_implied_one() -> None:
    r = rules({"a.whole": item(), "a.part": item(implied_by=["a.whole"])})
    part = assessed(r, {"a.whole": "none", "a.part": "major"})["items"]["a.part"]
    assert (part["grade"], part["by"]) == ("major", "person")


def test_what_nobody_could_look_at_implies_nothing() -> None:
    r = rules({"a.whole": item(), "a.part": item(implied_by=["a.whole"])})
    part = assessed(r, {"a.whole": ("uninspected", "no time")})["items"]["a.part"]
    assert part["state"] == "open"


def test_an_answer_to_an_unknown_item_is_said_and_harms_nothing() -> None:
    got = assessed(rules({"a.x": item()}), {"a.x": "none", "b.gone": "major"})
    assert [p["path"] for p in got["problems"]] == ["items/b.gone"]
    assert got["findings"] == []


LIVE_LEAD: dict[str, Any] = {
    "id": "lead-near-fuel",
    "all": [
        {"item": "rodents.lead", "at_least": "minor"},
        {"item": ["fluids.fuel", "fluids.oil"], "at_least": "minor"},
    ],
    "raises": ["rodents.lead"],
    "grade": "dangerous",
    "reason": "A chewed live lead beside leaking fuel is a fire waiting.",
    "source": "practice",
}


def lead_rules(**changes: Any) -> dict[str, Any]:
    return rules(
        {
            "rodents.lead": item("rodents"),
            "fluids.fuel": item("fluids", choices=[{"id": "drips", "grade": "major"}]),
            "fluids.oil": item("fluids"),
        },
        combinations=[{**LIVE_LEAD, **changes}],
    )


def test_two_findings_together_are_raised_and_both_are_named() -> None:
    got = assessed(lead_rules(), {"rodents.lead": "major", "fluids.oil": "minor"})
    lead = got["items"]["rodents.lead"]
    assert (lead["grade"], lead["by"]) == ("dangerous", "combination")
    assert said(lead["reasons"][0]["said"], lead_rules()) == LIVE_LEAD["reason"]
    assert lead["reasons"][0]["with"] == ["fluids.oil"]
    assert lead["reasons"][1]["code"] == "person"
    assert got["items"]["fluids.oil"]["grade"] == "minor"
    assert got["combinations"][0]["items"] == ["fluids.oil", "rodents.lead"]
    assert got["drive_home"]["answer"] == "trailer"


@pytest.mark.parametrize(
    "given",
    [
        {"rodents.lead": "major"},
        {"rodents.lead": "major", "fluids.oil": "none"},
        {"rodents.lead": "major", "fluids.oil": ("uninspected", "too dirty")},
        {"fluids.oil": "major"},
    ],
)
def test_one_finding_alone_raises_nothing(given: dict[str, Any]) -> None:
    got = assessed(lead_rules(), given)
    assert got["combinations"] == []
    assert all(one["by"] != "combination" for one in got["items"].values())


def test_a_combination_never_makes_a_grade_milder() -> None:
    got = assessed(lead_rules(grade="minor"), {"rodents.lead": "dangerous", "fluids.oil": "minor"})
    assert got["items"]["rodents.lead"]["grade"] == "dangerous"


def test_without_a_name_every_faulty_item_that_takes_part_is_raised() -> None:
    got = assessed(lead_rules(raises=None), {"rodents.lead": "minor", "fluids.fuel": "major"})
    assert got["items"]["rodents.lead"]["grade"] == "dangerous"
    assert got["items"]["fluids.fuel"]["grade"] == "dangerous"


FRONT_AND_REAR = [
    # places of the chewed lead, of the oil, whether it may be a fire: what lies at one end of the
    # car sets nothing alight at the other (common practice, no source)
    (["front"], ["front"], True),
    (["front"], ["rear"], False),
    (["front", "middle"], ["middle", "rear"], True),
    (["front"], ["middle", "rear"], False),
    (["front"], [], True),
    ([], ["rear"], True),
    ([], [], True),
]


@pytest.mark.parametrize(("lead", "oil", "holds"), FRONT_AND_REAR)
@pytest.mark.parametrize("alternative", [False, True])
def test_what_must_be_near_holds_only_where_the_findings_share_a_place(
    lead: list[str], oil: list[str], holds: bool, alternative: bool, both: Ask
) -> None:
    first, second = LIVE_LEAD["all"]
    parts = {"all": [first], "any": [second]} if alternative else {}
    for near in (True, False):
        r = lead_rules(near=near, **parts)
        r["items"]["rodents.lead"]["places"] = lead
        r["items"]["fluids.oil"]["places"] = oil
        said_of = record({"rodents.lead": "major", "fluids.oil": "minor"})
        both({"ask": "load", "bundle": "near", "rules": r, "start": True})
        question = {"ask": "assess", "bundle": "near", **said_of, "today": TODAY}
        got = both(question)["assessment"]
        assert bool(got["combinations"]) == (holds or not near)


def test_what_lies_elsewhere_takes_no_part_in_what_must_be_near() -> None:
    r = lead_rules(near=True, raises=None)
    for name, place in (
        ("rodents.lead", "front"),
        ("fluids.fuel", "rear"),
        ("fluids.oil", "front"),
    ):
        r["items"][name]["places"] = [place]
    given = {"rodents.lead": "major", "fluids.oil": "minor", "fluids.fuel": "minor"}
    got = assessed(r, given)
    assert got["combinations"][0]["items"] == ["fluids.oil", "rodents.lead"]
    assert got["items"]["fluids.fuel"]["grade"] == "minor"


def test_a_combination_may_ask_for_a_choice_or_a_fact() -> None:
    r = rules(
        {
            "tyres.age": item(
                readings=[{"id": "dot", "quantity": "code", "units": []}],
                compute={"kind": "tyre_age"},
            ),
            "tyres.use": item(choices=[{"id": "long-way"}, {"id": "short-way"}]),
        },
        combinations=[
            {
                "id": "old",
                "all": [{"item": "tyres.age", "fact": "age", "above": "10", "unit": "yr"}],
                "any": [{"item": "tyres.use", "choice": ["long-way"]}],
                "raises": ["tyres.age"],
                "grade": "major",
                "reason": "Old tyres on a long way.",
            }
        ],
    )
    old = {"readings/dot/one": {"typed": "0310", "unit": ""}}
    long_way = assessed(r, {"tyres.age": old, "tyres.use": {"choice": "long-way"}})
    assert long_way["items"]["tyres.age"]["grade"] == "major"
    short_way = assessed(r, {"tyres.age": old, "tyres.use": {"choice": "short-way"}})
    assert short_way["items"]["tyres.age"]["grade"] is None
    new = {"readings/dot/one": {"typed": "0325", "unit": ""}}
    fresh = assessed(r, {"tyres.age": new, "tyres.use": {"choice": "long-way"}})
    assert fresh["items"]["tyres.age"]["grade"] is None


def test_a_combination_sees_the_answer_that_another_person_gave_unseen() -> None:
    r = rules(
        {"a.fuse": item(choices=[{"id": "whole"}, {"id": "bridged"}]), "a.lead": item()},
        combinations=[
            {"id": "fire", "all": [{"item": "a.lead", "at_least": "minor"},
                                   {"item": "a.fuse", "choice": "bridged"}],
             "raises": ["a.lead"], "grade": "dangerous", "reason": "Fire waits."}
        ],
    )  # fmt: skip
    told = record({"a.lead": "minor", "a.fuse": {"choice": "whole"}})
    assert assess(told, r, TODAY)["items"]["a.lead"]["grade"] == "minor"
    told["cells"]["items/a.fuse/choice"]["others"] = [{"value": "bridged", "at": "0"}]
    assert assess(told, r, TODAY)["items"]["a.lead"]["grade"] == "dangerous"


def test_maintenance_that_two_people_answered_unseen_counts_by_the_weaker_evidence() -> None:
    r = rules(
        {"upkeep.oil": item(choices=[{"id": "seen"}, {"id": "claimed"}, {"id": "not-fitted"}])},
        baseline=[{"id": "oil", "title": "Oil", "item": "upkeep.oil"}],
    )
    for holds, beside in (("seen", "claimed"), ("claimed", "seen"), ("not-fitted", "claimed")):
        told = record({"upkeep.oil": {"choice": holds}})
        told["cells"]["items/upkeep.oil/choice"]["others"] = [{"value": beside, "at": "0"}]
        (row,) = assess(told, r, TODAY)["baseline"]
        assert row["evidence"] == "claimed"


def test_what_a_combination_finds_is_asked_in_the_quickest_visit() -> None:
    """Common practice, no source: a danger that was found is shown, whoever was to look."""
    both = {"id": "both", "all": [{"item": "a.1", "at_least": "minor"}], "any": []}
    raised = {**both, "raises": ["a.2"], "grade": "dangerous", "reason": "R.", "source": ""}
    r = rules({"a.1": item(), "a.2": item(depth="thorough")}, combinations=[raised])
    untouched = assessed(r, {})["items"]["a.2"]
    assert (untouched["applies"], untouched["asked"]) == (True, False)
    found = assessed(r, {"a.1": "minor"})
    assert (found["items"]["a.2"]["asked"], found["findings"]) == (True, ["a.2", "a.1"])
    assert sum(area["total"] for area in found["areas"]) == 2
    assert found["coverage"]["total"] == 2


def test_what_sits_on_a_part_that_is_gone_does_not_apply_unless_it_was_answered() -> None:
    """Fifty checks of an engine that lies in boxes are not fifty unknowns: common practice."""
    gone = ["car.inventory/engine"]
    r = rules(
        {
            "car.inventory": item(
                choices=[{"id": "engine", "grade": "major"}, {"id": "complete", "grade": "none"}]
            ),
            "engine.noise": item(missing_if=gone),
            "engine.oil": item(missing_if=gone),
        }
    )
    given: dict[str, Any] = {"car.inventory": {"choice": "engine"}, "engine.oil": "minor"}
    items = assessed(r, given)["items"]
    assert (items["engine.noise"]["applies"], items["engine.noise"]["asked"]) == (False, False)
    assert (items["engine.oil"]["applies"], items["engine.oil"]["grade"]) == (True, "minor")
    given["car.inventory"] = {"choice": "complete"}
    assert assessed(r, given)["items"]["engine.noise"]["applies"]
