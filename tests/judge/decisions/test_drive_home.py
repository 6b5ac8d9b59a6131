"""May it be driven home?

The rules are this project's, built on 2014/45/EU Article 7 (dangerous: direct and immediate risk;
from memory) and on one principle: what nobody looked at clears nothing.
"""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from bradawl.judge import assess
from tests.judge.records import TODAY, assessed, item, record, rules
from tests.judge.saying import said

EASY = {
    "about_dark": False,
    "about_wet": False,
    "about_motorway": False,
    "about_distance_home": {"typed": "20", "unit": "km"},
}
GRADES = (None, "none", "minor", "major", "dangerous", "uninspected")
SEVERITY = ("drive", "limits", "not_cleared", "trailer")


RULES = rules(
    {
        "brakes.pads": item(drive="essential", title="Front pads"),
        "body.door": item(drive="matters", title="Door catch"),
        "paint.shine": item(title="Shine"),
        "lamps.head": item(title="Headlamps", drive_if={"dark": "essential"}),
    }
)


def drive(grades: dict[str, Any], **told: Any) -> Any:
    return assessed(RULES, grades, **{**EASY, **told})["drive_home"]


SOUND = {"brakes.pads": "none", "body.door": "none", "paint.shine": "none", "lamps.head": "none"}


def test_with_everything_that_matters_in_order_it_may_be_driven() -> None:
    got = drive(SOUND)
    assert (got["answer"], got["reasons"]) == ("drive", [])
    assert said(got["said"], RULES) == "Drive it home. Nothing that was checked speaks against it."


def test_any_dangerous_finding_means_a_trailer_even_where_the_drive_does_not_depend_on_it() -> None:
    got = drive({**SOUND, "paint.shine": "dangerous"})
    assert got["answer"] == "trailer"
    assert [reason["item"] for reason in got["reasons"]] == ["paint.shine"]


def test_what_the_drive_depends_on_and_nobody_looked_at_is_not_cleared() -> None:
    for state in ({}, {"brakes.pads": ("uninspected", "wheel seized")}):
        got = drive({k: v for k, v in SOUND.items() if k != "brakes.pads"} | state)
        assert got["answer"] == "not_cleared"
        assert got["reasons"][0]["item"] == "brakes.pads"


def test_a_trailer_lists_what_nobody_looked_at_as_well() -> None:
    got = drive({"paint.shine": "dangerous"})
    assert got["answer"] == "trailer"
    assert "brakes.pads" in [reason["item"] for reason in got["reasons"]]


@pytest.mark.parametrize(
    "hard",
    [
        {"about_dark": True},
        {"about_wet": True},
        {"about_motorway": True},
        {"about_distance_home": {"typed": "63", "unit": "mi"}},
    ],
)
def test_a_major_fault_in_what_it_depends_on_is_a_limit_near_home_and_a_trailer_otherwise(
    hard: dict[str, Any],
) -> None:
    near = drive({**SOUND, "brakes.pads": "major"})
    assert near["answer"] == "limits"
    assert len(near["said"]["args"]["limits"]["list"]) == 4
    assert drive({**SOUND, "brakes.pads": "major"}, **hard)["answer"] == "trailer"


def test_a_major_fault_or_an_unseen_thing_that_matters_is_a_limit() -> None:
    assert drive({**SOUND, "body.door": "major"})["answer"] == "limits"
    unseen = drive({k: v for k, v in SOUND.items() if k != "body.door"})
    assert unseen["answer"] == "limits"
    assert said(unseen["reasons"][0]["said"], RULES) == "Door catch: Not checked."


def test_headlamps_count_in_the_dark_and_unknown_darkness_becomes_a_limit() -> None:
    blind = {**SOUND, "lamps.head": "major"}
    assert drive(blind)["answer"] == "drive"
    assert drive(blind, about_dark=True)["answer"] == "trailer"
    unknown = drive(blind, about_dark=None)
    assert unknown["answer"] == "limits"
    assert said(unknown["said"], RULES) == "Drive it easy: in daylight only."


def test_what_the_law_does_not_let_on_the_road_is_not_driven_carefully() -> None:
    r = rules({"papers.legal": item("papers", drive="essential", title="Legal today")})
    got = assessed(r, {"papers.legal": "major"}, **EASY)["drive_home"]
    assert got["answer"] == "trailer"
    assert said(got["said"], r) == "Trailer it. Not legal to drive: Legal today."


@pytest.mark.parametrize(
    ("count", "named"),
    [
        (2, "Part 0 and Part 1"),
        (3, "Part 0, Part 1, and Part 2"),
        (6, "Part 0, Part 1, and 4 more"),
    ],
)
def test_the_answer_names_what_is_unsafe_in_any_weather(count: int, named: str) -> None:
    names = [f"a.part{n}" for n in range(count)]
    r = rules({name: item(drive="essential", title=f"Part {name[-1]}") for name in names})
    for way in (EASY, {**EASY, "about_wet": True, "about_dark": True}):
        got = assessed(r, dict.fromkeys(names, "dangerous"), **way)["drive_home"]
        assert said(got["said"], r, "us") == f"Trailer it. Unsafe: {named}."


