"""How a car stands after work: what closes a finding, and what the drive answers then.

`tests/judge/vectors/after_work` goes through both engines. The laws are this project's: what is
closed with proof never makes the answer worse, and what nobody proved changes nothing.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import assess
from bradawl.judge.costs.remedies import recorded
from tests.amount import amount
from tests.judge.conftest import Ask
from tests.judge.decisions.test_drive_home import EASY, SEVERITY
from tests.judge.records import TODAY, cell, item, record, rules

VECTORS: Any = json.loads(
    (Path(__file__).parents[1] / "vectors/after_work/cases.json").read_text(encoding="utf-8")
)


@pytest.fixture(scope="module")
def loaded(both: Ask) -> Ask:
    question = {"ask": "load", "bundle": "after-work", "rules": VECTORS["rules"], "start": True}
    both(question)
    return both


@pytest.mark.parametrize("case", VECTORS["cases"], ids=[case["name"] for case in VECTORS["cases"]])
def test_both_engines_say_what_work_has_closed(loaded: Ask, case: dict[str, Any]) -> None:
    cells = {row[0]: cell(*row[1:]) for row in [*VECTORS["easy"], *case["cells"]]}
    asked = {"ask": "assess", "bundle": "after-work", "visit": "v", "cells": cells, "today": TODAY}
    got = loaded(asked)["assessment"]
    assert got["drive_home"]["answer"] == case["found"]
    assert got["decision"]["drive"] == case["found"]  # what a seal covers
    if case["now"] is None:
        assert "now" not in got
        return
    now = got["now"]
    assert (now["drive_home"]["answer"], now["mended"]) == (case["now"], case["mended"])
    assert (now["dangerous"], now["grades"]) == (case["dangerous"], case["grades"])
    assert set(recorded(cells)["closed"]) == set(case["mended"])  # plan and price say the same


def test_every_case_names_what_it_rests_on() -> None:
    assert all(case["source"] for case in VECTORS["cases"])
    assert len({case["name"] for case in VECTORS["cases"]}) == len(VECTORS["cases"])


RULES = rules(
    {
        "brakes.pads": item(drive="essential", title="Front pads"),
        "fuel.leak": item(drive="essential", title="Fuel leak", choices=[{"id": "wet"}]),
        "rodents.lead": item(drive="matters", title="Battery lead"),
        "papers.legal": item("papers", drive="matters", title="Legal today"),
        "lamps.head": item(title="Headlamps", drive_if={"dark": "essential"}),
    },
    combinations=[
        {
            "id": "spark",
            "all": [
                {"item": "rodents.lead", "at_least": "minor"},
                {"item": "fuel.leak", "at_least": "minor"},
            ],
            "grade": "dangerous",
        },
        {
            "id": "blind",
            "all": [{"item": "lamps.head", "at_least": "major"}],
            "any": [{"item": "brakes.pads", "at_least": "minor"}],
            "raises": ["papers.legal"],
            "grade": "major",
        },
    ],
    contradictions=[
        {
            "id": "dry",
            "all": [
                {"item": "fuel.leak", "choice": "wet"},
                {"item": "rodents.lead", "at_least": "minor"},
            ],
        }
    ],
)
NAMES = sorted(RULES["items"])
GIVEN = st.fixed_dictionaries(
    {},
    optional={
        name: st.sampled_from(["none", "minor", "major", "dangerous", ("uninspected", "shut")])
        for name in NAMES
    },
)
WAY = st.fixed_dictionaries({"about_dark": st.sampled_from([True, False, None])})


def close(cells: dict[str, Any], *names: str, at: str = "5") -> dict[str, Any]:
    """The cells with these findings closed by a job with a photo."""
    put = dict(cells)
    for name in names:
        put[f"work/{name}/mend/after/{name}/grade"] = cell({"grade": "none"}, at)
        put[f"work/{name}/mend/photos/aa"] = cell({"caption": ""}, at)
    return put


def judged(cells: dict[str, Any]) -> tuple[str, str]:
    """(the answer as found, the answer now)."""
    got: Any = assess({"visit": "v", "cells": cells}, RULES, TODAY)
    now = got.get("now", got)["drive_home"]["answer"]
    return got["drive_home"]["answer"], now


@settings(max_examples=amount(600, short=150))
@given(grades=GIVEN, way=WAY, wet=st.booleans(), data=st.data())
def test_closing_a_finding_never_makes_the_answer_worse_and_reopening_it_brings_it_back(
    grades: dict[str, Any], way: dict[str, Any], wet: bool, data: st.DataObject
) -> None:
    cells: dict[str, Any] = record(grades, **{**EASY, **way})["cells"]
    if wet:
        cells["items/fuel.leak/choice"] = cell("wet")
    found, now = judged(cells)
    assert now == found  # nothing is closed
    order = data.draw(st.permutations(NAMES))
    done: list[str] = []
    worst = SEVERITY.index(found)
    for name in order:
        done.append(name)
        then, now = judged(close(cells, *done))
        assert then == found, "what was found stays found"
        assert SEVERITY.index(now) <= worst
        worst = SEVERITY.index(now)
    assert now == "drive"  # all of it is mended, with proof
    again = close(cells, *done)
    how = data.draw(st.sampled_from(["no photo", "taken back", "worse", "found again", "fix"]))
    for name in done:
        job = f"work/{name}/mend"
        if how == "no photo":
            del again[f"{job}/photos/aa"]
        elif how == "taken back":
            again[f"{job}/after/{name}/grade"] = cell(None, "7")
        elif how == "worse":
            again[f"work/{name}/other/after/{name}/grade"] = cell({"grade": "major"}, "7")
        elif how == "found again":
            kept = again.get(f"items/{name}/grade") or cell({"grade": "major"})
            again[f"items/{name}/grade"] = {**kept, "at": "7"}
            cells.setdefault(f"items/{name}/grade", kept)
        else:
            again[f"plan/temporary/{name}/mend"] = cell({"what": "taped"}, "4")
    assert judged(again) == judged(cells)


@settings(max_examples=amount(200, short=60))
@given(grades=GIVEN, closed=st.sets(st.sampled_from(NAMES)))
def test_nothing_of_what_was_found_is_said_otherwise_after_work(
    grades: dict[str, Any], closed: set[str]
) -> None:
    """The sealed statement: whatever is mended since, the judge finds what it found."""
    cells = record(grades, **EASY)["cells"]
    before: Any = assess({"visit": "v", "cells": cells}, RULES, TODAY)
    after: Any = assess({"visit": "v", "cells": close(cells, *closed)}, RULES, TODAY)
    for part in ("items", "areas", "findings", "combinations", "drive_home", "coverage"):
        assert after[part] == before[part]
    assert after["decision"]["drive"] == before["decision"]["drive"]
