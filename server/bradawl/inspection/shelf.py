"""Whether a visit stands in the lists, or was put away: archived, deleted, or never begun.

The phone does the same (`web/src/app/visit/shelf.ts`); `tests/inspection/shelf.json` holds both.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

ARCHIVED = "about/archived"
DELETED = "about/deleted"
NAME = "about/name"
#: Where a visit may be beside the lists, in the order in which they are shown.
SHELVES = ("archived", "deleted", "empty")
#: What the app notes by itself as a visit begins, and what says where it stands.
_OWN = {
    *("about/app", "about/bundle", "about/currency", "about/depth", "about/inspector"),
    *("about/region", "about/started", "car/id", ARCHIVED, DELETED),
}


def shelf_of(cells: Mapping[str, Mapping[str, Any]]) -> str:
    """Where a visit with these cells stands: one of SHELVES, or "" for the lists.

    What is signed is never deleted, and what somebody recorded of the car after a deletion brings
    the visit back: nobody's work disappears by a tap that had not seen it.
    """
    if _stands(cells, DELETED) and not _is_signed(cells) and not _is_worked_on(cells):
        return "deleted"
    if _stands(cells, ARCHIVED):
        return "archived"
    return "" if any(_is_told(path, cell) for path, cell in cells.items()) else "empty"


def _stands(cells: Mapping[str, Mapping[str, Any]], path: str) -> bool:
    return path in cells and cells[path]["value"] is True


def _is_signed(cells: Mapping[str, Mapping[str, Any]]) -> bool:
    return any(path.startswith("seal/") and cells[path]["value"] is not None for path in cells)


def _is_worked_on(cells: Mapping[str, Mapping[str, Any]]) -> bool:
    """Whether something of the car was recorded after the visit was deleted."""
    at = str(cells[DELETED]["at"])
    return any(
        not path.startswith("about/") and cell["value"] is not None and str(cell["at"]) > at
        for path, cell in cells.items()
    )


def _is_told(path: str, cell: Mapping[str, Any]) -> bool:
    """Whether a cell holds, or held, what a person said."""
    if path in _OWN:
        return False
    return cell["value"] is not None or bool(cell["others"]) or bool(cell.get("erased"))
