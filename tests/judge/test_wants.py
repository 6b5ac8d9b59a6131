"""Must-haves and reasons to leave: what is known of each, where it is said, what it never touches.

Which checks tell of a want is common practice, no source. That no want changes what a car costs or
how it gets home is this project's rule: the oracle is the same car of which nobody wants anything.
"""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import assess, entry_kind, judge_item
from bradawl.judge.record.visit_facts import visit_facts
from bradawl.judge.values.grades import SEVERITY
from tests.amount import amount
from tests.judge.conftest import Ask
from tests.judge.records import TODAY, cell, item, record, rules
from tests.judge.saying import said
from tests.judge.test_real_checklists import load_rules, real

HITCH = [
    {"id": "sound", "title": "Hitch solid", "grade": "none"},
    {"id": "none", "title": "No hitch", "grade": "none"},
    {"id": "unchecked", "title": "Not looked at", "grade": "minor"},
]
RULES = rules(
    {
        "rust.frame": item("rust", title="Frame", minutes="3"),
        "rust.sills": item("rust", title="Sills", minutes="3"),
        "body.hitch": item("body", title="Hitch", choices=HITCH, depth="thorough"),
        "body.panels": item("body", unseen={"chance": "0.5", "cost": [1, 900, 4000], "source": ""}),
        "engine.sound": item("engine", drive="essential", minutes="4", danger=5),
    },
    wants=[
        {"id": "solid", "title": "Solid structure", "side": "must", "uses": ["family"],
         "checks": [{"item": ["rust.frame", "rust.sills"], "at_least": "major"}], "source": "x"},
        {"id": "tows", "title": "Tows a trailer", "side": "must", "uses": ["load"], "source": "x",
         "checks": [{"item": "body.hitch", "choice": ["none"]}], "ask": "May it pull that much?"},
        {"id": "stick", "title": "Stick shift", "side": "must", "uses": [], "checks": [],
         "car": {"gearbox": ["manual"]}, "source": "x"},
        {"id": "thrifty", "title": "Easy on fuel", "side": "must", "uses": [], "checks": [],
         "ask": "Does it do the miles?", "source": "x"},
        {"id": "rot", "title": "The frame is rotten", "side": "leave", "uses": [], "source": "x",
         "checks": [{"item": "rust.frame", "at_least": "dangerous"}]},
    ],
    conflicts=[
        {"uses": ["tows", "thrifty"], "reason": "Heavy and thirsty.", "source": "practice"},
        {"uses": ["tows", "show"], "reason": "A hitch is no ornament.", "source": "practice"},
    ],
)  # fmt: skip
PLAIN = {"about_dark": False, "about_wet": False, "about_motorway": False}


def want(name: str, **fields: Any) -> dict[str, Any]:
    fields = fields or {"must": 1}
    return {f"wants_{name}/{key}": value for key, value in fields.items()}


def judged(seen: dict[str, Any], **told: Any) -> Any:
    told = {"brief_value_good": 5000, "about_asking_price": 4000, **PLAIN, **told}
    return assess(record(seen, **told), RULES, TODAY)


def row(seen: dict[str, Any], name: str = "solid", **told: Any) -> Any:
    (found,) = judged(seen, **(told or want(name)))["wants"]
    return found


@pytest.mark.parametrize(
    ("seen", "standing", "left"),
    [
        ({}, "open", ["rust.frame", "rust.sills"]),
        ({"rust.frame": "none"}, "open", ["rust.sills"]),
        ({"rust.frame": "minor", "rust.sills": "none"}, "fine", []),
        ({"rust.frame": "major"}, "against", []),
        ({"rust.frame": "none", "rust.sills": "uninspected"}, "open", ["rust.sills"]),
    ],
)
def test_a_must_have_is_met_once_all_that_tells_was_looked_at_and_found_nothing(
    seen: dict[str, Any], standing: str, left: list[str]
) -> None:
    found = row(seen)
    assert (found["standing"], found["open"]) == (standing, left)
    assert found["item"] == ("rust.frame" if standing == "against" else "")


