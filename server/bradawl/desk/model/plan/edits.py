"""Edits of the plan's rows, as puts: a remedy or a wish that differs from what stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.plan.types import TITLE_LIMIT, Remedy
from bradawl.desk.model.typed_values import as_typed
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.costs import plan as arithmetic
from bradawl.judge.costs import remedies as judge
from bradawl.language import argument

#: What a wish's row holds.
WISH = ("title", "parts", "hours", "need", "loss")


def plan_stamp(snapshot: Snapshot) -> str:
    """The newest stamp among the plan's cells: what a page was made from."""
    stamps = [cell["at"] for path, cell in snapshot.cells.items() if path.startswith("plan/")]
    return max(stamps, default="")


def wish_edit(
    name: str, stands: Mapping[str, Any], typed: dict[str, Any], texts: Mapping[str, Any]
) -> Puts:
    """The put for a wish, `wants/<word>`, whose typed row differs from what stands.

    `texts` are the checklist's rules in the language of who typed it: a title is left as it is
    recorded where it stands as that reader was shown it.
    """
    wish = judge.checked(name, "", dict(stands), "own") or judge.checked(name, "", {}, "own")
    assert wish is not None  # an empty one is a remedy that costs nothing
    before = {
        **stands,
        **{key: wish[key] for key in ("parts", "hours", "loss")},
        "title": str(argument(judge.wanted_title(dict(stands)), texts)),
        "need": stands.get("need") is True,
        "class": cell_values.text(stands.get("class")) or "comfort",
        "uses": cell_values.texts(stands.get("uses")),
    }
    after = {**before, **{key: typed[key] for key in WISH}}
    if _comparable(after) == _comparable(before):
        return []
    return [(f"plan/{name}", {**after, "title": _named(before, after, wish["title"])})]


def remedy_edit(remedy: Remedy, typed: dict[str, Any]) -> Puts:
    """The put for a remedy whose typed row differs from what stands.

    A title that nobody changed stays the checklist's, in each reader's language.
    """
    stands = {name: getattr(remedy, name) for name in ("kind", *WISH)}
    if _comparable(typed) == _comparable(stands):
        return []
    also = [item for item in remedy.covers if item != remedy.item]
    title = _named(stands, typed, remedy.typed_title)
    return [(f"plan/remedies/{remedy.id}", {**typed, "title": title, "also": also})]


def _named(shown: dict[str, Any], typed: dict[str, Any], stands: str) -> str:
    """The title to record: what was typed, or what `stands` where nobody changed it."""
    is_renamed = _comparable(typed)["title"] != _comparable(shown)["title"]
    return str(typed["title"]) if is_renamed else stands


def _comparable(remedy: dict[str, Any]) -> dict[str, Any]:
    """What two rows are compared by: 1.5 and 1.50 hours are no change, nor is a title as shown."""
    return {
        **remedy,
        "hours": [arithmetic.hundredths(hours) for hours in remedy["hours"]],
        "title": as_typed(remedy["title"], TITLE_LIMIT),
    }
