"""An inspection's photos as a page shows them: address, caption, size, order, and who took them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

from bradawl.desk.model.recorded import author_of
from bradawl.inspection import cell_values
from bradawl.inspection.said import caption, clock_text
from bradawl.inspection.snapshot import Snapshot

SHA256 = re.compile(r"[0-9a-f]{64}")


NameOf = Callable[[str], str]


def photo_view(sha256: str, value: Any, snapshot: Snapshot) -> dict[str, Any]:
    """A photo's address at the desk, its caption, size and the moment it was taken."""
    about = cell_values.photo(value)
    return {
        "sha256": sha256,
        "src": f"/desk/photos/{sha256}",
        "caption": caption(value, snapshot.texts["rules"]),
        "taken": _taken(about.taken),
        "order": about.order,
        "moment": about.taken,
        "width": about.width,
        "height": about.height,
    }


def in_order(photos: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Photos of one check in the order in which a person put them, else as they were taken."""
    return sorted(photos, key=lambda one: (one["order"], one["moment"], one["sha256"]))


def _taken(recorded: str) -> str:
    """When a photo was taken, by the clock of its camera, which knows no zone."""
    day, _, time = recorded[:16].partition("T")
    return clock_text(cell_values.Moment(day, time, ""))


def photos_of(snapshot: Snapshot) -> list[str]:
    """The hashes of every photo and recording that the record still holds, each once, sorted."""
    named = {
        path.rsplit("/", 1)[1]
        for path, cell in snapshot.cells.items()
        if ("/photos/" in path or path.startswith("media/")) and cell["value"] is not None
    }
    return sorted(sha256 for sha256 in named if SHA256.fullmatch(sha256))


def photos_beside(snapshot: Snapshot, path: str, name_of: NameOf) -> list[dict[str, Any]]:
    """The photos of the item that a path belongs to, each with who took it."""
    if not path.startswith("items/"):
        return []
    prefix = "/".join(path.split("/")[:2]) + "/photos/"
    return in_order(
        {
            **photo_view(other.removeprefix(prefix), cell["value"], snapshot),
            "author": name_of(author_of(cell["at"])),
        }
        for other, cell in snapshot.cells.items()
        if other.startswith(prefix) and cell["value"] is not None
    )