def test_what_a_person_is_asked_and_what_the_car_is_count_beside_the_checks() -> None:
    sound = {"body.hitch": {"choice": "sound"}}
    assert row(sound, "tows")["standing"] == "open"
    assert row(sound, **want("tows", must=1, so=True))["standing"] == "fine"
    assert row(sound, **want("tows", must=1, so=False))["standing"] == "against"
    assert row({"body.hitch": {"choice": "none"}}, **want("tows", must=1, so=True))["item"]
    # an answer that says only that nobody looked is no look
    assert row({"body.hitch": {"choice": "unchecked"}}, "tows")["open"] == ["body.hitch"]
    for gearbox, standing in ((None, "open"), ("manual", "fine"), ("cvt", "against")):
        told = {"car_gearbox": gearbox} if gearbox else {}
        assert row({}, **want("stick"), **told)["standing"] == standing


@pytest.mark.parametrize(
    ("figure", "told", "standing", "words"),
    [
        ({"of": "asking", "above": 3999}, {}, "against", "Asks more than $3,999"),
        ({"of": "asking", "above": 4000}, {}, "fine", "Asks more than $4,000"),
        ({"of": "asking", "above": 4000}, {"about_asking_price": None}, "open", "Asks more"),
        ({"of": "work", "above": 5}, {}, "open", "Work comes to more than $5"),
        ({"of": "work", "above": 5000}, {}, "fine", "Work comes to more"),
        ({"of": "odometer", "above": 90_000, "unit": "mi"}, {}, "open", "More than 90,000 mi on"),
        ({"of": "odometer", "above": 90_000, "unit": "mi"},
         {"car_odometer": {"typed": "90001", "unit": "mi"}}, "against", "More than 90,000 mi on"),
        # 90,000 mi are 144,841 km (the mile of 1959 is 1.609344 km, NIST SP 811)
        ({"of": "odometer", "above": 90_000, "unit": "mi"},
         {"car_odometer": {"typed": "144840", "unit": "km"}}, "fine", "More than 90,000 mi on"),
    ],
)  # fmt: skip
def test_a_reason_to_leave_may_hang_on_a_figure(
    figure: Any, told: dict[str, Any], standing: str, words: str
) -> None:
    found = row({}, **want("0a1b2c", leave=True, figure=figure), **told)
    assert found["standing"] == standing
    told_of_it = {"id": "judge-reason-want-leave", "args": {"want": found["title"]}}
    assert said(told_of_it, RULES, "us").startswith(f"Leave if: {words}")


def test_a_line_of_ones_own_hangs_on_a_check_and_its_grade_or_on_a_tap() -> None:
    check = {"item": "rust.sills", "at_least": "minor"}
    own = want("0a1b2c", leave=True, words="Rust where I can't reach it", check=check)
    assert row({}, **own)["open"] == ["rust.sills"]
    assert row({"rust.sills": "none"}, **own)["standing"] == "fine"
    assert row({"rust.sills": "minor"}, **own)["item"] == "rust.sills"
    bare = row({}, **want("0a1b2c", leave=True, check=check))
    assert said(bare["title"]["said"], RULES) == "Sills: Minor or worse"
    smells = {"leave": True, "words": "Smells of smoke"}
    assert row({}, **want("x", **smells))["standing"] == "open"
    assert row({}, **want("x", **smells, so=True))["standing"] == "against"
    assert row({}, **want("x", **smells, so=False))["standing"] == "fine"
    fits = {"must": 1, "words": "Fits my garage"}
    assert row({}, **want("x", **fits, so=True))["standing"] == "fine"
    assert row({}, **want("x", **fits, so=False))["standing"] == "against"


@pytest.mark.parametrize(("side", "worse"), [({"must": 1}, False), ({"leave": True}, True)])
def test_of_two_taps_written_unseen_the_worse_counts(side: dict[str, Any], worse: bool) -> None:
    both = record({}, **want("x", words="Fits", so=not worse, **side))
    both["cells"]["wants/x/so"]["others"] = [{"value": worse, "at": "0"}]
    assert assess(both, RULES, TODAY)["wants"][0]["standing"] == "against"


def test_five_must_haves_count_in_the_order_they_were_put_in() -> None:
    told: dict[str, Any] = {}
    for n, name in enumerate("fedcba"):
        told |= want(name, must=n + 1, words=name.upper())
    told |= want("rot", leave=True)
    rows = judged({}, **told)["wants"]
    assert [one["title"] for one in rows[:5]] == ["F", "E", "D", "C", "B"]
    assert [one["id"] for one in rows[5:]] == ["rot"]


