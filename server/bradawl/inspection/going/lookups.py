"""Look-ups before going as the desk shows them: the latest first, with what each still tells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.inspection.offer.paths import below, photos
from bradawl.judge.record.lookups import RESULTS
from bradawl.language import say

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells

__all__ = ["RESULTS", "Lookup", "lookups_of"]


@dataclass(frozen=True)
class Lookup:
    """A look-up; `old` says that it is to be looked up again, "" while it is not."""

    id: str
    kind: str
    result: str
    date: str
    note: str
    old: str
    photos: tuple[str, ...]


def lookups_of(
    cells: Cells, assessment: Mapping[str, Any], rules: Mapping[str, Any]
) -> list[Lookup]:
    """Every look-up that the judge knows; `rules` name what it names."""
    found_below = below(cells, "lookups")
    found = []
    for row in assessment.get("lookups") or ():
        paths = found_below.get(row["id"], {})
        note = cell_values.text(paths["note"]["value"]) if "note" in paths else ""
        old = say(row["old"], rules) if row["stands"] and "old" in row else ""
        shots = tuple(photos(paths))
        found.append(Lookup(row["id"], row["kind"], row["result"], row["date"], note, old, shots))
    return sorted(found, key=lambda row: (row.date, row.id), reverse=True)
