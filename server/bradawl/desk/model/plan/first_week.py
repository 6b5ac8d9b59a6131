"""The first week: a car's findings and its unproven maintenance in the order of `week.yaml`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from bradawl.desk.model.plan.recorded import maintenance_of, work_done
from bradawl.inspection.snapshot import Snapshot
from bradawl.inspection.standing import grade_now, mended_items
from bradawl.judge.values.grades import FAULTS
from bradawl.language import argument


@dataclass(frozen=True)
class Found:
    """A finding that is still open, and how bad it is."""

    item: str
    title: str
    grade: str


@dataclass(frozen=True)
class Step:
    """One step; `due` are the titles of maintenance that no receipt proves and nobody has done."""

    id: str
    title: str
    text: str
    found: tuple[Found, ...]
    due: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]


def first_week(snapshot: Snapshot) -> list[Step]:
    """Every step of the checklist in its order; none where it has no first week.

    A finding or a line of maintenance stands with the first step that names it.
    """
    texts: Any = snapshot.texts
    open_items = _open_findings(snapshot)
    due = {
        str(row["id"]): str(argument(row["title"], texts["rules"]))
        for row in maintenance_of(snapshot)
        if row["due"] and not work_done(snapshot, f"baseline/{row['id']}")
    }
    steps = []
    for row in texts.get("week") or ():
        found = [one for one in open_items if _belongs(one.item, row.get("items") or ())]
        open_items = [one for one in open_items if one not in found]
        warned = [texts["cautions"][name] for name in row.get("cautions") or ()]
        steps.append(
            Step(
                row["id"],
                row["title"],
                row["text"],
                tuple(found),
                tuple(due.pop(name) for name in row.get("upkeep") or () if name in due),
                tuple((caution["title"], caution["text"]) for caution in warned),
            )
        )
    return steps


def _open_findings(snapshot: Snapshot) -> list[Found]:
    """The findings that no work has closed, the worst first."""
    assessment = snapshot.assessment
    closed = mended_items(assessment)
    titles = {item["id"]: item["title"] for item in snapshot.texts["items"]}
    return [
        Found(item, titles.get(item, item), str(grade))
        for item in assessment.get("findings") or ()
        if item not in closed and (grade := grade_now(assessment, item)) in FAULTS
    ]


def _belongs(item: str, names: Iterable[str]) -> bool:
    return any(item == name or item.startswith(f"{name}.") for name in names)
