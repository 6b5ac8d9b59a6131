"""Inspections and other scopes: which events belong to one, and the summary that a list shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, and_, func, select

from bradawl.log.format import events as ev
from bradawl.log.format.clock import is_far_ahead, stamp
from bradawl.log.format.tables import BATCH_SCOPES, BATCHES, SCOPES

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event

INSPECTION = "inspection/"


@dataclass(frozen=True)
class VisitSummary:
    """One inspection as the list shows it; stamps of its first and last event."""

    visit: str
    first_at: str
    last_at: str
    events: int


@dataclass(frozen=True)
class ScopeSummary:
    """What one batch adds to a scope."""

    scope: str
    first_at: str
    last_at: str
    events: int


def events_in(connection: Connection, scope: str) -> list[Event]:
    """A scope's events as plain values, in `at` order. Raises ApiError "damaged"."""
    rows = connection.execute(
        select(BATCHES)
        .join(
            BATCH_SCOPES,
            and_(
                BATCH_SCOPES.c.device == BATCHES.c.device,
                BATCH_SCOPES.c.from_seq == BATCHES.c.from_seq,
            ),
        )
        .where(BATCH_SCOPES.c.scope == scope, BATCHES.c.damaged.is_(False))
    )
    events = []
    for row in rows:
        written = ev.unpack(row.body)
        full = ev.chain(row.device, row.from_seq, row.prev, written)
        events += [
            ev.plain(event, stored)
            for event, stored in zip(full, written, strict=True)
            if event.scope == scope
        ]
    events.sort(key=lambda event: (event["at"], event["seq"]))
    return events


def summaries(batch: ev.Batch, received_ms: int) -> list[ScopeSummary]:
    """What a batch adds to each of its scopes."""
    stamps: dict[str, list[str]] = {}
    for index, event in enumerate(batch.events):
        at = event.at
        if is_far_ahead(at, received_ms):
            at = stamp(received_ms, min(index, 99_999), batch.device)
        stamps.setdefault(event.scope, []).append(at)
    return [
        ScopeSummary(scope, min(stamps[scope]), max(stamps[scope]), len(stamps[scope]))
        for scope in sorted(stamps)
    ]


def count(connection: Connection, add: ScopeSummary) -> None:
    """Add to a scope's row in one statement: two devices may write it at the same moment."""
    if connection.dialect.name == "sqlite":
        from sqlalchemy.dialects.sqlite import insert as upsert
    else:
        from sqlalchemy.dialects.postgresql import insert as upsert  # type: ignore[assignment]
    new = upsert(SCOPES).values(
        scope=add.scope, first_at=add.first_at, last_at=add.last_at, events=add.events
    )
    least, greatest = (
        (func.min, func.max) if connection.dialect.name == "sqlite" else (func.least, func.greatest)
    )
    connection.execute(
        new.on_conflict_do_update(
            index_elements=["scope"],
            set_={
                "first_at": least(SCOPES.c.first_at, new.excluded.first_at),
                "last_at": greatest(SCOPES.c.last_at, new.excluded.last_at),
                "events": SCOPES.c.events + new.excluded.events,
            },
        )
    )


def named(rows: Sequence[Any]) -> list[VisitSummary]:
    """Rows of inspections as summaries."""
    return [
        VisitSummary(scope.removeprefix(INSPECTION), first_at, last_at, events)
        for scope, first_at, last_at, events in rows
    ]
