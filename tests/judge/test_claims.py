"""What is said of a car: no receipt, not done; what shows it false is a reason; both engines alike.

That a claim never makes a car cheaper to mend, and that nobody's time for what clears the drive is
spent on claims, are this project's rules (common practice, no source): the oracle is the same car
of which nobody says anything.
"""

from __future__ import annotations

import random
from typing import Any

import pytest

from bradawl.judge import assess, entry_kind, judge_item
from bradawl.judge.record.visit_facts import visit_facts
from tests.amount import amount
from tests.judge.conftest import Ask
from tests.judge.records import TODAY, cell, item, record, rules
from tests.judge.saying import said
from tests.judge.test_real_checklists import load_rules, real

HASH = "a" * 64
PADS = {"id": "pad", "title": "Pad", "quantity": "length", "units": ["mm"], "at": []}
RULES = rules(
    {
        "brakes.pads": item(
            "brakes",
            title="Front pads",
            readings=[PADS],
            settled_by=["pad"],
            limits=[{"of": "pad", "below": "2", "unit": "mm", "grade": "major", "source": "x"}],
            remedies=[
                {"id": "pads", "title": "Pads", "kind": "part", "for": ["major"],
                 "parts": [40, 60, 90], "hours": ["1", "1", "2"]},
            ],
            unseen={"chance": "0.3", "cost": [40, 60, 90], "source": "x"},
        ),
        "brakes.hoses": item("brakes", title="Hoses", needs=["brakes.wheels-off"]),
        "brakes.wheels-off": item("brakes", title="Wheels off"),
        "body.panels": item("body", unseen={"chance": "0.5", "cost": [1, 900, 4000], "source": ""}),
        "engine.sound": item("engine", drive="essential", minutes="4", danger=5),
        "upkeep.belt": item("upkeep", title="Belt", choices=[
            {"id": "documented", "title": "Receipt", "grade": "none"},
            {"id": "claimed", "title": "Says so", "grade": "minor"},
            {"id": "unknown", "title": "Nobody knows", "grade": "minor"},
        ]),
    },
    claims=[
        {"id": "new-brakes", "title": "New brakes", "words": ["new brakes"], "source": "practice",
         "checks": [{"item": ["brakes.pads"], "fact": "pad", "below": "6", "unit": "mm"},
                    {"item": ["brakes.pads", "brakes.hoses"], "at_least": "minor"}]},
        {"id": "belt-done", "title": "Belt done", "words": ["belt done"], "source": "practice",
         "checks": [{"item": ["upkeep.belt"], "at_least": "major"}]},
    ],
    baseline=[{"id": "belt", "title": "Belt", "item": "upkeep.belt", "also": [], "done_by": [],
               "source": "assumption", "parts": [100, 200, 300], "hours": ["2", "3", "4"]}],
)  # fmt: skip


def claim(name: str = "c1", kind: str = "new-brakes", who: str = "ad", **more: Any) -> Any:
    cells = {f"{name}/kind": kind, f"{name}/who": {"role": who}, f"{name}/date": "2026-11-20"}
    for key, value in more.items():
        path = f"photos/{HASH}" if key == "photo" else key
        cells[f"{name}/{path}"] = {"state": value} if key == "state" else value
    return {f"claims_{path}": value for path, value in cells.items()}


def pads(depth: str) -> dict[str, Any]:
    return {"brakes.pads": {"readings/pad/one": {"typed": depth, "unit": "mm"}}}


def judged(seen: dict[str, Any], **told: Any) -> Any:
    told = {"brief_value_good": 5000, "about_asking_price": 4000, **told}
    return assess(record(seen, **told), RULES, TODAY)


def test_a_claim_nobody_looked_at_counts_as_not_done_and_names_its_checks() -> None:
    (row,) = judged({}, **claim())["claims"]
    assert row["standing"] == "claimed"
    assert "suggests" not in row
    assert row["items"] == ["brakes.pads", "brakes.hoses"]
    assert said(row["said"], RULES) == "No proof yet: counts as not done."
    assert said({"id": "judge-claim-lie", "args": {"claim": row["title"]}}, RULES).count("New brak")


