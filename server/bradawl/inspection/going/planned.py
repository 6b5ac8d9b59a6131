"""The load list and the haul plan of a car, as the judge makes them of what was said and typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.judge.trouble.hauling import CHOICES, LOADS, RATINGS, STRAPS, haul_plan
from bradawl.judge.trouble.loading import STATES, load_list
from bradawl.judge.values import units
from bradawl.language import say, text

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot

__all__ = ["CHOICES", "STATES", "STRAPS", "UNITS", "WEIGHTS", "WORDS", "Line", "Row"]

#: Loads and what each is rated for, in the order in which they are asked.
WEIGHTS = (
    *("car", "gear", "trailer", "trailer_rating", "tow_rating", "hitch_rating"),
    *("tongue", "tongue_rating", "strap_limit"),
)
assert set(WEIGHTS) == {*LOADS, *RATINGS}
UNITS = tuple(units.alike("lb"))[::-1]
WORDS = ("daylight", "weather")


@dataclass(frozen=True)
class Line:
    """A line of the load list: `items` are the open checks that need it."""

    id: str
    title: str
    why: str
    tool: bool
    items: tuple[str, ...]
    state: str


@dataclass(frozen=True)
class Row:
    """One thing of the haul plan, `state` fine, over or missing; `source` is "" for practice."""

    id: str
    state: str
    said: str
    source: str


def lines_of(snapshot: Snapshot, texts: Mapping[str, Any]) -> list[Line]:
    """What to load; `texts` is the checklist as its reader reads it."""
    rows = {row["id"]: row for row in texts.get("load") or ()}
    if not rows:
        return []
    judged = snapshot.assessment.get("items") or {}
    states = {name: str(row["state"]) for name, row in judged.items() if row.get("asked")}
    rules = snapshot.bundle["rules"]
    made = load_list(snapshot.cells, states, rules, list(snapshot.bundle.get("load") or ()))
    found = []
    for line in made:
        own = rows.get(line["id"]) or {}
        why = [say(said, texts.get("rules") or {}) for said in line["because"]]
        why += [str(own["why"])] if "why" in own else []
        title = text("judge-tool-" + line["id"]) if line["tool"] else str(own.get("title"))
        items = tuple(line["items"])
        found.append(Line(line["id"], title, " ".join(why), line["tool"], items, line["state"]))
    return found


def plan_of(snapshot: Snapshot, texts: Mapping[str, Any]) -> tuple[str, list[Row]]:
    """What the haul plan comes to, and its rows, the worst first; "" for an older checklist."""
    figures = snapshot.bundle.get("haul")
    if not figures:
        return "", []
    plan = haul_plan(snapshot.cells, figures)
    sources = texts.get("sources") or {}
    rows = []
    for state in ("over", "missing", "fine"):
        for check in plan["checks"]:
            if check["state"] == state:
                named = sources.get(check["source"]) if check["source"] != "practice" else None
                source = str(named["title"]) if named else ""
                said = say(check["said"], texts.get("rules") or {})
                rows.append(Row(check["id"], state, said, source))
    return plan["answer"], rows


def choice(snapshot: Snapshot, field: str) -> str:
    """What was chosen or typed in words; "" for nothing."""
    return cell_values.text(cell_values.value(snapshot.cells, f"haul/{field}"))


def weight(snapshot: Snapshot, field: str) -> tuple[str, str]:
    """A weight as it was typed, with its unit; ("", "") for none."""
    value = cell_values.mapping(cell_values.value(snapshot.cells, f"haul/{field}"))
    typed, unit = cell_values.text(value.get("typed")), cell_values.text(value.get("unit"))
    return (typed, unit) if unit in UNITS else ("", "")
