"""The complaint tables are sound, say what the trade says, and name what is wrong with them.

Facts of the trade: common practice, no source.
"""

from __future__ import annotations

import ast
import gzip
import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from bradawl import judge
from bradawl.checklists.complaints.facts import FACTS
from bradawl.checklists.files import ChecklistError
from bradawl.checklists.loader import load
from bradawl.judge.measurements import registry
from bradawl.judge.trouble import chances
from tests.checklists.content.test_prices import priced
from tests.checkout import checklist_bundle

PROCEDURES = Path(__file__).parents[3] / "checklists" / "symptoms" / "procedures.yaml"
SYMPTOMS: dict[str, Any] = {row["id"]: row for row in checklist_bundle()["symptoms"]}


def test_every_symptom_that_was_asked_for_has_a_table() -> None:
    wanted = {
        *("no-start", "hot-start", "rich", "lean", "stumbles", "rest-pressure", "overheats"),
        *("no-charge", "drains", "pulls-braking", "soft-pedal", "steers-late", "wanders"),
        *("clunks", "vibrates", "smoke-blue", "smoke-black", "smoke-white", "fuel-smell"),
    }
    assert wanted <= set(SYMPTOMS)


def test_every_cause_has_an_end() -> None:
    for symptom in SYMPTOMS.values():
        for cause in symptom["causes"]:
            assert cause.get("repair") or cause.get("then") or cause.get("harmless"), cause


def test_tests_that_can_hurt_carry_their_caution_and_their_tool() -> None:
    for symptom in SYMPTOMS.values():
        for test in symptom["tests"]:
            steps = " ".join(step["do"] for step in test.get("steps", ()))
            words = f"{test['title']} {test['how']} {steps}".lower()
            cautions, tools = test.get("cautions", []), test.get("tools", [])
            if "on stands" in words:
                assert "jacking" in cautions or "brakes" in cautions, test["id"]
                assert "stands" in tools, (symptom["id"], test["id"])
            if "spark tester" in words:
                assert "ignition-voltage" in cautions, test["id"]
                assert "spark-tester" in tools, (symptom["id"], test["id"])
            if "gauge on the rail" in words or "clamp the soft" in words:
                assert "fuel-pressure" in cautions, test["id"]
            if "rail's port" in words or "clamp made for hoses" in words:
                assert {"fuel-pressure", "fuel"} & set(cautions), (symptom["id"], test["id"])
            if "idle outdoors" in words or "idling outdoors" in words or "start. about" in words:
                wanted = {"fumes", "belts-fans", "hot-parts"} & set(cautions)
                assert wanted, (symptom["id"], test["id"])
            if "then the cap off" in words or "cap may come off" in words:
                assert "hot-coolant" in cautions, (symptom["id"], test["id"])
            if "road" in words.split() or "empty road" in words:
                assert {"road", "moving-car"} & set(cautions), (symptom["id"], test["id"])
            if "engine running" in words or "at idle" in words:
                assert cautions, (symptom["id"], test["id"])


@pytest.mark.parametrize(
    ("symptom", "results", "cause"),
    [
        # a rail that empties has a leaking regulator, pump valve or injector; clamping tells which
        ("rest-pressure", {"clamp-return": "holds"}, "regulator"),
        ("rest-pressure", {"clamp-return": "falls", "clamp-supply": "holds"}, "pump-valve"),
        (
            "rest-pressure",
            {"look": "dry", "clamp-return": "falls", "clamp-supply": "falls"},
            "injector",
        ),
        # an open sensor circuit reads cold and makes it rich; bridged reads hot and clears it
        ("rich", {"sensor-plug": "clears"}, "coolant-sensor"),
        # a rack that slides in its mounts steers late and then too much
        ("steers-late", {"rack": "slides"}, "rack-mount"),
        ("overheats", {"when": "standing", "fan": "still"}, "fan"),
        ("smoke-blue", {"when": "start"}, "stem-seals"),
        ("soft-pedal", {"level": "full", "hold": "sinks", "look": "dry"}, "master"),
        # little fuel behind the filter and plenty ahead of it: the filter
        ("lean", {"pressure": "sags", "volume": "after"}, "filter"),
    ],
)
def test_the_tables_point_where_the_trade_would(
    symptom: str, results: dict[str, str], cause: str
) -> None:
    assert chances.rank(SYMPTOMS[symptom], results)[0]["id"] == cause


@pytest.mark.parametrize("name", SYMPTOMS)
def test_every_cause_can_be_brought_to_the_top(name: str) -> None:
    # else it could never be found: for each cause take its own likeliest outcomes
    table = SYMPTOMS[name]
    for cause in table["causes"]:
        results = {}
        for test in table["tests"]:
            row = test["likely"].get(cause["id"], test["likely"].get("other"))
            results[test["id"]] = test["outcomes"][row.index(max(row))]["id"]
        first = chances.rank(table, results)[0]
        assert first["id"] == cause["id"], (cause["id"], first)