def test_a_reason_to_leave_that_came_true_stands_above_all_and_is_no_plain_yes() -> None:
    fine = {**dict.fromkeys(RULES["items"], "none"), "body.hitch": {"choice": "none"}}
    values = {"brief_value_good": 90000, "about_asking_price": 20000, "brief_margin": 0}
    assert judged(fine, **values)["decision"]["buy"] == "buy"
    left = want("0a1b2c", leave=True, figure={"of": "asking", "above": 9000})
    got = judged(fine, **values, **left)["decision"]
    assert got["buy"] == "up_to"
    first = said(got["spoken"][0]["said"], RULES, "us")
    assert first == "You said to leave if: Asks more than $9,000. It came true."
    assert got["answers"]["buy"][1]["said"] == got["spoken"][0]["said"]
    # so is a must-have that it lacks, in its place
    lacks = judged(fine, **values, **want("tows"))["decision"]
    assert lacks["buy"] == "up_to"
    told = [said(clause["said"], RULES) for clause in lacks["answers"]["buy"]]
    assert told[-1].startswith("It lacks a must-have: Tows a trailer. Hitch:")
    # one that nobody knows yet is no reason
    assert judged(fine, **values, **want("x", leave=True, words="?"))["decision"]["buy"] == "buy"
    rotten = judged({**fine, "rust.frame": "dangerous"}, **want("rot", leave=True))["decision"]
    assert said(rotten["spoken"][0]["said"], RULES).startswith("You said to leave if: The frame")


def test_wishes_that_work_against_each_other_are_named() -> None:
    def named(**told: Any) -> list[str]:
        return [said(one["said"], RULES) for one in judged({}, **told)["brief"]["conflicts"]]

    assert named(**want("tows"), **want("thrifty", must=2)) == ["Heavy and thirsty."]
    assert named(**want("tows"), brief_uses=["show"]) == ["A hitch is no ornament."]
    assert named(**want("tows")) == []


def test_what_decides_a_want_rises_and_takes_no_time_from_what_clears_the_drive(both: Ask) -> None:
    def first(**told: Any) -> list[str]:
        return [one["item"] for one in judged({}, **told)["next"]["items"]]

    assert first()[0] == "engine.sound"
    told = first(**want("solid"), **want("rot", leave=True))
    assert told[:2] == ["rust.frame", "rust.sills"]
    # a must-have that is not met has nothing left to look at
    known = judged({"rust.sills": "major"}, **want("solid"))["next"]["items"]
    assert known[0]["item"] == "engine.sound"
    both({"ask": "load", "bundle": "wants", "rules": RULES, "start": True})
    rows = judged({}, **want("solid"))["wants"]
    question = {
        "ask": "next", "bundle": "wants", "car": record({})["cells"], "minutes": "7",
        "states": dict.fromkeys(RULES["items"], "open"), "today": TODAY, "wants": rows,
        "drive": "not_cleared",
    }  # fmt: skip
    picked = both(question)["next"]["items"]
    assert sorted(one["item"] for one in picked) == ["engine.sound", "rust.frame"]
    assert said(picked[0]["said"], RULES).endswith("what you want of it hangs on it")


def test_a_check_says_what_hangs_on_it_and_is_asked() -> None:
    def seen(grade: dict[str, Any], **told: Any) -> Any:
        facts = visit_facts(record({}, **told)["cells"], TODAY)
        return judge_item("body.hitch", grade, RULES, facts)

    def words(judgment: Any) -> list[str]:
        return [said(one["said"], RULES) for one in judgment["reasons"] if one["code"] == "want"]

    assert seen({})["asked"] is False
    wanted = seen({}, **want("tows"))
    assert (wanted["asked"], words(wanted)) == (True, ["Must-have: Tows a trailer."])
    path = "items/body.hitch/choice"
    assert words(seen({path: cell("sound")}, **want("tows"))) == []


KNOWN = ("fine", "against")
GRADES = st.sampled_from(["none", "minor", "major", "dangerous", "uninspected"])
SEEN = st.dictionaries(st.sampled_from(sorted(RULES["items"])), GRADES)
WANTED = st.sets(st.sampled_from(["solid", "tows", "stick", "thrifty"]), max_size=4)


def standings(seen: dict[str, Any], told: dict[str, Any]) -> dict[str, str]:
    return {one["id"]: one["standing"] for one in judged(seen, **told).get("wants") or []}