def test_two_people_who_disagree_about_the_rain_get_wet() -> None:
    r = rules({"brakes.pads": item(drive="essential")})
    told = record({"brakes.pads": "major"}, **EASY)
    told["cells"]["about/wet"] = {
        "value": False, "at": "2", "others": [{"value": True, "at": "1"}]
    }  # fmt: skip
    assert assess(told, r, TODAY)["drive_home"]["answer"] == "trailer"


def test_reasons_come_worst_first_and_the_way_is_said_once() -> None:
    r = rules(
        {
            "a.open": item(drive="matters", title="Damper"),
            "a.unseen": item(drive="essential", title="Hose"),
            "a.major": item(drive="essential", title="Pads"),
            "papers.legal": item("papers", drive="essential", title="Test"),
            "a.danger": item(title="Sill"),
            "a.other": item(drive="essential", title="Pipe"),
        },
        combinations=[
            {
                "id": "both",
                "all": [
                    {"item": "a.major", "at_least": "minor"},
                    {"item": "a.other", "at_least": "minor"},
                ],
                "grade": "major",
                "reason": "Both weak.",
            }
        ],
    )
    grades = {
        "a.major": ("minor", "worn"),
        "papers.legal": ("major", "none"),
        "a.danger": ("dangerous", "holed"),
        "a.other": ("minor", "worn"),
    }
    got = assessed(r, grades, **{**EASY, "about_wet": True, "about_motorway": True})["drive_home"]
    assert [reason["item"] for reason in got["reasons"]] == [
        "a.danger", "papers.legal", "a.major", "a.other", "a.unseen", "a.open"
    ]  # fmt: skip
    # the worst decides and is named, not the weather
    assert said(got["said"], r) == "Trailer it. Unsafe: Sill."
    milder = {"papers.legal": "none", "a.danger": "none", "a.major": "major", "a.other": "none"}
    way = {**EASY, "about_wet": True, "about_motorway": True}
    assert said(assessed(r, milder, **way)["drive_home"]["said"], r) == (
        "Trailer it. There are faults to fix first, and the way home is wet and on the highway."
    )
    shown = [said(reason["said"], r) for reason in got["reasons"]]
    assert shown[2:] == [
        "Pads: Needs fixing. Both weak.",
        "Pipe: Needs fixing, same reason.",
        "Hose: Not checked, and the drive depends on it.",
        "Damper: Not checked.",
    ]
    assert [reason["seen"] for reason in got["reasons"]] == [True] * 4 + [False] * 2
    assert not [text for text in shown if "highway" in text]


def test_a_reason_leaves_out_what_the_item_itself_tells() -> None:
    reading = {"id": "dot", "title": "Date code", "quantity": "code", "units": [],
               "at": ["front-left", "front-right"]}  # fmt: skip
    r = rules(
        {
            "tyres.age": item(
                title="Tyre age", readings=[reading], compute={"kind": "tyre_age"},
                limits=[{"of": "age", "above": "10", "unit": "yr", "grade": "dangerous",
                         "source": "practice"}],
            ),
            "a.pipe": item(title="Pipe", choices=[{"id": "wet", "title": "Leaks",
                                                   "grade": "dangerous"}]),
        }
    )  # fmt: skip
    dots = {f"readings/dot/{w}": {"typed": "0110", "unit": ""} for w in reading["at"]}
    got = assessed(r, {"tyres.age": dots, "a.pipe": {"choice": "wet"}}, **EASY)["drive_home"]
    assert [said(reason["said"], r) for reason in got["reasons"]] == [
        "Tyre age: Unsafe. Age, front left: 16.9 years is over 10 years.",
        "Pipe: Unsafe. Leaks.",
    ]


def test_limits_name_speed_and_distance_in_the_readers_units() -> None:
    """80 km/h is 49.7 mph and 50 km are 31.07 mi (1 mi = 1.609344 km): to the nearest five."""
    got = drive({**SOUND, "brakes.pads": "major"}, about_distance_home=None)
    assert said(got["said"], RULES, "us") == (
        "Drive it easy: in daylight only, on a dry road only, "
        "off the highway, no faster than 50 mph, and no farther than 30 mi."
    )
    assert "no faster than 80 km/h and no farther than 50 km." in said(got["said"], RULES)


def test_a_worse_finding_never_makes_the_answer_milder() -> None:
    """All grades of all four items against all circumstances: 1,296 x 2 ladders."""
    order = [(None, "none"), ("none", "minor"), ("minor", "major"), ("major", "dangerous")]
    names = sorted(SOUND)
    for told in ({}, {"about_dark": True}):
        for grades in itertools.product(GRADES, repeat=len(names)):
            given = {n: g for n, g in zip(names, grades, strict=True) if g is not None}
            here = SEVERITY.index(drive(given, **told)["answer"])
            for milder, graver in order[1:]:
                for name in names:
                    if given.get(name) == milder:
                        worse = drive({**given, name: graver}, **told)["answer"]
                        assert SEVERITY.index(worse) >= here, (given, name, graver)