def test_the_facts_that_a_table_may_name_are_those_that_the_judge_makes() -> None:
    package = Path(judge.__file__).parent / "measurements"
    words = {
        node.value
        for file in package.glob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    for kind, names in FACTS.items():
        assert kind in registry.KINDS
        for name in names:
            assert {name, f"{name}."} & words or any(word.startswith(name) for word in words), name


TABLE = """source: assumption
symptoms:
- id: drops
  title: Pressure drops
  says: The pressure drops at rest.
  group: running
  causes:
    regulator: {title: Regulator, often: 4, repair: [brakes.front-pads/pads]}
    pump: {title: Pump valve, often: 3, harmless: true}
  tests:
  - id: clamp
    title: Return clamped
    how: Clamp the hose and wait.
    minutes: "5"
    outcomes: {holds: Holds, off: Falls}
    from:
    - {item: brakes.front-pads, at_least: minor, outcome: holds}
    likely:
      regulator: [90, 10]
      other: [6, 94]
  - id: second
    title: Supply clamped
    how: Clamp the hose and wait.
    minutes: "5"
    outcomes: {holds: Holds, off: Falls}
    likely: {regulator: [5, 95], pump: [95, 5]}
"""


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (("[90, 10]", "[90, 20]"), "add up to 100"),
        (("      regulator: [90", "      gremlin: [90"), "is no cause"),
        (("      other: [6, 94]\n", ""), "needs a row “other”"),
        (("often: 4", "often: sometimes"), "whole number"),
        (("symptoms:", "symptoms: ["), "this isn't YAML"),
        (("group: running", "group: flying"), "isn't allowed"),
        (("front-pads/pads", "front-pads/none"), "no remedy 'brakes.front-pads/none'"),
        ((", repair: [brakes.front-pads/pads]", ""), "leads nowhere"),
        (("front-pads, at", "front-pats, at"), "no item 'brakes.front-pats'"),
        (("at_least: minor, outcome: holds", "choice: [x], outcome: holds"), "no choice 'x'"),
        (("at_least: minor, outcome: holds", "known: leak, outcome: holds"), "no reading or fact"),
        (("outcome: holds}", "outcome: sideways}"), "no outcome “sideways”"),
        (("at_least: minor,", "at_least: minor, fine: true,"), "says one thing of its item"),
        (("- id: drops", "- id: tools"), "can't be called"),
        (("    minutes:", "    cautions: [snakes]\n    minutes:"), "no caution 'snakes'"),
        (("    minutes:", "    tools: [wand]\n    minutes:"), "no tool 'wand'"),
        (("    minutes:", "    procedure: magic\n    minutes:"), "no procedure 'magic'"),
        (("    minutes:", "    procedure: weigh\n    minutes:"), "neither the test nor its check"),
    ],
)  # fmt: skip
def test_a_wrong_table_is_named_with_its_file_and_line(
    tmp_path: Path, change: tuple[str, str], sentence: str
) -> None:
    place = priced(tmp_path) / "symptoms"
    place.mkdir()
    steps = "procedures:\n  weigh:\n    - Put it on a scale.\n    - {do: Note it., read: weight}\n"
    (place / "steps.yaml").write_text(steps, encoding="utf-8")
    (place / "one.yaml").write_text(TABLE, encoding="utf-8")
    assert load(tmp_path).symptoms[0].tests[0].outcomes == {"holds": "Holds", "off": "Falls"}
    (place / "one.yaml").write_text(TABLE.replace(*change, 1), encoding="utf-8")
    with pytest.raises(ChecklistError, match=re.escape(sentence)) as caught:
        load(tmp_path)
    assert all(fault.file == "symptoms/one.yaml" for fault in caught.value.faults)
    assert all(fault.line > 1 or "YAML" in fault.wrong for fault in caught.value.faults)


#: Compressed as a phone takes them along. Own budget.
TABLES_KB = 40
#: The measured diagnoses: of each some test is done by numbered steps. Common practice, no source.
MEASURED = {
    "fuel-hold", "fuel-clamp-return", "fuel-clamp-supply", "fuel-open-idle", "fuel-volume",
    "charging", "drain", "drain-fuses", "drop-feed", "drop-ground", "sensor-table", "compression",
    "leak-down", "vacuum-gauge", "vacuum-back", "coolant-hold", "coolant-cap", "block-test",
    "thermostat", "wheel-heat", "pedal-hold", "booster-sink", "booster-vacuum", "hose-restricted",
    "rotor-runout", "rock-side", "rock-top", "rack-watched", "clutch-play", "clutch-travel",
    "gears-still", "line-pressure", "axle-noise", "smoke-watched",
}  # fmt: skip


def test_every_measured_diagnosis_is_done_step_by_step() -> None:
    listed = yaml.safe_load(PROCEDURES.read_text("utf-8"))["procedures"]
    assert set(listed) >= MEASURED
    tests = [test for table in SYMPTOMS.values() for test in table["tests"]]
    steps = [tuple(step["do"] for step in test.get("steps", ())) for test in tests]
    for name, rows in listed.items():
        own = tuple(row if isinstance(row, str) else row["do"] for row in rows)
        assert own in steps, f"no test is done by {name}"
        assert own[-1].endswith("."), name


def test_a_reading_that_decides_is_taken_at_its_step() -> None:
    reading = [
        (table["id"], test["id"])
        for table in SYMPTOMS.values()
        for test in table["tests"]
        if any("read" in step for step in test.get("steps", ()))
    ]
    assert len(reading) >= 60
    # a test that says how much in its outcome has somewhere to write it down
    for table, test in (
        ("no-crank", "drop-plus"), ("drains", "fuses"), ("clutch-drags", "travel"),
        ("hard-pedal", "gauge"), ("lean", "volume"), ("cold-start", "glow"),
    ):  # fmt: skip
        assert (table, test) in reading


def test_the_tables_stay_small_enough_to_be_taken_along() -> None:
    packed = gzip.compress(
        json.dumps({"symptoms": list(SYMPTOMS.values())}, ensure_ascii=False).encode(), 9
    )
    assert len(packed) < TABLES_KB * 1024