@pytest.mark.parametrize(
    ("depth", "suggests"), [("1", "false"), ("4", "false"), ("9", "seen"), (None, None)]
)
def test_the_check_says_what_became_of_it_and_a_person_taps(
    depth: str | None, suggests: str | None
) -> None:
    seen = {**(pads(depth) if depth else {}), "brakes.hoses": "none"}
    (row,) = judged(seen, **claim())["claims"]
    assert row.get("suggests") == suggests
    assert row["standing"] == "claimed"  # nobody's tap is taken from him
    assert row["item"] == ("brakes.pads" if suggests == "false" else "")


def test_without_a_photo_nothing_is_proven() -> None:
    assert judged({}, **claim(state="proven"))["claims"][0]["standing"] == "claimed"
    (row,) = judged({}, **claim(state="proven", photo={"bytes": 1}))["claims"]
    assert row["standing"] == "proven"
    # a report may leave the photo out; that there is one still counts
    left = record({}, **claim(state="proven", photo={"bytes": 1}))
    path = f"claims/c1/photos/{HASH}"
    left["cells"][path] = {**cell(None), "withheld": True}
    assert assess(left, RULES, TODAY)["claims"][0]["standing"] == "proven"


def test_of_what_two_people_tapped_unseen_the_worse_counts() -> None:
    both = record({}, **claim(state="seen"))
    other = {"value": {"state": "false"}, "at": "0"}
    both["cells"]["claims/c1/state"]["others"] = [other]
    assert assess(both, RULES, TODAY)["claims"][0]["standing"] == "false"


def test_what_was_found_false_is_a_reason_in_the_decision_with_what_showed_it() -> None:
    def told(state: str) -> list[str]:
        got = judged(pads("1"), **claim(state=state))
        return [said(clause["said"], RULES) for clause in got["decision"]["answers"]["buy"]]

    words = [line for line in told("false") if line.startswith('You were told "New brakes".')]
    assert len(words) == 1
    assert "Front pads:" in words[0]
    assert "1 mm" in words[0]
    assert not [line for line in told("claimed") if "told" in line]


def test_a_false_claim_is_never_a_plain_yes() -> None:
    fine = {**dict.fromkeys(RULES["items"], "none"), **pads("9"), "upkeep.belt": "none"}
    belt = {"choice": "documented"}
    fine["upkeep.belt"] = belt
    values = {"brief_value_good": 90000, "about_asking_price": 20000, "brief_margin": 0}
    roads = {"about_dark": False, "about_wet": False, "about_motorway": False}
    assert judged(fine, **values, **roads)["decision"]["buy"] == "buy"
    lie = judged(fine, **values, **roads, **claim(state="false"))
    assert lie["decision"]["buy"] == "up_to"


def test_claims_that_are_open_come_first_and_settled_ones_do_not() -> None:
    def first(**told: Any) -> list[str]:
        return [row["item"] for row in judged({}, **told)["next"]["items"]]

    assert first()[0] == "engine.sound"
    told = first(**claim())
    # what a check needs goes before it
    assert set(told[:3]) == {"brakes.pads", "brakes.wheels-off", "brakes.hoses"}
    assert told.index("brakes.wheels-off") < told.index("brakes.hoses")
    assert "engine.sound" in told
    assert first(**claim(state="seen"))[0] == "engine.sound"


def test_claims_take_no_time_from_what_clears_the_drive(both: Ask) -> None:
    both({"ask": "load", "bundle": "claims", "rules": RULES, "start": True})
    cells = record({}, **claim())["cells"]
    question = {
        "ask": "next", "bundle": "claims", "car": cells, "minutes": "5", "drive": "not_cleared",
        "states": dict.fromkeys(RULES["items"], "open"), "today": TODAY,
    }  # fmt: skip
    picked = [row["item"] for row in both(question)["next"]["items"]]
    assert "engine.sound" in picked  # 4 of the 5 minutes
    assert picked[0] == "brakes.pads"
    assert len(picked) == 2


def test_a_card_says_who_claims_what_until_it_is_settled() -> None:
    def reasons(**told: Any) -> list[str]:
        facts = visit_facts(record({}, **told)["cells"], TODAY)
        judgment = judge_item("brakes.pads", {}, RULES, facts)
        return [said(row["said"], RULES) for row in judgment["reasons"] if row["code"] == "claim"]

    assert reasons(**claim(who="seller")) == ["The seller says: New brakes."]
    assert reasons(**claim(state="false")) == []
    assert reasons() == []
    # an item that was answered gives the reasons of its answer alone
    answered = judged({"brakes.pads": "dangerous"}, **claim())["items"]["brakes.pads"]
    assert "claim" not in [row["code"] for row in answered["reasons"]]


