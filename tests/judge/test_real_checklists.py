"""The whole of `assess` on random records of the real checklists, under both engines.

Most on a part of the checklist at a time (with what its items need), the rest on all of it: some
hundred here, 2,000 in `make proof`. tests/bench/bench_judge_engines.py runs 50,000.
"""

from __future__ import annotations

import random
import re
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from bradawl.judge import canonical, fold
from tests.amount import amount
from tests.checkout import checklist_bundle
from tests.judge import strategies
from tests.judge.conftest import Ask
from tests.judge.saying import said

FOLDER = Path(__file__).parents[2] / "checklists"
PARTS = 32
LONG_PER_PART = 61
PER_PART = amount(LONG_PER_PART, short=6)
WHOLE_RUNS = 6
LONG_PER_WHOLE_RUN = 8
PER_WHOLE_RUN = amount(LONG_PER_WHOLE_RUN, short=2)
TODAY = "2026-11-25"


@cache
def real() -> dict[str, Any]:
    return checklist_bundle()


def part_of(rules: dict[str, Any], part: int) -> dict[str, Any]:
    """Every 32nd item, with the items that these name."""
    wanted = sorted(rules["items"])[part::PARTS]
    for name in wanted:  # grows while it is walked
        rule = rules["items"][name]
        for other in [*rule.get("needs", []), *rule.get("implied_by", [])]:
            if other not in wanted:
                wanted.append(other)
    return {**rules, "items": {name: rules["items"][name] for name in wanted}}


def load_rules(both: Ask, name: str, rules: dict[str, Any]) -> None:
    """In pieces, as the phone does."""
    rest = {key: value for key, value in rules.items() if key != "items"}
    both({"ask": "load", "bundle": name, "rules": rest, "start": True})
    names = sorted(rules["items"])
    for start in range(0, len(names), 40):
        piece = {item: rules["items"][item] for item in names[start : start + 40]}
        assert len(canonical(piece)) < 100_000
        both({"ask": "load", "bundle": name, "rules": {"items": piece}})


ONE_OF_MANY = re.compile(
    r"(?<![\d.,/-])1 (years|days|items|minutes|readings|panels|hours|months|weeks)\b"
)


def texts_of(value: Any, rules: Any, region: str) -> list[str]:
    """Every sentence of an assessment."""
    if isinstance(value, dict):
        if "id" in value and not set(value) - {"id", "args", "then"}:
            return [said(value, rules, region)]
        return [text for one in value.values() for text in texts_of(one, rules, region)]
    if isinstance(value, list):
        return [text for one in value for text in texts_of(one, rules, region)]
    return []


def hurts(rule: dict[str, Any], judgment: dict[str, Any]) -> bool:
    """Dangerous, and no limits of the checklist make it less on the way home."""
    limits = [effect for effect in rule.get("effects", []) if effect["does"] == "limits"]
    dangerous = {one["id"] for one in rule.get("choices", []) if one.get("grade") == "dangerous"}
    named = {name for effect in limits for name in effect["on"]}
    return judgment["grade"] == "dangerous" and not named & (dangerous | {"dangerous"})


def check(assessment: dict[str, Any], rules: dict[str, Any]) -> None:
    """What holds for every assessment, whatever the record."""
    sources = {*real()["sources"], "practice", "assumption", ""}
    applying = {name: one for name, one in assessment["items"].items() if one["applies"]}
    for one in applying.values():
        assert (one["state"] == "open") == (one["grade"] is None)
        assert (one["state"] == "uninspected") == (one["grade"] == "uninspected")
        if one["grade"] is not None:
            assert one["reasons"], "every grade explains itself"
        for reason in one["reasons"]:
            assert said(reason["said"], rules).endswith((".", "!", "?", "…")), reason
            assert reason["source"] in sources
        if one["overruled"]:
            assert one["measured"] is not None
            assert one["by"] in ("person", "combination")
    home = assessment["drive_home"]
    grades = {one["grade"] for one in applying.values()}
    hurting = [name for name, one in applying.items() if hurts(rules["items"][name], one)]
    assert (home["answer"] == "trailer") or not hurting, hurting
    offered = [row["item"] for row in assessment["next"]["items"]]
    if "dangerous" in grades:
        assert not [name for name in offered if rules["items"][name]["stage"] == "road"]
    for name in offered:
        rule = rules["items"][name]
        for other in rule.get("needs", []) + rule.get("stopped_by", []):
            if other in applying:
                assert applying[other]["grade"] != "dangerous", (name, other)
    essential = [name for name in applying if rules["items"][name].get("drive") == "essential"]
    if home["answer"] in ("drive", "limits"):
        assert all(applying[name]["state"] == "done" for name in essential), "unknown is never fine"
    # what must be mended before it is used keeps nobody from driving it home
    hinders = [row for row in home["reasons"] if row["said"]["id"] != "judge-drive-use"]
    assert (home["answer"] == "drive") == (not hinders)
    asked = [one for one in assessment["items"].values() if one["asked"]]
    assert sum(area["total"] for area in assessment["areas"]) == len(asked)
    assert 0 <= assessment["coverage"]["share_percent"] <= 100
    assert set(assessment["findings"]) == {
        name for name, one in applying.items() if one["grade"] in ("minor", "major", "dangerous")
    }
    totals = assessment["money"]["totals"]
    assert totals["low"] <= totals["p50"] <= totals["p80"] <= totals["p90"] <= totals["high"]
    for region in ("us", "eu"):
        texts = texts_of(assessment, rules, region)
        assert [text for text in texts if ONE_OF_MANY.search(text)] == []
    canonical(assessment)


