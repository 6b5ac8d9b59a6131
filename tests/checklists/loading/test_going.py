"""A fault in the tables for the hours before is told at its line, with what would be right.

The oracle is the text that was written; the tables are invented.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from tests.checklists.loading.test_loader import fault_of, write

CLAIMS = """\
claims:
  - id: new-pads
    title: New pads
    words: {en: [new pads]}
    checks: [{item: brakes.front-pads, at_least: minor}]
    source: practice
"""
CALLS = """\
calls:
  - id: done
    title: Done
    ask: What was done to it?
    many: true
    answers:
      - {id: pads, title: Pads, claim: new-pads}
      - {id: nothing, title: Nothing}
    source: practice
"""
LOOKUPS = """\
lookups:
  - id: lien
    title: Lien record
    ask: Ask who holds a lien.
    where: The title office.
    items: [brakes.front-pads]
    source: practice
"""
LOAD = """\
load:
  - id: wheels
    title: Wheels
    why: The old ones fall apart.
    calls: [done/nothing]
    haul: [rolls/no]
    tools: [depth-gauge]
    source: practice
"""
HAUL = """\
haul:
  tongue: {low: "10", high: "15", source: practice}
  tiedowns: {least: "4", source: practice}
  tiedown_limit: {percent: "50", source: practice}
  brakes: {above: "3000", unit: lb, source: practice}
"""
TABLES = {"claims": CLAIMS, "calls": CALLS, "lookups": LOOKUPS, "load": LOAD, "haul": HAUL}


def test_sound_tables_travel_with_the_bundle(tmp_path: Path) -> None:
    made = bundle(load(write(tmp_path, **TABLES)))
    assert made["calls"][0]["answers"][0]["claim"] == "new-pads"
    assert "claim" not in made["calls"][0]["answers"][1]
    assert made["rules"]["lookups"][0]["stops"] is False
    assert made["load"][0]["calls"] == ["done/nothing"]
    assert made["haul"]["brakes"]["above"] == "3000"


@pytest.mark.parametrize(
    ("table", "was", "written", "told"),
    [
        ("calls", "claim: new-pads", "claim: new-pad", "calls.yaml:7: there's no claim 'new-pad'"),
        ("calls", "id: nothing", "id: pads", "calls.yaml:8: pads stands there twice"),
        ("calls", "id: done", "id: was-done", "calls.yaml:2"),
        ("calls", "source: practice", "source: hearsay", "there's no source 'hearsay'"),
        ("lookups", "brakes.front-pads", "brakes.front-pad", "there's no item 'brakes.front-pad'"),
        ("load", "done/nothing", "done/none", "nothing is called 'done/none'"),
        ("load", "rolls/no", "rolls/never", "nothing is called 'rolls/never'"),
        ("load", "[depth-gauge]", "[depth-gage]", "nothing is called 'depth-gage'"),
        ("load", "id: wheels", "id: depth-gauge", "depth-gauge stands there twice"),
        ("haul", 'percent: "50", source: practice', 'percent: "50", source: x', "no source 'x'"),
        ("haul", "unit: lb", "unit: stone", "haul.yaml:5"),
    ],
)
def test_a_fault_names_its_line_and_what_would_be_right(
    table: str, was: str, written: str, told: str, tmp_path: Path
) -> None:
    assert was in TABLES[table]
    broken = {**TABLES, table: TABLES[table].replace(was, written, 1)}
    if written.startswith("id: ") and table == "calls":
        broken["load"] = LOAD.replace("    calls: [done/nothing]\n", "")
    assert told in fault_of(write(tmp_path, **broken))


def test_a_line_that_nothing_puts_on_the_list_is_told(tmp_path: Path) -> None:
    never = "\n".join(
        line
        for line in LOAD.splitlines()
        if not line.strip().startswith(("calls", "haul", "tools"))
    )
    assert "say what puts this on the list" in fault_of(
        write(tmp_path, **{**TABLES, "load": never})
    )
