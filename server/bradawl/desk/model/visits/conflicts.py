"""Settling what two people wrote without seeing each other: the puts that record a decision."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.errors import stale
from bradawl.desk.model.findings import author_of
from bradawl.language import message


def settle(cells: Mapping[str, Any], path: str, at: str) -> Puts:
    """The puts that keep the value with the stamp `at`, over every other value of its path.

    Raises ApiError 409 when the record has moved on.
    """
    cell = cells.get(path)
    if cell is None or not cell["others"]:
        raise stale(message("desk-conflict-settled"))
    values = {written["at"]: written["value"] for written in (cell, *cell["others"])}
    if at not in values:
        raise stale(message("desk-conflict-changed"))
    return [(path, values[at]), *_reason_along(cells, path, at)]


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
