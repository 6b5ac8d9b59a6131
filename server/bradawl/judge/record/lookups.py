"""What was looked up of the car before anybody drove there, each with its day and its result.

lookups/<id>/kind is a look-up of the checklist; result, date and note beside it, and
lookups/<id>/photos/<sha256> shows what the office answered.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .claims import below, first_text

if TYPE_CHECKING:
    from ..values.types import Cells, Lookup

PATH = "lookups/"
#: Of what two people wrote unseen of one another the first here counts.
RESULTS = ("bad", "not_found", "good")


def lookups(cells: Cells) -> list[Lookup]:
    """Every look-up with a kind and a result, sorted by id; damaged values are not there."""
    found: list[Lookup] = []
    fields = below(cells, PATH)
    for name in sorted(fields):
        own = fields[name]
        kind, told = first_text(own.get("kind")), own.get("result") or []
        results = [result for result in RESULTS if result in told]
        if kind and results:
            row: Any = {"id": name, "kind": kind, "result": results[0]}
            row["date"] = first_text(own.get("date"))
            found.append(row)
    return found
