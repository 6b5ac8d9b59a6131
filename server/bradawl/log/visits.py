"""Visits: which events belong to one, and the summary that a list shows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, and_, func, select

from bradawl.log import events as ev
from bradawl.log.tables import BATCH_VISITS, BATCHES, VISITS


@dataclass(frozen=True)
class VisitSummary:
    """One visit as the list shows it; stamps of its first and last event."""

    visit: str
    first_at: str
    last_at: str
    events: int


def events_of(connection: Connection, visit: str) -> list[ev.Event]:
    """A visit's events in `at` order. Raises ApiError "damaged"."""
    rows = connection.execute(
        select(BATCHES)
        .join(
            BATCH_VISITS,
            and_(
                BATCH_VISITS.c.device == BATCHES.c.device,
                BATCH_VISITS.c.from_seq == BATCHES.c.from_seq,
            ),
        )
        .where(BATCH_VISITS.c.visit == visit)
    )
    found = [
        event
        for row in rows
        for event in ev.chain(row.device, row.from_seq, row.prev, ev.unpack(row.body))
        if event.visit == visit
    ]
    found.sort(key=lambda event: event.at)
    return found


def live_stamps(events: Iterable[ev.Event], paths: set[str]) -> dict[str, set[str]]:
    """Per path the stamps that no later event there names in `over`, the winner's included."""
    alive: dict[str, set[str]] = {}
    dead: dict[str, set[str]] = {}
    for event in events:  # any order
        if event.put in paths:
            alive.setdefault(event.put, set()).add(event.at)
            dead.setdefault(event.put, set()).update(event.over)
    return {path: stamps - dead[path] for path, stamps in alive.items()}


def summaries(events: Sequence[ev.Written]) -> dict[str, VisitSummary]:
    """Per visit of a batch; the batch is in the order of its stamps."""
    first: dict[str, str] = {}
    last: dict[str, str] = {}
    count: dict[str, int] = {}
    for event in events:
        first.setdefault(event.visit, event.at)
        last[event.visit] = event.at
        count[event.visit] = count.get(event.visit, 0) + 1
    return {visit: VisitSummary(visit, first[visit], last[visit], count[visit]) for visit in first}


def count(connection: Connection, add: VisitSummary) -> None:
    """Add to a visit's row in one statement: two devices may write it at the same moment."""
    if connection.dialect.name == "sqlite":
        from sqlalchemy.dialects.sqlite import insert as upsert
    else:
        from sqlalchemy.dialects.postgresql import insert as upsert  # type: ignore[assignment]
    new = upsert(VISITS).values(
        visit=add.visit, first_at=add.first_at, last_at=add.last_at, events=add.events
    )
    least, greatest = (
        (func.min, func.max) if connection.dialect.name == "sqlite" else (func.least, func.greatest)
    )
    connection.execute(
        new.on_conflict_do_update(
            index_elements=["visit"],
            set_={
                "first_at": least(VISITS.c.first_at, new.excluded.first_at),
                "last_at": greatest(VISITS.c.last_at, new.excluded.last_at),
                "events": VISITS.c.events + new.excluded.events,
            },
        )
    )
