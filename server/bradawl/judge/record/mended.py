"""Which findings work has closed, with proof: decided here and nowhere else.

A finding is closed when whoever looked at it last after a job found no fault, and something shows
it: a photo of the job, a figure measured afterwards, or a photographed receipt. A word alone closes
nothing. Nor does a temporary fix, nor what a later record contradicts: a figure or a rating after
another job, or a new answer to the check itself. (The paths: server/bradawl/desk/README.md.)
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..values.types import Cell, Cells

#: What is said of an item and may contradict a repair: neither notes nor photos.
_ANSWERS = ("grade", "choice", "readings", "wires")


def mended(cells: Cells) -> dict[str, str]:
    """By item, the stamp at which it was found without a fault after work, with proof."""
    last: dict[str, tuple[str, int, str]] = {}
    temporary: list[str] = []
    for path in sorted(cells):
        is_there = cells[path]["value"] is not None
        if path.startswith("plan/temporary/"):
            if is_there or cells[path].get("withheld"):
                temporary.append(path)
        elif is_there and path.startswith("work/"):
            parts = path.split("/")
            if len(parts) > 4 and parts[-1] == "grade" and parts[-3] == "after":
                # of what was written at one moment the worse rating counts, then any rating
                item, order = parts[-2], 1 if _is_fine(cells[path]) else 2
            elif len(parts) > 6 and parts[-3] == "readings" and parts[-5] == "after":
                item, order = parts[-4], 0
            else:
                continue
            last[item] = max(last.get(item, ("", 0, "")), (cells[path]["at"], order, path))
    closed: dict[str, str] = {}
    for item in sorted(last):
        at, order, path = last[item]
        job = "/".join(path.split("/")[1:-3])
        if order != 1 or not _is_shown(job, item, cells) or _is_found_again(item, at, cells):
            continue
        if not [fix for fix in temporary if _holds(fix, job, item, at, cells)]:
            closed[item] = at
    return closed


def _is_fine(cell: Cell) -> bool:
    """Whether everybody who rated it found no fault."""
    ratings = [cell["value"]] + [other["value"] for other in cell["others"]]
    for rating in ratings:
        if rating is not None and not (isinstance(rating, dict) and rating.get("grade") == "none"):
            return False
    return True


def _holds(fix: str, job: str, item: str, at: str, cells: Cells) -> bool:
    """Whether a temporary fix is all that there is: of this job, or of the item and later."""
    own = "/".join(fix.split("/")[2:])
    return own == job or (own.startswith(item + "/") and cells[fix]["at"] > at)


def _is_shown(job: str, item: str, cells: Cells) -> bool:
    """Whether a photo, a figure or a receipt stands behind the job; also one left unprinted."""
    starts = ("work/" + job + "/photos/", "work/" + job + "/after/" + item + "/readings/")
    for path in cells:
        cell = cells[path]
        if cell["value"] is None and not cell.get("withheld"):
            continue
        if path.startswith(starts[0]) or path.startswith(starts[1]):
            return True
        parts = path.split("/")
        if parts[0] == "ledger" and len(parts) == 4 and parts[2] == "photos":
            entry = cells.get("ledger/" + parts[1])
            value = entry["value"] if entry is not None else None
            jobs = value.get("jobs") if isinstance(value, dict) else None
            if isinstance(jobs, list) and job in jobs:
                return True
    return False


def _is_found_again(item: str, at: str, cells: Cells) -> bool:
    start = "items/" + item + "/"
    for path in cells:
        if path.startswith(start) and path[len(start) :].split("/")[0] in _ANSWERS:
            if cells[path]["value"] is not None and cells[path]["at"] > at:
                return True
    return False
