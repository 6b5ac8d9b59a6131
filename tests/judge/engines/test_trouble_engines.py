"""From symptom to cause both engines say the same, of every table and of random records."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from typing import Any

import pytest

from bradawl.judge import ask, assess, fold
from bradawl.judge.trouble import door
from bradawl.serving.judge_files import all_files
from tests.amount import amount
from tests.judge import strategies
from tests.judge.conftest import Ask
from tests.judge.contract import validate
from tests.judge.engines.micropython import MicroPython
from tests.judge.test_real_checklists import TODAY, real

assert door.__name__  # what it adds to the judge's door is asked here as well


@pytest.fixture(scope="module")
def both() -> Iterator[Ask]:
    """Asks both engines, demands equal answers, and gives that answer."""
    files = all_files()
    files["judge/__init__.py"] += "\nfrom .trouble import door\n"
    with MicroPython(files) as phone:

        def asked(question: dict[str, Any]) -> Any:
            text = json.dumps(question, ensure_ascii=False)
            here, there = json.loads(ask(text)), json.loads(phone.ask_text(text))
            assert json.dumps(here, sort_keys=True) == json.dumps(there, sort_keys=True)
            assert "error" not in here, here
            return here

        rules = real()["rules"]
        asked({"ask": "load", "bundle": "trouble", "rules": {**rules, "items": {}}, "start": True})
        names = sorted(rules["items"])
        for first in range(0, len(names), 40):
            piece = {name: rules["items"][name] for name in names[first : first + 40]}
            asked({"ask": "load", "bundle": "trouble", "rules": {"items": piece}})
        for symptom in real()["symptoms"]:
            asked({"ask": "complaint_load", "bundle": "trouble", "symptom": symptom})
        yield asked


def answered(symptom: dict[str, Any], dice: random.Random) -> dict[str, Any]:
    """What somebody may have written about a complaint."""
    start = f"trouble/{symptom['id']}"
    written: dict[str, Any] = {}
    for test in symptom["tests"]:
        lot = dice.random()
        if lot < 0.4:
            outcome = dice.choice(test["outcomes"])["id"]
            written[f"{start}/tests/{test['id']}"] = {"outcome": outcome}
        elif lot < 0.5:
            written[f"{start}/skipped/{test['id']}"] = True
        for tool in test.get("tools", []):
            if dice.random() < 0.1:
                written[f"trouble/tools/{tool}"] = "missing"
        for reading in test.get("measures", []):
            value = {
                "typed": f"{dice.randint(0, 90)}.5",
                "unit": reading["units"][0],
                "minute": "2",
            }
            written[f"{start}/readings/{test['id']}/{reading['id']}/1"] = value
    for cause in symptom["causes"]:
        if dice.random() < 0.15:
            state = {"state": dice.choice(["ruled_out", "found"]), "why": "new", "grade": "major"}
            written[f"{start}/causes/{cause['id']}"] = state
    return {
        path: {"value": value, "at": strategies.stamp(n, strategies.DEVICES[0]), "others": []}
        for n, (path, value) in enumerate(written.items())
    }


@pytest.mark.parametrize("seed", range(amount(20, short=3)))
def test_every_complaint_is_judged_alike(both: Ask, seed: int) -> None:
    dice = random.Random(seed)
    rules = real()["rules"]
    record = fold(strategies.history(dice, rules, 60))
    for symptom in real()["symptoms"]:
        looked_at = {
            item
            for test in symptom["tests"]
            for row in test.get("settled", [])
            for item in ([row["item"]] if isinstance(row["item"], str) else row["item"])
        }
        cells = {
            path: cell
            for path, cell in record.items()
            if not path.startswith("items/") or path.split("/")[1] in looked_at
        }
        cells |= answered(symptom, dice)
        known = {"bundle": "trouble", "complaint": symptom["id"], "cells": cells, "today": TODAY}
        seen = both({"ask": "complaint", **known})["complaint"]
        validate("Complaint", seen)
        for cause in seen["causes"][:2]:
            for grade in ("major", ""):
                both({"ask": "complaint_found", **known, "cause": cause["id"], "grade": grade})


# ads, invented for this test; how such things are written is common practice, no source
ADS = {
    "Runs and drives great. NEW BRAKES, new tires; clean title in hand!": [
        "new-brakes", "new-tires", "runs-drives", "clean-title",
    ],
    "Needs new brakes. No new tires. Not rust free.": [],
    "New brakes! Needed: nothing. It needs. New tires.": ["new-brakes", "new-tires"],
    "Brakes needed, brake job required": [],
    "ran when parked, always garage-kept, rebuilt\n  engine": [
        "rebuilt-engine", "ran-when-parked", "always-garaged",
    ],
    "Doesn’t leak. A/C blows cold.": ["no-leaks", "cold-air"],
    "needs new tires but has new tires in the trunk": ["new-tires"],
    "Frenos nuevos y título limpio, necesita batería nueva": ["new-brakes", "clean-title"],
    "newbrakes renew brakes new brakesmith": [],
    "": [],
}  # fmt: skip


@pytest.mark.parametrize("words", list(ADS))
def test_an_ad_is_read_alike_and_what_it_denies_is_no_claim(both: Ask, words: str) -> None:
    found = both({"ask": "spotted", "bundle": "trouble", "text": words})["claims"]
    assert [row["kind"] for row in found] == ADS[words]
    for row in found:
        assert " ".join(words.split()).find(" ".join(row["words"].split())) >= 0


def test_of_every_claim_its_own_words_are_found_alone_and_within_a_long_ad(both: Ask) -> None:
    rules = real()["rules"]
    for row in rules["claims"]:
        for phrase in row["words"]:
            got = both({"ask": "spotted", "bundle": "trouble", "text": f"1962 wagon, {phrase}."})
            assert row["id"] in [one["kind"] for one in got["claims"]], phrase
    long = "Call for the price. " * 900 + "New brakes."
    assert len(both({"ask": "spotted", "bundle": "trouble", "text": long})["claims"]) == 1


@pytest.mark.parametrize("seed", range(amount(20, short=3)))
def test_a_drive_home_is_planned_alike(both: Ask, seed: int) -> None:
    rules = real()["rules"]
    cells = fold(strategies.history(random.Random(seed), rules, 80))
    judged = assess({"visit": "v", "cells": cells}, rules, TODAY)
    kept = ("asked", "state", "grade")
    items: Any = {
        item: {key: row[key] for key in kept}  # type: ignore[literal-required]
        for item, row in judged["items"].items()
    }
    now = dict.fromkeys(sorted(items)[seed::7], "none")
    plan = both({"ask": "drive_plan", "driving": real()["driving"], "items": items, "now": now})
    for line in (*plan["plan"]["watch"], *plan["plan"]["kit"]):
        assert not set(line["found"]) & set(now)


def test_both_engines_tell_of_a_bargain_and_of_the_same_car_alike(both: Ask) -> None:
    dice = random.Random(20)
    grades = ["", "none", "minor", "major", "dangerous", "uninspected"]
    values = [
        *(1900, 2014, "x", "eu", "in_hand", True, -3, ["b", "a", "gone"]),
        {"amount": 2400, "date": "2026-12-01", "side": "offered"},
        {"amount": 4200, "date": "2026-11-20", "time": "25:00"},
        {"date": "2026-12-01", "time": "18:30", "price": 2600, "why": "Rot", "until": "x"},
    ]
    paths = [
        *("deal/opening", "deal/leave_by", "deal/reasons", "deal/prices/1", "deal/prices/2"),
        *("car/year", "about/region", "papers/title-back/state", "deal/deposit/amount"),
        *("ads/1/prices/1", "passed/1", "passed/2", "about/asking_price", "about/started"),
    ]
    groups = ["safety", "wear", "service", "other"]
    for _ in range(60):
        cells = [
            {
                path: {"value": dice.choice(values), "at": f"{dice.randint(0, 9)}", "others": []}
                for path in dice.sample(paths, dice.randint(0, len(paths)))
            }
            for _ in range(2)
        ]
        arguments = [
            {"id": name, "amount": dice.randint(0, 3), "group": dice.choice(groups)}
            for name in "abcdef"
        ]
        price = {"arguments": arguments, "top": dice.choice([None, 2000]), "opening": None}
        both({"ask": "leaving", "cells": cells[0], **price})
        papers = {"closing": real()["closing"], "cells": cells[0], "today": TODAY}
        both({"ask": "closing", **papers})
        graded = [
            {item: dice.choice(grades) for item in ("a.x", "b.y", "c.own-1")} for _ in range(2)
        ]
        both(
            {
                "ask": "again", "earlier": cells[0], "now": cells[1],
                "graded_earlier": graded[0], "graded_now": graded[1],
            }
        )  # fmt: skip
    visits = [{"visit": str(n), "vin": vin} for n, vin in enumerate(["gt4 7", "GT4-71", "gt471"])]
    answer = both({"ask": "same_car", "vin": "Gt4/71", "visits": visits})
    assert answer == {"visits": ["1", "2"]}
