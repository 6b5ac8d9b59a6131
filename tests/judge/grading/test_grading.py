"""How a grade comes about.

Categories: 2014/45/EU Article 7 (minor, major, dangerous; of several the worst, from
memory). That a person may overrule only with a reason is this project's rule.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge import judge_item, visit_facts
from tests.judge.saying import said

RULES: dict[str, Any] = {
    "items": {
        "brakes.pads": {
            "area": "brakes",
            "stage": "underneath",
            "title": "Pads",
            "applies": {"front_brakes": ["disc"], "year": {"from": 1960, "to": 2000}},
            "readings": [
                {"id": "pad", "title": "Pad thickness", "quantity": "length",
                 "units": ["mm", "in"], "at": ["left", "right"], "plausible": ["0", "30"]}
            ],
            "choices": [
                {"id": "sound", "title": "Sound", "grade": "none"},
                {"id": "cracked", "title": "Cracked", "grade": "major"},
                {"id": "new", "title": "New"},
            ],
            "limits": [
                {"of": "pad", "below": "1/32", "unit": "in", "grade": "dangerous",
                 "source": "law"},
                {"of": "pad", "below": "3", "unit": "mm", "grade": "minor", "source": "practice"},
                {"of": "pad", "below": "2", "unit": "mm", "grade": "major", "source": "late",
                 "applies": {"year": {"from": 1990}}},
            ],
            "settled_by": ["pad"],
        },
        "papers.note": {"area": "papers", "stage": "papers", "depth": "thorough"},
    }
}  # fmt: skip


def cell(value: Any, *others: Any) -> dict[str, Any]:
    return {"value": value, "at": "2", "others": [{"value": o, "at": "1"} for o in others]}


def judged(car: dict[str, Any] | None = None, item: str = "brakes.pads", **parts: Any) -> Any:
    """`pad_left="2 mm"`, `choice="sound"`, `grade=("minor", "why")`; a list is written unseen."""
    cells = {}
    for name, value in parts.items():
        values = value if isinstance(value, list) else [value]
        if name.startswith("pad_"):
            path = "readings/pad/" + name[4:]
            values = [dict(zip(("typed", "unit"), v.rsplit(" ", 1), strict=True)) for v in values]
        else:
            path = name
        if name == "grade":
            grades = [(v, "") if isinstance(v, str) else v for v in values]
            values = [{"grade": grade} for grade, _ in grades]
            if grades[0][1]:
                cells[f"items/{item}/why"] = cell(*(why or None for _, why in grades))
        cells[f"items/{item}/{path}"] = cell(*values)
    facts = visit_facts(
        {f"car/{k}": cell(v) for k, v in (car or {}).items() if k != "depth"}
        | ({"about/depth": cell(car["depth"])} if car and "depth" in car else {}),
        "2026-11-25",
    )
    return judge_item(item, cells, RULES, facts)


def codes(one: Any) -> list[str]:
    return [reason["code"] for reason in one["reasons"]]


def test_nothing_known_is_open_and_never_no_fault() -> None:
    one = judged()
    assert (one["state"], one["grade"], one["by"], one["measured"]) == ("open", None, None, None)


def test_a_reading_beyond_a_limit_is_a_finding_at_once() -> None:
    one = judged(pad_left="0.7 mm")
    assert (one["state"], one["grade"], one["by"]) == ("done", "dangerous", "reading")
    first = one["reasons"][0]
    assert first["source"] == "law"
    assert first["fact"] == "pad.left"
    assert said(first["said"], RULES) == "Pad thickness, left: 0.7 mm is under 0.79 mm."
    assert said(first["said"], RULES, "us") == "Pad thickness, left: 0.028 in is under 1/32 in."


def test_the_worst_severity_wins_and_each_measure_is_spoken_of_once() -> None:
    one = judged({"year": 1995}, pad_left="0.7 mm", pad_right="1.9 mm")
    assert one["grade"] == "dangerous"
    assert [reason["source"] for reason in one["reasons"]] == ["law", "late"]
    assert said(one["reasons"][1]["said"], RULES) == "Pad thickness, right: 1.9 mm is under 2 mm."
    both = judged({"year": 1985}, pad_left="1.5 mm", pad_right="1.9 mm")
    assert said(both["reasons"][0]["said"], RULES).endswith(
        "left: 1.5 mm is under 3 mm. Also right 1.9 mm."
    )


def test_a_limit_counts_only_for_the_cars_it_names_and_unknown_counts() -> None:
    assert judged({"year": 1985}, pad_left="1.9 mm")["grade"] == "minor"
    assert judged({"year": 1995}, pad_left="1.9 mm")["grade"] == "major"
    assert judged(pad_left="1.9 mm")["grade"] == "major"


def test_no_fault_is_measured_only_when_every_place_was() -> None:
    assert judged(pad_left="8 mm")["grade"] is None
    one = judged(pad_left="8 mm", pad_right="7 mm")
    assert (one["grade"], one["by"], codes(one)) == ("none", "reading", ["within"])
    reason = one["reasons"][0]
    assert said(reason["said"], RULES) == "Pad thickness, right: 7 mm, at least 3 mm: OK."
    assert (reason["source"], reason["fact"]) == ("practice", "pad.right")


def test_an_implausible_reading_does_not_settle_anything() -> None:
    one = judged(pad_left="8 mm", pad_right="700 mm")
    assert one["grade"] is None
    assert [p["code"] for p in one["problems"]] == ["implausible"]
    # in the unit that was typed, whatever the reader's
    assert "700 mm is hard to believe; expect 0 mm to 30 mm." in said(
        one["problems"][0]["said"], RULES, "us"
    )


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("-12.6", "-12.6 V means the meter's leads were the other way around."),
        ("-12.6", "On a positive-ground car the red lead goes to ground."),
        ("-12.6", "if it then shows 12.6 V, type that."),
        ("-126", "-126 V is hard to believe; expect 0 V to 16 V."),
    ],
)
def test_volts_below_zero_are_the_leads_the_other_way_around(typed: str, text: str) -> None:
    """A meter with its leads swapped shows the same figure with a minus."""
    reading = {"id": "rest", "title": "At rest", "quantity": "voltage", "units": ["V"],
               "plausible": ["0", "16"]}  # fmt: skip
    rule = {"area": "a", "stage": "round", "minutes": "1", "readings": [reading]}
    path = "items/a.b/readings/rest/one"
    given = {path: {"value": {"typed": typed, "unit": "V"}, "at": "1", "others": []}}
    one: Any = judge_item("a.b", given, {"items": {"a.b": rule}}, visit_facts({}, "2026-11-25"))
    assert text in said(one["problems"][0]["said"], {"items": {"a.b": rule}}, "us")


@pytest.mark.parametrize(
    ("typed", "code"), [("x mm", "unreadable"), ("5 V", "unit"), (" mm", "empty")]
)
def test_what_cannot_be_read_is_said_and_kept(typed: str, code: str) -> None:
    one = judged(pad_left=typed)
    assert [p["code"] for p in one["problems"]] == [code]
    assert one["problems"][0]["path"] == "items/brakes.pads/readings/pad/left"
    assert one["state"] == "open"


def test_unknown_places_readings_choices_and_grades_are_said() -> None:
    one = judged(pad_roof="5 mm", choice="golden", grade="splendid")
    assert sorted(p["code"] for p in one["problems"]) == ["choice", "grade", "unknown_place"]


def test_between_a_choice_and_a_reading_the_worse_counts() -> None:
    sound = judged(choice="sound", pad_left="0.7 mm")
    assert (sound["grade"], sound["by"]) == ("dangerous", "reading")
    cracked = judged(choice="cracked", pad_left="8 mm", pad_right="8 mm")
    assert (cracked["grade"], cracked["by"]) == ("major", "choice")
    assert said(cracked["reasons"][0]["said"], RULES) == "Cracked."


def test_a_choice_that_only_informs_settles_nothing() -> None:
    assert judged(choice="new")["state"] == "open"


def test_a_person_with_a_reason_overrules_and_both_stand() -> None:
    one = judged(pad_left="0.7 mm", grade=("minor", "gauge was on the backing plate"))
    assert (one["grade"], one["by"], one["measured"]) == ("minor", "person", "dangerous")
    assert one["overruled"]
    assert codes(one) == ["overruled", "limit"]
    assert "gauge was on the backing plate" in said(one["reasons"][0]["said"], RULES)


def test_without_a_reason_the_measured_grade_stands_and_the_reason_is_asked_for() -> None:
    one = judged(pad_left="0.7 mm", grade="minor")
    assert (one["grade"], one["by"], one["overruled"]) == ("dangerous", "reading", False)
    assert [p["code"] for p in one["problems"]] == ["why_wanted"]


def test_a_person_who_sees_worse_needs_no_reason() -> None:
    one = judged(pad_left="8 mm", pad_right="8 mm", grade="major")
    assert (one["grade"], one["by"], one["measured"]) == ("major", "person", "none")
    assert one["overruled"]


def test_a_person_who_agrees_overrules_nothing() -> None:
    one = judged(pad_left="2.5 mm", grade=("major", "x"))
    same = judged({"year": 1985}, pad_left="2.5 mm", grade="minor")
    assert one["by"] == "person"
    assert (same["by"], same["overruled"], same["problems"]) == ("reading", False, [])


def test_not_inspected_wants_a_reason_and_hides_no_measured_fault() -> None:
    bare = judged(grade="uninspected")
    assert (bare["state"], bare["grade"]) == ("uninspected", "uninspected")
    assert [p["code"] for p in bare["problems"]] == ["why_wanted"]
    told = judged(grade=("uninspected", "wheel would not come off"))
    assert told["problems"] == []
    assert said(told["reasons"][0]["said"], RULES) == "Not checked: wheel would not come off."
    fault = judged(grade=("uninspected", "no time"), pad_left="0.7 mm")
    assert (fault["state"], fault["grade"]) == ("done", "dangerous")


PAD = "items/brakes.pads/"


def overruled(**whys: Any) -> Any:
    """A thin pad called minor at 5, and cells of its reason as given."""
    cells = {
        PAD + "readings/pad/left": {"value": {"typed": "0.7", "unit": "mm"}, "at": "4-d1"},
        PAD + "grade": {"value": {"grade": "minor"}, "at": "5-d1"},
        PAD + "why": {"value": None, "at": "6-d1", **whys},
    }
    rows = {path: {"others": [], **held} for path, held in cells.items()}
    return judge_item("brakes.pads", rows, RULES, visit_facts({}, "2026-11-25"))


def test_an_erased_reason_was_given_and_the_grade_stays() -> None:
    assert overruled(value="measured on the lip")["grade"] == "minor"
    gone = overruled(erased=True)
    assert (gone["grade"], gone["overruled"], gone["problems"]) == ("minor", True, [])
    assert said(gone["reasons"][0]["said"], RULES) == (
        "Inspector's call: Minor (the reason was erased on request)."
    )


def test_a_reason_that_was_taken_back_or_said_of_an_earlier_grade_is_none() -> None:
    for why in (
        {"value": None},
        {"value": " "},
        {"value": 7},
        {"value": "said of the grade before", "at": "3-d1"},
        {"erased": True, "at": "3-d1"},
    ):
        one = overruled(**why)
        assert (one["grade"], one["problems"][0]["code"]) == ("dangerous", "why_wanted"), why


def test_what_was_marked_with_the_rest_says_so_and_makes_no_measured_fault_milder() -> None:
    together = {"value": {"grade": "none", "together": True}, "at": "5-d1", "others": []}
    one = judge_item("brakes.pads", {PAD + "grade": together}, RULES, visit_facts({}, "2026-11-25"))
    assert one["grade"] == "none"
    assert said(one["reasons"][0]["said"], RULES) == (
        "Inspector's call: OK (marked OK together with the rest)."
    )
    thin = {"value": {"typed": "0.7", "unit": "mm"}, "at": "4-d1", "others": []}
    cells = {PAD + "grade": together, PAD + "readings/pad/left": thin}
    one = judge_item("brakes.pads", cells, RULES, visit_facts({}, "2026-11-25"))
    assert (one["grade"], one["problems"][0]["code"]) == ("dangerous", "why_wanted")
    with_reason = {**cells, PAD + "why": {"value": "new pads", "at": "6-d1", "others": []}}
    one = judge_item("brakes.pads", with_reason, RULES, visit_facts({}, "2026-11-25"))
    assert (one["grade"], one["overruled"]) == ("none", True)


def test_of_two_reasons_written_unseen_the_one_of_who_graded_counts() -> None:
    at = "{:015d}-00000-{}".format
    mine, other = "d1" * 16, "d2" * 16
    cells = {
        PAD + "grade": {"value": {"grade": "major"}, "at": at(5, mine), "others": []},
        PAD + "why": {
            "value": "theirs",
            "at": at(7, other),
            "others": [{"value": "mine", "at": at(6, mine)}],
        },
    }
    one = judge_item("brakes.pads", cells, RULES, visit_facts({}, "2026-11-25"))
    assert said(one["reasons"][0]["said"], RULES) == "Inspector's call: Needs fixing (mine)."


def later(**parts: Any) -> Any:
    """Readings typed after the grade was given."""
    grade, why = parts["grade"]
    cells = {
        f"items/brakes.pads/{path}": {"value": value, "at": "1", "others": []}
        for path, value in (("grade", {"grade": grade}), ("why", why))
    }
    for place in ("left", "right"):
        value = {"typed": parts[place], "unit": "mm"}
        cells[f"items/brakes.pads/readings/pad/{place}"] = cell(value)
    return judge_item("brakes.pads", cells, RULES, visit_facts({}, "2026-11-25"))


def test_what_is_measured_after_a_grade_was_given_is_not_made_milder_by_it() -> None:
    one = later(grade=("none", "looked new"), left="0.5", right="8")
    assert (one["grade"], one["overruled"]) == ("dangerous", False)
    assert said(one["problems"][0]["said"], RULES) == (
        "Measured since you rated it: Unsafe. To call it OK, say why."
    )
    worse = later(grade=("major", "cracked"), left="8", right="8")
    assert (worse["grade"], worse["by"]) == ("major", "person")


def test_what_was_not_inspected_is_once_it_is_measured() -> None:
    one = later(grade=("uninspected", "wheel on"), left="8", right="8")
    assert (one["state"], one["grade"], one["by"]) == ("done", "none", "reading")


def test_not_inspected_after_a_sound_reading_leaves_it_unseen() -> None:
    """Unknown is never fine: the later word counts, unless it hides a fault."""
    one = judged(pad_left="8 mm", pad_right="8 mm", grade=("uninspected", "gauge slipped"))
    assert (one["state"], one["grade"], one["by"]) == ("uninspected", "uninspected", "person")
    assert (one["measured"], one["overruled"], one["problems"]) == ("none", False, [])


def test_a_person_who_agrees_is_heard_beside_the_reading() -> None:
    one = judged({"year": 1985}, pad_left="2.5 mm", grade=("minor", "worn"))
    assert said(one["reasons"][0]["said"], RULES) == "Inspector's call: Minor (worn)."
    assert [reason["code"] for reason in one["reasons"]] == ["person", "limit"]


def test_two_people_who_disagree_unseen_leave_the_worse_grade_until_settled() -> None:
    one = judged(grade=["none", "major"])
    assert (one["grade"], one["conflict"]) == ("major", True)
    two = judged(pad_left=["8 mm", "0.7 mm"])
    assert (two["grade"], two["conflict"]) == ("dangerous", True)
    three = judged(choice=["sound", "cracked"])
    assert (three["grade"], three["conflict"]) == ("major", True)
    assert not judged(grade="none")["conflict"]


def test_facts_follow_the_value_that_holds_and_the_others_say_what_they_come_from() -> None:
    one = judged(pad_left=["8 mm", "0.7 mm"], pad_right="7 mm")
    texts = {name: said(fact["said"], RULES) for name, fact in one["facts"].items()}
    assert texts == {
        "pad.left": "Pad thickness, left: 8 mm",
        "pad.left.other": (
            "Pad thickness, left: 0.7 mm. Typed on another phone, without seeing 8 mm."
        ),
        "pad.right": "Pad thickness, right: 7 mm",
    }
    assert one["grade"] == "dangerous"
    assert one["reasons"][0]["fact"] == "pad.left.other"
    assert said(one["reasons"][0]["said"], RULES) == (
        "Pad thickness, left: 0.7 mm is under 0.79 mm. Typed on another phone, without seeing 8 mm."
    )


WORKED = {
    "items": {
        "steering.play": {
            "area": "steering",
            "readings": [{"id": "play", "title": "Play", "quantity": "length", "units": ["mm"]}],
            "compute": {"kind": "steering_play"},
            "limits": [
                {"of": "play_over", "above": "0", "unit": "mm", "grade": "major", "source": "law"}
            ],
            "settled_by": ["play"],
        },
        "fluids.brake": {
            "area": "fluids",
            "readings": [{"id": "boiling", "quantity": "temperature", "units": ["degC"]}],
            "choices": [{"id": "dot3"}, {"id": "dot4"}],
            "compute": {"kind": "brake_fluid"},
            "limits": [
                {"of": "above_wet", "below": "0", "unit": "degC", "grade": "major", "source": "law"}
            ],
        },
    }
}  # fmt: skip


def test_what_is_worked_out_of_a_contested_reading_is_told_apart_and_the_worse_counts() -> None:
    """49 CFR 570.7: 2 in (50.8 mm) of play at wheels up to 16 in, the strictest row."""

    def of(*values: str) -> Any:
        told = [{"typed": value, "unit": "mm"} for value in values]
        cells = {"items/steering.play/readings/play/one": cell(*told)}
        return judge_item("steering.play", cells, WORKED, visit_facts({}, "2026-11-25"))

    one = of("20", "70")
    assert (one["grade"], one["conflict"]) == ("major", True)
    assert one["facts"]["play_over"]["value"] == of("20")["facts"]["play_over"]["value"]
    assert said(one["facts"]["play_over"]["said"], WORKED).endswith(" From 20 mm.")
    assert one["facts"]["play_over.other"]["value"] == of("70")["facts"]["play_over"]["value"]
    assert said(one["facts"]["play_over.other"]["said"], WORKED).endswith(
        "From 70 mm, typed on another phone."
    )
    turned = of("70", "20")
    assert turned["grade"] == "major"
    assert said(turned["facts"]["play_over"]["said"], WORKED).endswith(" From 70 mm.")
    twice = of("20", "20")["facts"]
    other = twice.pop("play.other")
    assert twice == of("20")["facts"]
    assert said(other["said"], WORKED) == (
        "Play: 20 mm. Typed on another phone, without seeing 20 mm."
    )


def test_what_is_worked_out_of_a_contested_answer_is_told_apart() -> None:
    """Wet minimum 140 degC for class 3, 155 degC for class 4 (49 CFR 571.116)."""
    cells = {
        "items/fluids.brake/readings/boiling/one": cell({"typed": "150", "unit": "degC"}),
        "items/fluids.brake/choice": cell("dot3", "dot4"),
    }
    one = judge_item("fluids.brake", cells, WORKED, visit_facts({}, "2026-11-25"))
    assert one["grade"] == "major"
    assert one["facts"]["above_wet"]["value"] == "10"
    assert one["facts"]["above_wet.other"]["value"] == "-5"
    other = one["facts"]["above_wet.other"]["said"]
    assert said(other, WORKED).endswith("From dot4, typed on another phone.")
    # a difference of 5 degC is one of 9 degF
    assert ": 9 °F." in said(other, WORKED, "us")


def test_of_several_limits_that_one_figure_passes_only_the_worst_speaks() -> None:
    ladder = [
        {"of": "slide", "above": edge, "unit": "mm", "grade": grade, "source": "practice"}
        for edge, grade in (("0.5", "minor"), ("1", "major"), ("3", "dangerous"))
    ]
    reading = {"id": "slide", "title": "Rack moves", "quantity": "length", "units": ["mm"]}
    rules = {"items": {"a.rack": {"area": "a", "readings": [reading], "limits": ladder}}}
    for values in (["4"], ["4", "2"]):
        told = [{"typed": value, "unit": "mm"} for value in values]
        cells = {"items/a.rack/readings/slide/one": cell(*told)}
        one = judge_item("a.rack", cells, rules, visit_facts({}, "2026-11-25"))
        assert [said(reason["said"], rules) for reason in one["reasons"]] == [
            "Rack moves: 4 mm is over 3 mm."
        ]


def test_an_item_applies_unless_a_known_fact_says_no() -> None:
    assert judged()["applies"]
    assert judged({"front_brakes": "disc", "year": 1960})["applies"]
    assert not judged({"front_brakes": "drum"})["applies"]
    assert not judged({"year": 1959})["applies"]
    assert not judged({"year": 2001})["applies"]


def test_a_finding_does_not_disappear_when_a_detail_of_the_car_is_changed() -> None:
    one = judged({"front_brakes": "drum"}, grade="dangerous")
    assert (one["applies"], one["grade"]) == (True, "dangerous")
    assert [p["code"] for p in one["problems"]] == ["does_not_fit"]
    assert judged({"front_brakes": "disc"}, grade="dangerous")["problems"] == []


def test_a_thorough_item_waits_for_a_thorough_visit_or_an_answer() -> None:
    assert not judged(item="papers.note")["asked"]
    assert judged({"depth": "thorough"}, item="papers.note")["asked"]
    assert judged(item="papers.note", grade="none")["asked"]
    assert judged(item="papers.note")["applies"]


def test_an_item_that_the_checklist_lacks_is_said() -> None:
    one = judged(item="no.such", grade="none")
    assert [p["code"] for p in one["problems"]] == ["unknown_item"]
    assert not one["applies"]


def test_cylinders_that_the_car_does_not_have_are_not_missed() -> None:
    rules = {
        "items": {
            "engine.plugs": {
                "area": "engine",
                "stage": "cold",
                "readings": [
                    {"id": "gap", "quantity": "length", "units": ["mm"],
                     "at": ["1", "2", "3", "4", "5", "6"], "plausible": ["0", "3"]}
                ],
                "limits": [{"of": "gap", "above": "1.2", "unit": "mm", "grade": "minor",
                            "source": "practice"}],
                "settled_by": ["gap"],
            }
        }
    }  # fmt: skip
    cells = {
        f"items/engine.plugs/readings/gap/{n}": cell({"typed": "0.8", "unit": "mm"})
        for n in range(1, 5)
    }
    four = visit_facts({"car/cylinders": cell(4)}, "2026-11-25")
    six = visit_facts({"car/cylinders": cell(6)}, "2026-11-25")
    unknown = visit_facts({}, "2026-11-25")
    assert judge_item("engine.plugs", cells, rules, four)["grade"] == "none"
    assert judge_item("engine.plugs", cells, rules, six)["grade"] is None
    assert judge_item("engine.plugs", cells, rules, unknown)["grade"] is None


def test_a_value_written_unseen_beside_an_unusable_one_is_still_judged() -> None:
    cells = {
        "items/steering.play/readings/play/one": cell(
            {"typed": "much", "unit": "mm"}, {"typed": "70", "unit": "mm"}
        )
    }
    one = judge_item("steering.play", cells, WORKED, visit_facts({}, "2026-11-25"))
    assert one["grade"] == "major"
    assert [problem["code"] for problem in one["problems"]] == ["unreadable"]
    assert said(one["facts"]["play_over.other"]["said"], WORKED).endswith(
        "From 70 mm, typed on another phone."
    )
    assert "play_over" not in one["facts"]
