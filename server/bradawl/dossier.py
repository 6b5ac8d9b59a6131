"""One visit gathered for the desk and the report: events, fold, checklist, judgement, seals."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from bradawl.judgement import (
    CanonicalError,
    amendments,
    assess,
    covered,
    fold,
    photos_text,
    record_text,
)

Event = dict[str, Any]
Cells = dict[str, dict[str, Any]]


class EventSource(Protocol):
    """What a dossier needs of the log."""

    def events_of(self, visit: str) -> list[Event]: ...
    def bundle(self, bundle_hash: str) -> dict[str, Any] | None: ...
    def photo(self, sha256: str) -> bytes | None: ...


@dataclass(frozen=True)
class Seal:
    """A seal event; `holds` says whether the record it covers still has the digests it names."""

    n: int
    value: dict[str, Any]
    at: str
    device: str
    holds: bool
    problem: str


@dataclass(frozen=True)
class Dossier:
    """Everything that is known of one visit, at one moment.

    `cells` is the fold of all events; `sealed_cells` the fold of those the last seal covers;
    `amendments` the events that came after it. `photo` gives the served copy of a photo, or
    None when it has not arrived. `forgotten` names the paths whose values are shown to nobody.
    """

    visit: str
    events: list[Event]
    cells: Cells
    bundle: dict[str, Any]
    assessment: dict[str, Any]
    seals: list[Seal]
    amendments: list[Event]
    sealed_cells: Cells | None
    photo: Callable[[str], bytes | None]
    forgotten: frozenset[str] = frozenset()


class UnknownVisit(LookupError):
    """No event names that visit."""


def gather(
    log: EventSource,
    visit: str,
    *,
    today: str,
    current_bundle: Callable[[], dict[str, Any]],
    withhold: Callable[[str, list[Event]], list[Event]] = lambda _visit, events: events,
) -> Dossier:
    """The dossier of `visit` as of `today` (YYYY-MM-DD).

    `current_bundle` is asked only for a visit whose own checklist never reached this server.
    `withhold` leaves out of a visit's events what is shown to nobody any more; seals are checked
    on the events as they were recorded, everything else is made of what `withhold` leaves.
    Raises UnknownVisit.
    """
    recorded = log.events_of(visit)
    if not recorded:
        raise UnknownVisit(f"No visit {visit} is on this server.")
    events = withhold(visit, recorded)
    cells = fold(events)
    began_with = cells.get("about/bundle", {}).get("value")
    kept = log.bundle(began_with) if isinstance(began_with, str) else None
    bundle = kept or current_bundle()
    seals = [
        _checked(visit, event, recorded)
        for event in events
        if event["put"].startswith("seal/") and isinstance(event["value"], Mapping)
    ]
    through = seals[-1].value.get("through") if seals else None
    sealed_events = covered(events, through) if seals else None
    return Dossier(
        visit=visit,
        events=events,
        cells=cells,
        bundle=bundle,
        assessment=assess({"visit": visit, "cells": cells}, bundle["rules"], today),
        seals=seals,
        amendments=amendments(events, through) if seals else [],
        sealed_cells=None if sealed_events is None else fold(sealed_events),
        photo=log.photo,
        forgotten=frozenset(
            was["put"]
            for was, event in zip(recorded, events, strict=True)
            if was is not event and event["value"] is None
        ),
    )


def _checked(visit: str, event: Event, events: list[Event]) -> Seal:
    value = event["value"]
    cells = fold(covered(events, value.get("through")))
    photos = value.get("photos")
    problem = ""
    try:
        record = _sha256(record_text(visit, cells))
    except CanonicalError:
        record = ""  # what has no canonical text was never sealed
    if record != value.get("record"):
        problem = "The findings under this seal are not those that were sealed."
    elif not isinstance(photos, Mapping) or _sha256(photos_text(cells)) != photos.get("hash"):
        problem = "The photos under this seal are not those that were sealed."
    number = event["put"].partition("/")[2]
    return Seal(
        n=int(number) if number.isdigit() else 0,
        value=value,
        at=event["at"],
        device=event["device"],
        holds=not problem,
        problem=problem,
    )


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
