"""What a car's findings make of its drive home: what is watched, and what lies in the trunk.

The table is `checklists/driving.yaml`; whether it may be driven at all: `decisions/drive_home.py`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..grading.limits import is_worse
from ..values import grades

if TYPE_CHECKING:
    from ..values.types import DriveLine, DrivePlan, DriveWatch, Driving, Grade


def plan(driving: Driving, items: dict[str, Any], now: dict[str, Grade | None]) -> DrivePlan:
    """The lines of the table that this car wants, in the table's order.

    `items` are an assessment's judgments by item ({"asked", "state", "grade"} of each are read),
    `now` the grades that work has changed. A check that is asked and open counts as one to watch:
    unknown is never fine.
    """
    watch: list[DriveLine] = []
    kit: dict[str, DriveLine] = {}
    for row in driving["kit"]:
        kit[row["id"]] = {"id": row["id"], "found": [], "unseen": []}
    for line in driving["watch"]:
        found, unseen = _met(line, items, now)
        if found or unseen:
            watch.append({"id": line["id"], "found": found, "unseen": unseen})
        for name in line["kit"]:
            _add(kit[name]["found"], found)
            _add(kit[name]["unseen"], unseen)
    wanted = [
        kit[row["id"]]
        for row in driving["kit"]
        if row.get("reason") or kit[row["id"]]["found"] or kit[row["id"]]["unseen"]
    ]
    return {"watch": watch, "kit": wanted}


def _met(
    line: DriveWatch, items: dict[str, Any], now: dict[str, Grade | None]
) -> tuple[list[str], list[str]]:
    """The items that a line is for: those found bad enough, and those that nobody looked at."""
    found: list[str] = []
    unseen: list[str] = []
    for condition in line["when"]:
        for item in condition["item"]:
            judged = items.get(item)
            if judged is None or not judged["asked"]:
                continue
            grade = now[item] if item in now else judged["grade"]
            if grade in grades.FAULTS and not is_worse(condition["at_least"], grade):
                _add(found, [item])
            elif judged["state"] != "done" and item not in now:
                _add(unseen, [item])
    return found, unseen


def _add(names: list[str], more: list[str]) -> None:
    for name in more:
        if name not in names:
            names.append(name)
