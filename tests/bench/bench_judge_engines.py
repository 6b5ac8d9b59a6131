"""Random records of the real checklists under both engines: 50,000, and not one difference.

`BRADAWL_RECORDS=5000` does fewer. Two processes, one for each core.
Nothing is begun after LONGEST_S, so that a slow machine does fewer as well; `runs` says how many.
"""

from __future__ import annotations

import json
import random
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from bradawl.judge import ask, fold
from tests.bench.measuring.figures import count, write
from tests.judge import strategies
from tests.judge.engines.micropython import MicroPython

FOLDER = Path(__file__).parents[2] / "checklists"
RECORDS = 50_000
PARTS = 32  # of the checklist; one record in fifty is of all of it
BATCH = 250
LONGEST_S = 1200


def part_of(rules: dict[str, Any], part: int) -> dict[str, Any]:
    """Every 32nd item with the items that these name; the whole for a part that is too high."""
    if part >= PARTS:
        return rules
    wanted = sorted(rules["items"])[part::PARTS]
    for name in wanted:  # grows while it is walked
        rule = rules["items"][name]
        for other in [*rule.get("needs", []), *rule.get("implied_by", [])]:
            if other not in wanted:
                wanted.append(other)
    return {**rules, "items": {name: rules["items"][name] for name in wanted}}


def size(first: int) -> int:
    """How many records a batch has: half as many where each is of the whole checklist."""
    return BATCH if (first // BATCH) % (PARTS + 1) < PARTS else BATCH // 2


def batch(first: int, until: float) -> dict[str, float]:
    """Counts and seconds of one batch of seeds; nothing when it is too late (`time.time()`)."""
    if time.time() > until:
        return {}
    part = (first // BATCH) % (PARTS + 1)
    rules = part_of(bundle(load(FOLDER))["rules"], part)
    seen = {"records": 0.0, "differences": 0.0, "errors": 0.0, "CPython_s": 0.0, "phone_s": 0.0}
    with MicroPython() as phone:
        loading = json.dumps({"ask": "load", "bundle": "b", "rules": rules, "start": True})
        ask(loading)
        phone.ask_text(loading)
        for seed in range(first, first + size(first)):
            dice = random.Random(seed)
            cells = fold(strategies.history(dice, rules, dice.randrange(len(rules["items"]) + 1)))
            text = json.dumps(
                {"ask": "assess", "bundle": "b", "visit": "v", "cells": cells,
                 "today": "2026-11-25"},
                ensure_ascii=False,
            )  # fmt: skip
            began = time.perf_counter()
            here = ask(text)
            between = time.perf_counter()
            there = phone.ask_text(text)
            seen["phone_s"] += time.perf_counter() - between
            seen["CPython_s"] += between - began
            seen["records"] += 1
            answers = [json.dumps(json.loads(one), sort_keys=True) for one in (here, there)]
            seen["errors"] += '"assessment"' not in answers[0][:20]
            seen["differences"] += answers[0] != answers[1]
    return seen


def main() -> None:
    wanted = count("BRADAWL_RECORDS", RECORDS)
    began = time.perf_counter()
    totals: dict[str, float] = {}
    with ProcessPoolExecutor(2) as pool:
        firsts: list[int] = []
        while sum(map(size, firsts)) < wanted:
            firsts.append(len(firsts) * BATCH)
        until = time.time() + LONGEST_S
        for seen in pool.map(batch, firsts, [until] * len(firsts)):
            for key, value in seen.items():
                totals[key] = totals.get(key, 0.0) + value
    seconds = time.perf_counter() - began
    row = {
        "what": "random records judged alike by both engines",
        "figure_s": round(totals["phone_s"] / totals["records"], 5),
        "floor_s": round(totals["CPython_s"] / totals["records"], 5),
        "ratio": round(totals["phone_s"] / totals["CPython_s"], 2),
        "runs": int(totals["records"]),
        "differences": int(totals["differences"]),
        "errors": int(totals["errors"]),
        "wanted": wanted,
        "seconds": round(seconds, 1),
        "seconds_per_10000": round(seconds / totals["records"] * 10_000, 1),
    }
    write("judge_engines", [row])
    if row["differences"] or row["errors"]:
        sys.exit(1)


if __name__ == "__main__":
    main()
