"""Cells out of the entries that a report's record shows: what was sealed, and what came later."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from bradawl.common.display_text import encodable
from bradawl.judge import event_id, fold

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cell, Cells, Event

__all__ = ["amendment_event", "cells_of", "event_of", "with_beside"]


def cells_of(
    shown: Iterable[Sequence[str]],
    amendments: Iterable[Mapping[str, Any]],
    seals: Iterable[Mapping[str, Any]],
) -> tuple[Cells, Cells]:
    """The cells after all that a record shows, and those under its seal. Raises ValueError."""
    sealed = [event_of(path, at, salt, recorded) for path, at, salt, recorded in shown]
    events = list(sealed)
    for amendment in amendments:
        # an amendment says what holds from then on: it stands for all that was there before
        over = [event_id(event) for event in events if event["put"] == amendment["put"]]
        events.append(amendment_event(amendment, over))
    events += [amendment_event({**seal, "put": f"seal/{seal['n']}"}, []) for seal in seals]
    return fold(events), fold(sealed)


def event_of(path: str, at: str, salt: str, recorded: str) -> Event:
    return cast(
        "Event",
        {
            "put": path,
            "at": at,
            "salt": salt,
            "text": recorded,
            "value": _shown(json.loads(recorded)),
            "commit": f"{at} {path} {salt}",  # a name: nobody checks it here
            "device": at.rpartition("-")[2],
            "scope": "",
            "seq": 0,
            "over": [],
        },
    )


def _shown(value: Any) -> Any:
    """A recorded value as the log gives it: without halves of characters."""
    if isinstance(value, str):
        return encodable(value)
    if isinstance(value, dict):
        return {key: _shown(inner) for key, inner in value.items()}
    return [_shown(inner) for inner in value] if isinstance(value, list) else value


def amendment_event(one: Mapping[str, Any], over: list[str]) -> Event:
    event = event_of(str(one["put"]), str(one["at"]), "", "null")
    event |= {"value": one["value"], "device": str(one["device"]), "over": over}
    return cast("Event", {**event, "erased": True}) if one.get("erased") else event


def with_beside(cells: Cells, beside: Mapping[str, Any]) -> Cells:
    """The cells with those that stand beside a record; None takes one away."""
    put = {**cells, **{path: cast("Cell", cell) for path, cell in beside.items() if cell}}
    return {path: put[path] for path in sorted(put) if path not in beside or beside[path]}
