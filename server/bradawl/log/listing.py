"""One chain as the owner looks through it: its entries in order, and the scopes they lie in."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, select

from bradawl.log import events as ev
from bradawl.log.tables import BATCH_SCOPES, BATCHES


def events_by(connection: Connection, device: str, first: int, count: int) -> list[dict[str, Any]]:
    """A device's events `first` to `first + count - 1`, as `events.plain` gives them.

    Damaged ones are passed over. Raises ApiError "damaged".
    """
    rows = connection.execute(
        select(BATCHES)
        .where(
            BATCHES.c.device == device,
            BATCHES.c.to_seq >= first,
            BATCHES.c.from_seq < first + count,
            BATCHES.c.damaged.is_(False),
        )
        .order_by(BATCHES.c.from_seq)
    )
    found = []
    for row in rows:
        written = ev.unpack(row.body)
        full = ev.chain(row.device, row.from_seq, row.prev, written)
        found += [
            ev.plain(event, stored)
            for event, stored in zip(full, written, strict=True)
            if first <= event.seq < first + count
        ]
    return found


def scopes_of(connection: Connection, device: str) -> list[str]:
    """The scopes that a device has written to, in order."""
    rows = connection.execute(
        select(BATCH_SCOPES.c.scope)
        .where(BATCH_SCOPES.c.device == device)
        .distinct()
        .order_by(BATCH_SCOPES.c.scope)
    )
    return [row.scope for row in rows]
