"""The two-engine suite and the random records reach every module and every computation.

What the phone runs is served whole (test_files.py); here it is counted which functions the random
records of the real checklists call through the door that both engines are asked through. A new
module that no record reaches fails here.
"""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from bradawl import judge
from bradawl.judge import ask, fold
from bradawl.judge.measurements import registry
from bradawl.judge.trouble import door
from tests.judge import strategies
from tests.judge.engines import test_plan_engines
from tests.judge.test_real_checklists import TODAY, real

PACKAGE = Path(judge.__file__).parent
assert door.__name__  # what it adds to the judge's door is asked as well
# the desk asks these two by themselves: test_plan_engines.py runs them under both engines
BEHIND_PLAN = {"fitness", "sequence", "tip_over", "work_order"}
BY_THEMSELVES = {"chances", "plan"}
OF_THE_DESK = {"entries", "fields", "parts_list", "sums", "life"}  # the ledger, tested by itself
# tables and figures, and functions that the desk alone calls
TABLES = {"amounts", "grades"}

Called = set[tuple[str, str]]


@pytest.fixture(scope="module")
def called() -> Called:
    """(module, function) of the judge that forty random records call."""
    found: Called = set()
    ours = {str(path): path.stem for path in PACKAGE.rglob("*.py")}

    def watch(frame: FrameType, event: str, _: Any) -> None:
        module = ours.get(frame.f_code.co_filename)
        if event == "call" and module is not None:
            found.add((module, frame.f_code.co_name))

    rules = real()["rules"]
    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        asked({"ask": "load", "bundle": "counted", "rules": rules, "start": True})
        for seed in range(40):
            dice = random.Random(seed)
            events = strategies.history(dice, rules, 60)
            asked({"ask": "fold", "events": events})
            asked({"ask": "leaves", "events": events})
            cells = fold(events)
            name = dice.choice(sorted(rules["items"]))
            judge = {"bundle": "counted", "cells": cells, "today": TODAY}
            asked({"ask": "assess", "visit": "v", **judge})
            asked({"ask": "item", "item": name, "car": cells, **judge})
            asked({"ask": "seal", "cells": cells})
            asked({"ask": "amendments", "events": events, "through": {}})
        states = dict.fromkeys(rules["items"], "open") | {"brakes.pipes": "dangerous"}
        plan = {"bundle": "counted", "states": states, "minutes": "20", "drive": "trailer"}
        asked({"ask": "next", "car": {}, "today": TODAY, **plan})
        asked({"ask": "canonical", "value": {"a": [1, "é"]}})
        symptom = next(row for row in real()["symptoms"] if row["id"] == "rest-pressure")
        asked({"ask": "complaint_load", "bundle": "counted", "symptom": symptom})
        cells = fold(strategies.history(random.Random(1), rules, 60))
        complaint = {"bundle": "counted", "complaint": "rest-pressure", "cells": cells}
        asked({"ask": "complaint", "today": TODAY, **complaint})
        cause = {"cause": "pump-valve", "grade": "major", "today": TODAY}
        asked({"ask": "complaint_found", **complaint, **cause})
        asked({"ask": "spotted", "bundle": "counted", "text": "New brakes. Needs a new battery!"})
        asked({"ask": "drive_plan", "driving": real()["driving"], "items": {}, "now": {}})
        asked({"ask": "haul", "cells": cells, "figures": real()["haul"]})
        rows = {"rows": real()["load"], "states": {}}
        asked({"ask": "load_list", "bundle": "counted", "cells": cells, **rows})
        asked({"ask": "leaving", "cells": cells, "arguments": [], "top": 1, "opening": None})
    finally:
        sys.setprofile(before)
    return found


def asked(question: dict[str, Any]) -> None:
    assert "error" not in json.loads(ask(json.dumps(question)))


def test_the_random_records_reach_every_module(called: Called) -> None:
    modules = {
        path.stem
        for path in PACKAGE.rglob("*.py")
        if path.parent.name != "types" and path.stem != "__init__"
    }
    reached = {module for module, _ in called}
    assert modules - reached <= BY_THEMSELVES | BEHIND_PLAN | OF_THE_DESK | TABLES
    assert set(test_plan_engines.MODULES) >= BY_THEMSELVES


def test_the_random_records_reach_every_computation(called: Called) -> None:
    wanted = {
        (kind.__module__.rpartition(".")[2], kind.__name__) for kind in registry.KINDS.values()
    }
    assert wanted - called == set()
