"""The findings of a visit as a list to look through: filtered, searched, and leading on.

What a finding leads to is its repair and what that costs, the complaints it may be behind, and
what work has closed it.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bradawl.desk.model.diagnosis import tables
from bradawl.desk.model.labels import money
from bradawl.desk.model.plan.types import anchor
from bradawl.inspection import cell_values, paying_less
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs.remedies import recorded
from bradawl.judge.values.grades import FAULTS, GRADES
from bradawl.language import argument, say

#: What a list may be narrowed to (`desk-standing-…`).
STANDINGS = ("danger", "open", "mended", "claimed")


@dataclass(frozen=True)
class Wanted:
    """What somebody looks for among the findings; empty texts ask for nothing."""

    area: str = ""
    grade: str = ""
    standing: str = ""
    words: str = ""

    @property
    def any(self) -> bool:
        return bool(self.area or self.grade or self.standing or self.words)


def narrowed(
    snapshot: Snapshot, areas: Sequence[Mapping[str, Any]], wanted: Wanted
) -> list[dict[str, Any]]:
    """Each area with those of its findings that somebody looks for; all of them stand in `all`."""
    closed, claimed = recorded(snapshot.cells)["closed"], claimed_items(snapshot)
    shown = []
    for area in areas:
        rows = [_marked(row, closed, claimed) for row in area["findings"]]
        fine = [_marked(row, closed, claimed) for row in area["in_order"]]
        shown.append(
            {
                **area,
                "findings": [row for row in rows if _fits(row, area, wanted)],
                "in_order": [row for row in fine if not wanted.any or _fits(row, area, wanted)],
                "all": rows,
            }
        )
    return shown


def claimed_items(snapshot: Snapshot) -> set[str]:
    """The items that rest on somebody's word alone."""
    return {
        path.split("/")[1]
        for path, cell in snapshot.cells.items()
        if path.startswith("items/") and path.endswith("/choice") and cell["value"] == "claimed"
    }


def _marked(
    row: Mapping[str, Any], closed: Container[str], claimed: Container[str]
) -> dict[str, Any]:
    mended = row["id"] in closed
    is_fault = row["grade"] in FAULTS
    standings = [
        name
        for name, holds in (
            ("danger", row["grade"] == "dangerous" and not mended),
            ("open", is_fault and not mended),
            ("mended", mended),
            ("claimed", row["id"] in claimed),
        )
        if holds
    ]
    said = [row["title"], row["choice"], row["text"], row["note"], row["where"]]
    said += [reason["text"] for reason in row["reasons"]]
    said += [f"{reading['title']} {reading['text']}" for reading in row["readings"]]
    words = " ".join(str(part) for part in said if part).casefold()
    return {**row, "mended": mended, "standings": standings, "words": words}


def _fits(row: Mapping[str, Any], area: Mapping[str, Any], wanted: Wanted) -> bool:
    return (
        wanted.area in ("", area["id"])
        and wanted.grade in ("", row["grade"])
        and wanted.standing in ("", *row["standings"])
        and all(word in row["words"] for word in wanted.words.casefold().split())
    )


def grades_found(areas: Sequence[Mapping[str, Any]]) -> list[str]:
    """The grades of which there is a finding, the worst first."""
    there = {row["grade"] for area in areas for row in area["all"]}
    return [grade for grade in ("dangerous", "major", "minor") if grade in there & set(GRADES)]


def leads(snapshot: Snapshot) -> dict[str, dict[str, Any]]:
    """By item, where a finding leads: its repair and cost, the complaints it may be behind."""
    found: dict[str, dict[str, Any]] = {}
    money_said: Mapping[str, Any] = snapshot.assessment.get("money") or {}
    currency = cell_values.currency(snapshot.cells)
    for line in money_said.get("lines", ()):
        for item in line["covers"] or [line["item"]]:
            said = str(argument(line["title"], snapshot.texts["rules"]))
            cost = money(line["expected"], currency)
            found.setdefault(item, {"symptoms": []})["repair"] = {"title": said, "cost": cost}
    for name, table in tables.symptoms_in_words(snapshot).items():
        behind = {
            repair.partition("/")[0]
            for cause in table["causes"]
            for repair in cause.get("repair", ())
        } | {test["takes"] for test in table["tests"] if test.get("takes")}
        for item in behind:
            row = found.setdefault(item, {"symptoms": []})
            row["symptoms"].append({"id": name, "title": table["title"]})
    for item, row in found.items():
        row["anchor"] = anchor(item)
    return found


def price_groups(snapshot: Snapshot, assessment: Mapping[str, Any]) -> list[paying_less.PriceGroup]:
    """The reasons to pay less in their groups, as `assessment` has them."""
    rules = snapshot.texts["rules"]

    def where(item: str) -> str:
        judged = cell_values.mapping(cell_values.mapping(assessment.get("items")).get(item))
        items = snapshot.texts["items"]
        return paying_less.where_of(item, judged.get("reasons"), snapshot.cells, items)

    told = cell_values.mapping(assessment.get("money"))
    return paying_less.groups(told, rules, where, lambda row: say(row["said"], rules))
