"""What was captured on the spot: what waits to be put with a check, and the recordings of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bradawl.desk.model import findings, photo_views, recorded
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.labels import item_of, item_title
from bradawl.inspection import cell_values
from bradawl.inspection.captured import Captured, captured
from bradawl.inspection.snapshot import Snapshot

__all__ = ["can_take", "entries_of", "recordings_by_item", "sorted_puts", "unsorted"]


def entries_of(snapshot: Snapshot) -> list[Captured]:
    """All that stands where nothing is sorted, and every recording."""
    return captured(snapshot.cells, snapshot.texts["rules"])


def unsorted(snapshot: Snapshot) -> list[dict[str, Any]]:
    """What belongs to no check yet, each with the check that it was captured near."""
    return [_view(snapshot, one) for one in entries_of(snapshot) if not one.is_sorted]


def recordings_by_item(snapshot: Snapshot) -> dict[str, list[dict[str, Any]]]:
    """The recordings of each check that has any."""
    found: dict[str, list[dict[str, Any]]] = {}
    for one in entries_of(snapshot):
        if one.item:
            found.setdefault(one.item, []).append(_view(snapshot, one))
    return found


def _view(snapshot: Snapshot, one: Captured) -> dict[str, Any]:
    near = one.near if can_take(snapshot, one.near) else ""
    about = {
        "path": one.path,
        "kind": one.kind,
        "text": one.text,
        "near": near,
        "near_title": item_title(snapshot.texts, near) if near else "",
        "taken": one.when(),
        "length": one.length,
        "sha256": one.sha256,
    }
    if one.kind == "photo":
        about |= photo_views.photo_view(
            one.sha256, cell_values.value(snapshot.cells, one.path), snapshot
        )
    elif one.is_sound:
        about["src"] = f"/desk/recordings/{one.sha256}"
    return about


def can_take(snapshot: Snapshot, item: str) -> bool:
    """Whether something can be put with a check: one of the checklist, or somebody's own."""
    known = item_of(snapshot.texts, item) is not None
    return bool(item) and (known or item in findings.own_findings(snapshot))


def sorted_puts(snapshot: Snapshot, wanted: Sequence[str], item: str) -> Puts:
    """The puts that put these entries with a check; what was sorted meanwhile is passed over."""
    puts: Puts = []
    noted = cell_values.words(recorded.value(snapshot, f"items/{item}/note"))
    before = noted
    for one in entries_of(snapshot):
        if one.path not in wanted or one.is_sorted:
            continue
        value = dict(cell_values.mapping(cell_values.value(snapshot.cells, one.path)))
        if one.is_sound:
            puts.append((one.path, {**value, "item": item}))
            continue
        if one.kind == "note":
            noted = f"{noted}\n{one.text}".strip()
        else:
            bare = {key: value[key] for key in value if key not in ("kind", "near")}
            puts.append((f"items/{item}/photos/{one.sha256}", bare))
        puts.append((one.path, None))
    if noted != before:
        puts += change_to(snapshot, f"items/{item}/note", noted)
    return puts