def test_a_claim_in_somebodys_words_leads_nowhere_and_is_kept() -> None:
    told = {
        "claims_c2/words": "My cousin drove it to the lake",
        "claims_c2/who": {"role": "seller"},
    }
    (row,) = judged({}, **told)["claims"]
    assert (row["kind"], row["items"]) == ("", [])
    assert row["title"] == "My cousin drove it to the lake"


def test_maintenance_that_is_claimed_is_due_and_says_so() -> None:
    (row,) = judged({}, **claim(kind="belt-done"))["baseline"]
    assert (row["evidence"], row["due"]) == ("claimed", True)
    assert judged({})["baseline"][0]["evidence"] == "unknown"
    # "the seller says so", ticked at the check, is no look at it
    answered = judged({"upkeep.belt": {"choice": "claimed"}}, **claim(kind="belt-done"))
    assert "suggests" not in answered["claims"][0]
    proven = judged({"upkeep.belt": {"choice": "documented"}}, **claim(kind="belt-done"))
    assert proven["claims"][0]["suggests"] == "seen"


def money_without_words(assessment: Any) -> Any:
    return {key: assessment["money"][key] for key in ("totals", "reserve", "price", "lines")}


def test_no_claim_lowers_what_the_car_costs_whatever_is_said_of_it(both: Ask) -> None:
    """The same car without the claims is the oracle; of the real checklist, under both engines."""
    all_rules = real()["rules"]
    load_rules(both, "claims-real", all_rules)
    kinds = [row["id"] for row in all_rules["claims"]]
    for seed in range(amount(40, short=4)):
        dice = random.Random(seed)
        names = sorted(all_rules["items"])
        seen = {
            name: dice.choice(["none", "minor", "major", "dangerous", "uninspected"])
            for name in dice.sample(names, 40)
        }
        told: dict[str, Any] = {"brief_value_good": 9000, "about_asking_price": 7000}
        plain = both(asking(record(seen, **told)))["assessment"]
        for n in range(6):
            state = dice.choice(["claimed", "seen", "proven", "false"])
            photo = {"photo": {"bytes": 1}} if dice.random() < 0.5 else {}
            who = dice.choice(["ad", "seller", "owner", "shop", "cousin"])
            told |= claim(
                f"c{n}", dice.choice([*kinds, "of-another-year"]), who, state=state, **photo
            )
        claimed = both(asking(record(seen, **told)))["assessment"]
        assert money_without_words(claimed) == money_without_words(plain)
        # a claim has its checks asked, so one more may be named as not looked at
        assert claimed["drive_home"]["answer"] == plain["drive_home"]["answer"]
        reasons = claimed["drive_home"]["reasons"]
        assert all(reason in reasons for reason in plain["drive_home"]["reasons"])
        assert [r for r in reasons if r["seen"]] == [
            r for r in plain["drive_home"]["reasons"] if r["seen"]
        ]
        assert claimed["findings"] == plain["findings"]
        assert len(claimed["claims"]) == 6


def asking(of: Any) -> Any:
    return {"ask": "assess", "bundle": "claims-real", "visit": "v", "cells": of["cells"],
            "today": TODAY}  # fmt: skip


@pytest.mark.parametrize("damaged", [7, True, [], {}, "", {"role": 5}, {"state": ["false"]}, None])
def test_whatever_stands_there_the_judge_answers(damaged: Any) -> None:
    for field in ("kind", "words", "who", "state", "date", f"photos/{HASH}", "else"):
        told = {**claim(), f"claims_c1/{field}": damaged, "claims_": 1, "claims_x": 2}
        got = judged({}, **told)
        assert len(got.get("claims", [])) <= 1


def test_what_a_report_may_leave_out_of_a_claim() -> None:
    kinds = {name: entry_kind(f"claims/c/{name}") for name in ("kind", "state", "who", "words")}
    assert kinds == {"kind": "fact", "state": "fact", "who": "name", "words": "note"}
    assert entry_kind(f"claims/c/photos/{HASH}") == "photo"
    assert entry_kind("claims/c") == entry_kind("claims/c/else") == "plan"
    assert entry_kind("ads/a") == entry_kind(f"ads/a/photos/{HASH}") == "money"
