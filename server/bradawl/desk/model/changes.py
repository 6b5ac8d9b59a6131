"""Changes to a record, as the puts that an event log takes; nothing that stands already is put."""

from __future__ import annotations

from typing import Any

from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot

#: (path, value) pairs; a value of None takes back what stands at the path.
Puts = list[tuple[str, Any]]


def change_to(snapshot: Snapshot, path: str, value: Any) -> Puts:
    """The put that makes `path` hold `value`, or none when it does already."""
    return [] if cell_values.value(snapshot.cells, path) == value else [(path, value)]


def next_free_word(snapshot: Snapshot, prefix: str) -> str:
    """The last segment of the first free path that begins with `prefix`: `own-3`."""
    n = 1
    while f"{prefix}{n}" in snapshot.cells:
        n += 1
    return f"{prefix}{n}".rsplit("/", 1)[1]
