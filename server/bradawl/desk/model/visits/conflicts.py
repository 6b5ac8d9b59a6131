"""Settling what two people wrote without seeing each other: the puts that record a decision.

`settled/<path>` holds why, and stands for the decision: it is listed with who and when, and can be
taken back. A conflict that was reopened offers what everybody wrote there once more.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.errors import stale
from bradawl.desk.model.labels import label
from bradawl.desk.model.photo_views import NameOf, photos_beside
from bradawl.desk.model.recorded import author_of, said_value, zone_of
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import canonical
from bradawl.language import message

SETTLED = "settled/"


def settle(snapshot: Snapshot, path: str, at: str, why: str) -> Puts:
    """The puts that keep the value with the stamp `at`, over every other value of its path.

    Raises ApiError 409 when the record has moved on.
    """
    cells = snapshot.cells
    cell = cells.get(path)
    reopened = _is_reopened(snapshot, path)
    if cell is None or not (cell["others"] or reopened):
        raise stale(message("desk-conflict-settled"))
    values = {written["at"]: written["value"] for written in (cell, *cell["others"])}
    if reopened:
        values |= {written["at"]: written["value"] for written in _written(snapshot, path)}
    if at not in values:
        raise stale(message("desk-conflict-changed"))
    decision = (f"{SETTLED}{path}", {"why": why})
    return [decision, (path, values[at]), *_reason_along(cells, path, at)]


def reopen(snapshot: Snapshot, path: str, why: str) -> Puts:
    """The puts that ask anew about what was settled. Raises ApiError 409 where nothing was."""
    decision = cell_values.mapping(cell_values.value(snapshot.cells, f"{SETTLED}{path}"))
    if not decision or decision.get("reopened") is True:
        raise stale(message("desk-conflict-not-settled"))
    return [(f"{SETTLED}{path}", {"reopened": True, "why": why})]


def settled(snapshot: Snapshot, name_of: NameOf) -> list[dict[str, Any]]:
    """What was settled: what about, what counts, who decided, when and why; the newest first."""
    rows = []
    for path, cell in snapshot.cells.items():
        decision = cell_values.mapping(cell["value"]) if path.startswith(SETTLED) else {}
        if not decision or decision.get("reopened") is True:
            continue
        about = path.removeprefix(SETTLED)
        rows.append(
            {
                "path": about,
                "label": label(about, snapshot.texts),
                "text": said_value(snapshot, about, cell_values.value(snapshot.cells, about)),
                "why": cell_values.words(decision.get("why")),
                "author": name_of(author_of(cell["at"])),
                "at": cell["at"],
            }
        )
    return sorted(rows, key=lambda row: row["at"], reverse=True)


def reopened(snapshot: Snapshot, name_of: NameOf) -> list[dict[str, Any]]:
    """Conflicts that somebody asked about anew, as `findings.conflicts` gives the others."""
    zone = zone_of(snapshot)
    rows = []
    for path, cell in sorted(snapshot.cells.items()):
        about = path.removeprefix(SETTLED)
        if not path.startswith(SETTLED) or not _is_reopened(snapshot, about):
            continue
        decision = cell_values.mapping(cell["value"])
        stands = snapshot.cells.get(about)
        rows.append(
            {
                "path": about,
                "label": label(about, snapshot.texts),
                "photos": photos_beside(snapshot, about, name_of),
                "why": cell_values.words(decision.get("why")),
                "written": [
                    {
                        "at": written["at"],
                        "text": said_value(snapshot, about, written["value"]),
                        "author": name_of(author_of(written["at"])),
                        "unconfirmed": author_of(written["at"]) in snapshot.unconfirmed,
                        "zone": zone,
                        "standing": stands is not None and stands["value"] == written["value"],
                    }
                    for written in _written(snapshot, about)
                ],
            }
        )
    return rows


def _is_reopened(snapshot: Snapshot, path: str) -> bool:
    cell = snapshot.cells.get(f"{SETTLED}{path}")
    return cell is not None and cell_values.mapping(cell["value"]).get("reopened") is True


def _written(snapshot: Snapshot, path: str) -> list[dict[str, Any]]:
    """Each different value that was ever written at a path, with when it was last written."""
    last: dict[str, dict[str, Any]] = {}
    for event in snapshot.events:
        counts = not event.get("erased") and not event.get("fenced")
        if counts and event["put"] == path and event["value"] is not None:
            last[canonical(event["value"])] = {"at": event["at"], "value": event["value"]}
    return sorted(last.values(), key=lambda written: str(written["at"]))


def _reason_along(cells: Mapping[str, Any], path: str, at: str) -> Puts:
    """With a settled grade, the reason of who gave it: a reason older than its grade is none."""
    if not (path.startswith("items/") and path.endswith("/grade")):
        return []
    reason = path.removesuffix("grade") + "why"
    cell = cells.get(reason)
    if cell is None:
        return []
    own = [
        written["value"]
        for written in (cell, *cell["others"])
        if author_of(written["at"]) == author_of(at) and written["at"] >= at
    ]
    given = own[0] if own else None
    stands = cell["value"] is not None or cell["others"]
    return [(reason, given)] if given is not None or stands else []
