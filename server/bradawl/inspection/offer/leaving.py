"""The bargain over a car and an earlier visit to it, as the desk shows them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from bradawl.judge.trouble import leaving as judge

if TYPE_CHECKING:
    from bradawl.inspection.snapshot import Snapshot
    from bradawl.judge.values.types import Again, Closing, Leaving


def leaving_of(snapshot: Snapshot) -> Leaving:
    """What the judge makes of the bargain, as a phone is told it too."""
    price = (snapshot.assessment.get("money") or {}).get("price") or {}
    return judge.leaving(
        snapshot.cells, price.get("arguments") or [], price.get("walk_away"), price.get("opening")
    )


def closing_of(snapshot: Snapshot, today: str) -> Closing:
    """The closing papers of the visit's region as they stand on a day, YYYY-MM-DD."""
    return judge.closing(snapshot.bundle.get("closing") or [], snapshot.cells, today)


def again_of(earlier: Snapshot, snapshot: Snapshot) -> Again:
    """An earlier visit to the same car beside this one."""
    return judge.again(earlier.cells, snapshot.cells, _graded(earlier), _graded(snapshot))


def _graded(snapshot: Snapshot) -> dict[str, str]:
    """Grades of what was answered, by item."""
    items: Mapping[str, Any] = snapshot.assessment.get("items") or {}
    return {
        item: judged["grade"]
        for item, judged in items.items()
        if judged["grade"] is not None and judged["state"] != "open"
    }