def told_of(wanted: set[str], taps: dict[str, bool]) -> dict[str, Any]:
    told = {f"wants_{name}/must": n + 1 for n, name in enumerate(sorted(wanted))}
    told |= {f"wants_{name}/so": so for name, so in taps.items()}
    return {**told, "wants_rot/leave": True}


@settings(deadline=None, max_examples=150)
@given(SEEN, WANTED, st.dictionaries(st.sampled_from(["tows", "thrifty"]), st.booleans()), GRADES)
def test_one_more_answer_never_makes_what_is_known_unknown(
    seen: dict[str, Any], wanted: set[str], taps: dict[str, bool], grade: str
) -> None:
    told = told_of(wanted, taps)
    before = standings(seen, told)
    for name in sorted(set(RULES["items"]) - set(seen)):
        after = standings({**seen, name: grade}, told)
        assert {k: v for k, v in before.items() if v in KNOWN}.items() <= after.items()


@settings(deadline=None, max_examples=150)
@given(SEEN, WANTED, GRADES)
def test_a_worse_grade_never_makes_a_want_better(
    seen: dict[str, Any], wanted: set[str], grade: str
) -> None:
    told = told_of(wanted, {})
    goodness = ("against", "open", "fine")
    before = standings(seen, told)
    for name, was in seen.items():
        if SEVERITY.index(grade) < SEVERITY.index(was):  # type: ignore[arg-type]
            continue
        after = standings({**seen, name: grade}, told)
        for key, standing in before.items():
            # "not inspected" is no grade: of what it hides nothing is said
            if grade == "uninspected" or was == "uninspected":
                continue
            assert goodness.index(after[key]) <= goodness.index(standing)


def test_no_want_changes_what_the_car_costs_or_how_it_gets_home(both: Ask) -> None:
    """Of the real checklist, under both engines: the same car without wants is the oracle."""
    all_rules = real()["rules"]
    load_rules(both, "wants-real", all_rules)
    table = {one["id"]: one["side"] for one in all_rules["wants"]}
    for seed in range(amount(40, short=4)):
        dice = random.Random(seed)
        names = sorted(all_rules["items"])
        seen = {
            name: dice.choice(["none", "minor", "major", "dangerous", "uninspected"])
            for name in dice.sample(names, 60)
        }
        told: dict[str, Any] = {"brief_value_good": 9000, "about_asking_price": 7000}
        plain = both(asking(record(seen, **told)))["assessment"]
        for n, name in enumerate(dice.sample(sorted(table), 9)):
            side = {"must": n} if table[name] == "must" else {"leave": True}
            told |= want(name, **side, **({"so": dice.random() < 0.5} if n % 3 == 0 else {}))
        told |= want("0a", leave=True, check={"item": dice.choice(names), "at_least": "minor"})
        told |= want("0b", leave=True, figure={"of": "work", "above": dice.randrange(9000)})
        wanted = both(asking(record(seen, **told)))["assessment"]
        assert {k: wanted["money"][k] for k in ("totals", "reserve", "price", "lines")} == {
            k: plain["money"][k] for k in ("totals", "reserve", "price", "lines")
        }
        assert wanted["drive_home"]["answer"] == plain["drive_home"]["answer"]
        assert wanted["findings"] == plain["findings"]
        assert wanted["decision"]["buy"] in (plain["decision"]["buy"], "up_to")


def asking(of: Any) -> Any:
    return {"ask": "assess", "bundle": "wants-real", "visit": "v", "cells": of["cells"],
            "today": TODAY}  # fmt: skip


@pytest.mark.parametrize("damaged", [7, True, [], {}, "", {"of": 5}, {"item": []}, None, [True]])
def test_whatever_stands_there_the_judge_answers(damaged: Any) -> None:
    fields = ("must", "leave", "words", "so", "check", "figure", "else")
    whole = {
        "check": {"item": "rust.frame", "at_least": damaged},
        "figure": {"of": "work", "above": damaged, "unit": damaged},
    }
    for field in fields:
        for told in ({"must": 1}, {"leave": True}):
            for value in (damaged, whole.get(field, damaged)):
                got = judged({}, **want("w1", **{**told, field: value}), wants_=1, wants_x=2)
                assert len(got.get("wants", [])) <= 1


def test_a_report_may_leave_out_what_the_buyer_wants() -> None:
    assert {entry_kind(f"wants/solid/{name}") for name in ("must", "so", "words")} == {"plan"}
