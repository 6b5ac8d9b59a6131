"""What was looked up: the latest of each kind stands, a bad one is said, an old one says so.

That a record is looked up again after 30 days is common practice, no source; the oracle of the
money is the same car of which nothing was looked up.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from bradawl.judge import assess, entry_kind
from tests.judge.conftest import Ask
from tests.judge.records import TODAY, item, record, rules
from tests.judge.saying import said
from tests.judge.test_claims import money_without_words
from tests.judge.test_real_checklists import load_rules, real

HASH = "a" * 64
RULES = rules(
    {"brakes.pads": item("brakes", title="Front pads")},
    lookups=[
        {"id": "lien", "title": "Lien record", "ask": "", "where": "", "items": [], "stops": True,
         "source": "practice"},
        {"id": "recalls", "title": "Recalls", "ask": "", "where": "", "items": [], "stops": False,
         "source": "practice"},
    ],
)  # fmt: skip


def looked(name: str, kind: str, result: Any, date: Any = TODAY) -> dict[str, Any]:
    fields = {"kind": kind, "result": result, "date": date}
    return {f"lookups_{name}/{key}": value for key, value in fields.items()}


def judged(told: dict[str, Any]) -> Any:
    values = {"brief_value_good": 9000, "about_asking_price": 4000, "brief_margin": 0}
    roads = {"about_dark": False, "about_wet": False, "about_motorway": False}
    return assess(record({"brakes.pads": "none"}, **values, **roads, **told), RULES, TODAY)


def buy(assessment: Any) -> tuple[str, list[str]]:
    decision = assessment["decision"]
    return decision["buy"], [said(row["said"], RULES) for row in decision["answers"]["buy"][1:]]


def days_ago(days: int) -> str:
    return (date.fromisoformat(TODAY) - timedelta(days=days)).isoformat()


def test_a_bad_one_is_paperwork_in_the_decision_and_no_plain_yes() -> None:
    assert buy(judged({})) == ("buy", [])
    answer, told = buy(judged(looked("a", "recalls", "bad")))
    assert answer == "up_to"
    assert told == ["Recalls: the look-up was bad. It's paperwork to clear up."]
    assert buy(judged(looked("a", "recalls", "good"))) == ("buy", [])
    assert buy(judged(looked("a", "recalls", "not_found"))) == ("buy", [])


def test_a_lien_is_cleared_before_anything_is_paid() -> None:
    got = judged(looked("a", "lien", "bad"))
    assert buy(got)[0] == "not_until"
    first = got["decision"]["answers"]["now"][0]
    assert said(first["said"], RULES) == "Clear up with the office that keeps it: Lien record."
    assert "Clear it up before you pay" in " ".join(
        said(row["said"], RULES) for row in got["decision"]["spoken"]
    )


@pytest.mark.parametrize(("days", "is_old"), [(0, False), (30, False), (31, True), (-3, False)])
def test_after_thirty_days_it_says_so(days: int, is_old: bool) -> None:
    (row,) = judged(looked("a", "recalls", "bad", days_ago(days)))["lookups"]
    assert ("old" in row) == is_old
    if is_old:
        assert said(row["old"], RULES) == "Looked up 31 days ago: look again."
        assert buy(judged(looked("a", "recalls", "bad", days_ago(days))))[1][0].endswith(
            "Looked up 31 days ago: look again."
        )


def test_the_latest_of_a_kind_stands_and_of_one_day_the_worse() -> None:
    bad = looked("a", "lien", "bad", days_ago(5))
    assert buy(judged({**bad, **looked("b", "lien", "good", days_ago(4))}))[0] == "buy"
    assert buy(judged({**bad, **looked("b", "lien", "good", days_ago(5))}))[0] == "not_until"
    assert buy(judged({**bad, **looked("b", "lien", "good", "soon")}))[0] == "not_until"
    assert buy(judged({**bad, **looked("b", "recalls", "good")}))[0] == "not_until"


def test_of_what_two_people_wrote_unseen_the_worse_counts() -> None:
    both = record({"brakes.pads": "none"}, **looked("a", "lien", "good"))
    both["cells"]["lookups/a/result"]["others"] = [{"value": "bad", "at": "0"}]
    assert assess(both, RULES, TODAY)["lookups"][0]["result"] == "bad"


@pytest.mark.parametrize("damaged", [7, True, [], {}, "", {"role": 5}, ["bad"], None])
def test_whatever_stands_there_the_judge_answers(damaged: Any) -> None:
    for field in ("kind", "result", "date", f"photos/{HASH}", "else"):
        got = judged({**looked("a", "lien", "bad"), f"lookups_a/{field}": damaged, "lookups_": 1})
        assert len(got.get("lookups", [])) <= 1


def test_both_engines_say_the_same_and_no_look_up_is_a_price(both: Ask) -> None:
    load_rules(both, "lookups-real", real()["rules"])
    kinds = [row["id"] for row in real()["rules"]["lookups"]]
    told: dict[str, Any] = {"brief_value_good": 9000, "about_asking_price": 7000}

    def asked() -> Any:
        cells = record({"brakes.front-pads": "major"}, **told)["cells"]
        return both({"ask": "assess", "bundle": "lookups-real", "visit": "v", "cells": cells,
                     "today": TODAY})["assessment"]  # fmt: skip

    plain = asked()
    for n, kind in enumerate([*kinds, "of-another-year"]):
        told |= looked(f"l{n}", kind, "bad", days_ago(n * 15))
    got = asked()
    assert money_without_words(got) == money_without_words(plain)
    assert got["drive_home"] == plain["drive_home"]
    assert [row["stops"] for row in got["lookups"]].count(True) == 2
    assert got["decision"]["buy"] == "not_until"


def test_what_a_report_may_leave_out_of_look_ups_and_calls() -> None:
    assert entry_kind("lookups/l/result") == entry_kind("lookups/l/date") == "fact"
    assert entry_kind("lookups/l/note") == "note"
    assert entry_kind(f"lookups/l/photos/{HASH}") == "photo"
    assert entry_kind("calls/c") == "name"
    assert entry_kind("calls/c/sat") == "note"
