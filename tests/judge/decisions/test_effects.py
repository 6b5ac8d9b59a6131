"""What findings do to the drive home: limits that fit the fault, and words that clear nothing.

What each fault keeps a driver from is common practice of the trade, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge.decisions import effects
from tests.judge.records import assessed, item, rules
from tests.judge.saying import said

EASY = {
    "about_dark": False,
    "about_wet": False,
    "about_motorway": False,
    "about_distance_home": {"typed": "20", "unit": "km"},
}
HARD = {
    "about_dark": True,
    "about_wet": True,
    "about_motorway": True,
    "about_distance_home": {"typed": "300", "unit": "km"},
}


def effect(does: str, *on: str, **more: Any) -> dict[str, Any]:
    return {"on": list(on), "does": does, "source": "practice", **more}


CHOICES = [
    {"id": "never", "title": "Never starts", "grade": "major"},
    {"id": "slow", "title": "Starts slowly", "grade": "minor"},
]
RULES = rules(
    {
        "engine.start": item(
            title="Starting",
            drive="essential",
            choices=CHOICES,
            effects=[effect("immobilizes", "never")],
        ),
        "lamps.head": item(
            title="Headlamps",
            drive="essential",
            effects=[effect("limits", "major", "dangerous", limits=["dark"])],
        ),
        "belt.rear": item(
            title="Rear belt", effects=[effect("limits", "dangerous", limits=["rear_seat"])]
        ),
        "bearing": item(
            title="Wheel bearing",
            drive="essential",
            effects=[effect("limits", "major", limits=["fast", "far"])],
        ),
        "tread": item(title="Tread", drive="essential"),
    }
)
SOUND: dict[str, Any] = dict.fromkeys(RULES["items"], "none")


def drive(found: dict[str, Any], **told: Any) -> Any:
    return assessed(RULES, SOUND | found, **{**EASY, **told})["drive_home"]


def spoken(answer: Any) -> str:
    return said(answer["said"], RULES, "us")


@pytest.mark.parametrize("way", [EASY, HARD])
def test_what_does_not_start_is_trailered_by_day_and_by_night(way: dict[str, Any]) -> None:
    answer = drive({"engine.start": {"choice": "never"}}, **way)
    assert answer["answer"] == "trailer"
    assert spoken(answer) == "Trailer it. It won't make it, or driving ruins it: Starting."


def test_dead_headlamps_wait_for_daylight_and_need_no_trailer() -> None:
    assert spoken(drive({"lamps.head": "dangerous"})) == "Drive it easy: in daylight only."
    at_night = drive({"lamps.head": "dangerous"}, about_dark=True)
    assert at_night["answer"] == "limits"
    assert spoken(at_night).endswith(
        "Your way home is dark: wait, take another way, or trailer it."
    )


def _dim(**graded: Any) -> Any:
    """The drive home where weak lamps, a minor fault, limit it to daylight."""
    lamps = item(
        title="Headlamps",
        drive="essential",
        choices=[{"id": "weak", "title": "Weak", "grade": "minor"}],
        # what the light would be too low by, had anybody measured it, is limited alike
        limits=[{"of": "light", "below": "9", "unit": "mm", "grade": "dangerous", "source": "a"}],
        effects=[effect("limits", "weak", "light", limits=["dark"])],
    )
    return assessed(
        rules({"lamps.head": lamps}), {"lamps.head": {"choice": "weak", **graded}}, **EASY
    )["drive_home"]


def test_a_mild_answer_does_not_tell_what_a_worse_grade_does() -> None:
    assert _dim()["answer"] == "limits"
    # graded dangerous by hand: what may hurt somebody is not driven, whatever weak lamps allow
    assert _dim(grade={"grade": "dangerous"})["answer"] == "trailer"


def test_an_answer_that_tells_what_it_does_limits_nothing_else() -> None:
    lamps = item(
        title="Headlamps",
        drive="essential",
        choices=[{"id": "out", "title": "Out", "grade": "major"}],
        effects=[effect("limits", "out", limits=["dark"])],
    )
    told = assessed(rules({"lamps.head": lamps}), {"lamps.head": {"choice": "out"}}, **EASY)
    assert spoken(told["drive_home"]) == "Drive it easy: in daylight only."


def test_a_figure_that_tells_what_it_does_limits_nothing_else() -> None:
    lamps = item(
        title="Headlamps",
        drive="essential",
        readings=[{"id": "haze", "title": "Haze", "quantity": "length", "units": ["mm"]}],
        limits=[{"of": "haze", "above": "1", "unit": "mm", "grade": "major", "source": "a"}],
        effects=[effect("limits", "haze", limits=["dark"])],
    )
    measured = {"lamps.head": {"readings/haze/one": {"typed": "2", "unit": "mm"}}}
    told = assessed(rules({"lamps.head": lamps}), measured, **EASY)
    assert spoken(told["drive_home"]) == "Drive it easy: in daylight only."


def test_a_shorter_way_is_not_waited_for() -> None:
    assert drive({"bearing": "major"}, **{**HARD, **EASY})["answer"] == "limits"
    far = drive({"bearing": "major"}, about_distance_home={"typed": "300", "unit": "km"})
    assert far["answer"] == "trailer"
    # dark, wet and the highway are no matter to a bearing
    dark = drive({"bearing": "major"}, about_dark=True, about_wet=True)
    assert dark["answer"] == "limits"
    assert "dark" not in spoken(dark)


def test_a_distance_that_a_checklist_spells_wrong_is_a_hundred_kilometers() -> None:
    assert effects.distance_of("soon") == (100, 1)
    assert effects.distance_of("62.5") == (125, 2)


def test_a_rear_belt_keeps_nobody_from_driving_alone() -> None:
    answer = drive({"belt.rear": "dangerous"})
    assert answer["answer"] == "drive"
    assert spoken(answer).endswith("Until that's fixed: nobody in the rear seat.")
    assert [reason["item"] for reason in answer["reasons"]] == ["belt.rear"]


def test_what_is_said_of_a_milder_answer_is_not_enough_for_a_danger() -> None:
    choices = [{"id": "worn", "title": "Worn", "grade": "minor"}]
    worn = item(title="Hose", choices=choices, effects=[effect("limits", "worn", limits=["fast"])])
    r = rules({"hose": worn})
    got = assessed(r, {"hose": {"choice": "worn", "grade": {"grade": "dangerous"}}}, **EASY)
    assert got["drive_home"]["answer"] == "trailer"


def test_a_figure_beyond_a_limit_has_effects_of_its_own() -> None:
    dial = item(
        title="Dial",
        readings=[{"id": "over", "title": "Over", "quantity": "distance", "units": ["km"]}],
        choices=[{"id": "stopped", "title": "Stopped", "grade": "major"}],
        limits=[{"of": "over", "above": "0", "unit": "km", "grade": "major", "source": "a"}],
        effects=[effect("stops_deal", "over")],
    )
    r = rules({"dial": dial})
    for km, buy in (("500", "not_until"), ("0", "too_little")):
        given = {"dial": {"readings/over/one": {"typed": km, "unit": "km"}, "choice": "stopped"}}
        assert assessed(r, given)["decision"]["buy"] == buy


def test_a_danger_of_which_nothing_is_said_hurts() -> None:
    assert drive({"tread": "dangerous"})["answer"] == "trailer"


def test_who_grades_worse_than_was_measured_is_believed() -> None:
    answer = drive({"engine.start": {"choice": "slow", "grade": {"grade": "dangerous"}}})
    assert answer["answer"] == "trailer"


@pytest.mark.parametrize("way", [EASY, HARD])
def test_a_word_never_makes_a_measured_danger_better_than_limits(way: dict[str, Any]) -> None:
    measured = item(
        title="Tread",
        drive="essential",
        readings=[{"id": "tread", "title": "Tread", "quantity": "length", "units": ["mm"]}],
        limits=[{"of": "tread", "below": "1", "unit": "mm", "grade": "dangerous", "source": "a"}],
    )
    r = rules({"tread": measured})
    grade = {"readings/tread/one": {"typed": "0.5", "unit": "mm"}, "grade": {"grade": "none"}}
    got = assessed(r, {"tread": grade | {"why": "looks fine"}}, **way)
    assert got["items"]["tread"]["grade"] == "none"
    assert got["drive_home"]["answer"] == "limits"
    assert [clause["item"] for clause in got["decision"]["overruled"]] == ["tread"]
    assert said(got["decision"]["overruled"][0]["said"], r) == (
        "Tread: measured “Unsafe”, but called “OK”: looks fine."
    )


def test_a_circumstance_that_raises_nothing_asks_nothing() -> None:
    """Unknown or not, the dark adds no limit to what matters by day as much."""
    answers: Any = dict.fromkeys(effects.CIRCUMSTANCES, "unknown")
    matters: Any = {"drive": "matters", "drive_if": {"dark": "matters"}}
    assert effects.role(matters, answers) == ("matters", [])
    essential: Any = {"drive": "matters", "drive_if": {"dark": "essential"}}
    assert effects.role(essential, answers) == ("matters", ["dark"])