def run(both: Ask, name: str, rules: dict[str, Any], seeds: range, most: int) -> None:
    load_rules(both, name, rules)
    for seed in seeds:
        dice = random.Random(seed)
        cells = fold(strategies.history(dice, rules, dice.randrange(most)))
        question = {"ask": "assess", "bundle": name, "visit": "v", "cells": cells, "today": TODAY}
        answer = both(question)
        assert "assessment" in answer, (seed, answer)
        check(answer["assessment"], rules)


@pytest.mark.parametrize("part", range(PARTS))
def test_random_records_of_a_part_are_judged_alike_and_soundly(both: Ask, part: int) -> None:
    rules = part_of(real()["rules"], part)
    first = part * LONG_PER_PART
    seeds = range(first, first + PER_PART)
    run(both, "real", rules, seeds, len(rules["items"]))


@pytest.mark.parametrize("turn", range(WHOLE_RUNS))
def test_random_records_of_the_whole_are_judged_alike_and_soundly(both: Ask, turn: int) -> None:
    first = 10**6 + turn * LONG_PER_WHOLE_RUN
    seeds = range(first, first + PER_WHOLE_RUN)
    run(both, "real", real()["rules"], seeds, 160)


def test_the_proof_is_two_thousand_records() -> None:
    assert PARTS * LONG_PER_PART + WHOLE_RUNS * LONG_PER_WHOLE_RUN >= 2000


def test_every_computation_and_fact_of_the_checklists_is_one_of_the_judges() -> None:
    from bradawl.judge.measurements.registry import KINDS
    from bradawl.language import ids

    unknown = []
    for name, rule in real()["rules"]["items"].items():
        kind = (rule.get("compute") or {}).get("kind")
        if kind is not None and kind not in KINDS:
            unknown.append(f"{name}: compute {kind}")
        readings = {reading["id"] for reading in rule.get("readings", [])}
        for of in [limit["of"] for limit in rule.get("limits", [])] + rule.get("settled_by", []):
            if of not in readings and f"judge-fact-{of.replace('_', '-')}" not in ids():
                unknown.append(f"{name}: {of}")
    assert unknown == []


@pytest.mark.parametrize("minutes", ["0", "2", "7.5", "20", "60", "600"])
def test_what_next_is_the_same_under_both_engines_and_fits_the_time(
    both: Ask, minutes: str
) -> None:
    rules = real()["rules"]
    load_rules(both, "real", rules)
    for seed in range(4):
        dice = random.Random(seed)
        some = ["open", "open", "done", "done", "uninspected"] + ["dangerous"] * (seed % 2)
        states = {name: dice.choice(some) for name in rules["items"]}
        plan = both(
            {"ask": "next", "bundle": "real", "states": states, "car": {}, "today": TODAY,
             "minutes": minutes, "drive": "not_cleared"}
        )["next"]  # fmt: skip
        assert Decimal(plan["total_minutes"]) <= Decimal(minutes)
        chosen = {row["item"] for row in plan["items"]}
        for name in chosen:
            assert states[name] == "open"
            for other in rules["items"][name].get("needs", []):
                assert other in chosen or states[other] == "done"
            if "dangerous" in states.values():
                assert rules["items"][name]["stage"] != "road"
