"""What of a pushed batch is new, and whether it continues what is held of its chain."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from bradawl.common.errors import ApiError
from bradawl.language import message
from bradawl.log.chains import own_chains, repair
from bradawl.log.chains import stored as chains
from bradawl.log.chains.own_chains import OwnChains
from bradawl.log.format import events
from bradawl.log.format.tables import DEVICES


@dataclass(frozen=True)
class PushResult:
    """Up to which event of the device the log now holds, and that event's hash."""

    held: int
    head: str
    stored: int  # how many events of this batch were new


def add(
    connection: Connection,
    own: OwnChains,
    batch: events.Batch,
    received_ms: int,
    *,
    registered: bool,
    erased: Collection[str],
) -> tuple[PushResult, tuple[int, int] | None]:
    """Keep what is new of a batch; also the first and last seq that are stamped far ahead.

    What lacks a value that is not among the `erased` is passed over until somebody brings it
    whole, or the order to erase it.
    """
    row = connection.execute(
        select(DEVICES.c.held, DEVICES.c.head, DEVICES.c.last_at, DEVICES.c.kind)
        .where(DEVICES.c.device == batch.device)
        .with_for_update()
    ).first()
    held, head, last_at, kind = (0, "", "", "") if row is None else row
    damaged = repair.first_damaged(connection, batch) if batch.from_seq <= held else None
    if damaged is not None:
        if damaged < batch.from_seq:  # among them: what it should join cannot be told
            raise _gap(damaged - 1, chains.hash_at(connection, batch.device, damaged - 1))
        if repair.mend(connection, batch, damaged, erased):
            return _mended(batch, held, head, received_ms)
    new = _continuing(connection, batch, held, head, last_at)
    if new is None:
        return PushResult(held, head, 0), None
    first: dict[str, Any] = {}
    if row is None:
        ours = own.origin_of(connection, new)
        first = ours or chains.origin_of(new, registered=registered)
        if ours is None and not registered:
            chains.require_room_for_marked(connection)
    chains.add_batch(
        connection,
        new,
        received_ms,
        known=row is not None,
        first=first,
        damaged=chains.lacks_values(new, erased),
    )
    if kind == "shop":  # somebody holds more of an own chain than this server did
        own_chains.close(connection, [batch.device])
    ahead = chains.far_ahead(new.from_seq, new.events, received_ms)
    return PushResult(new.to_seq, new.head, len(new.events)), ahead


def _gap(held: int, head: str | None) -> ApiError:
    return ApiError(
        "gap",
        message("server-gap", held=held, next=held + 1),
        409,
        held=held,
        head=head or "",
    )


def _mended(
    batch: events.Batch, held: int, head: str, received_ms: int
) -> tuple[PushResult, tuple[int, int] | None]:
    """The answer to a batch that was put in place of damaged rows, and goes on perhaps."""
    if batch.to_seq <= held:
        return PushResult(held, head, 0), None
    new = batch.after(held)
    ahead = chains.far_ahead(new.from_seq, new.events, received_ms)
    return PushResult(new.to_seq, new.head, len(new.events)), ahead


def _continuing(
    connection: Connection, batch: events.Batch, held: int, head: str, last_at: str
) -> events.Batch | None:
    """What of a batch is new and continues its chain; None when all of it is held."""
    if batch.from_seq > held + 1:
        raise _gap(held, head)
    if batch.to_seq <= held:
        if batch.head != chains.hash_at(connection, batch.device, batch.to_seq):
            raise chains.fork(connection, batch, held, head)
        return None
    new = batch if batch.from_seq > held else batch.after(held)
    if new.prev != head:
        raise chains.fork(connection, batch, held, head)
    if new.events[0].at <= last_at:
        events.refuse(
            new.from_seq - batch.from_seq,
            message("server-event-order"),
        )
    return new
