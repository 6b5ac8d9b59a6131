"""Readings that may mean more than one thing: the question, and the puts that settle it.

The judge says what they may mean (`judge/record/doubts.py`); until somebody says which, it rates
nothing by them. One answer goes for every place of a reading, as on the phone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import item_of, item_title, reading_title
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import argument, message

if TYPE_CHECKING:
    from bradawl.judge.values.types import Meaning, Problem, SaidList


def doubts(snapshot: Snapshot) -> list[dict[str, Any]]:
    """Each reading in doubt: what it is of, what was typed, and what it may mean, in words."""
    rows = []
    for path, problems in sorted(_by_reading(snapshot).items()):
        item, _, reading = path.partition("/")
        first = problems[0]["said"].get("args", {})["meanings"]
        rows.append(
            {
                "path": path,
                "item": item_title(snapshot.texts, item),
                "reading": reading_title(item_of(snapshot.texts, item), reading),
                "count": len(problems),
                "seen": _seen(snapshot, problems),
                "meanings": [
                    str(argument(meaning, snapshot.texts["rules"]))
                    for meaning in cast("SaidList", first)["list"]
                ],
            }
        )
    return rows


def settle_doubt(snapshot: Snapshot, path: str, meaning: str, seen: str) -> Puts:
    """The puts that say of a reading, `<item>/<reading>`, which of its meanings was meant.

    Raises ApiError 409 when the record has moved on.
    """
    problems = _by_reading(snapshot).get(path, [])
    if not problems or seen != _seen(snapshot, problems):
        raise stale(message("desk-doubt-changed"))
    offered = problems[0]["meanings"]
    if meaning not in map(str, range(len(offered))):
        raise stale(message("desk-doubt-changed"))
    puts: Puts = []
    for problem in problems:
        meant = _same(problem["meanings"], int(meaning), offered[int(meaning)]["unit"])
        stands = cell_values.mapping(cell_values.value(snapshot.cells, problem["path"]))
        if meant is not None:
            typed = stands.get("typed")
            read = {} if meant["read"] == typed else {"read": meant["read"]}
            value = {"typed": typed, "unit": meant["unit"], **read, "sure": True}
            puts.append((problem["path"], value))
    return puts


def _same(meanings: list[Meaning], place: int, unit: str) -> Meaning | None:
    """What another place means if the first means this: the same one, or one in that unit."""
    if place < len(meanings) and meanings[place]["unit"] == unit:
        return meanings[place]
    return next((meaning for meaning in meanings if meaning["unit"] == unit), None)


def _by_reading(snapshot: Snapshot) -> dict[str, list[Problem]]:
    """Doubts by `<item>/<reading>`; where two people disagree, that is settled first."""
    found: dict[str, list[Problem]] = {}
    for item, judgment in snapshot.assessment["items"].items():
        for problem in judgment["problems"]:
            if problem["code"] == "doubt" and not snapshot.cells[problem["path"]]["others"]:
                reading = problem["path"].split("/")[3]
                found.setdefault(f"{item}/{reading}", []).append(problem)
    return found


def _seen(snapshot: Snapshot, problems: list[Problem]) -> str:
    """The newest stamp of what is in doubt: what a page was made from."""
    return max(snapshot.cells[problem["path"]]["at"] for problem in problems)
