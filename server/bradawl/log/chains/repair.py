"""What a damaged database can get back: rows from what they follow from, events from phones.

A batch whose bytes no longer add up is set aside where it lies: pages and pulls pass it over, and
phones that hold the same events are asked to bring them. Everything that only follows from the
events (how far a chain is held, what lists show) is worked out anew.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select, update

from bradawl.common import device_keys
from bradawl.common.errors import ApiError
from bradawl.language import text
from bradawl.log.chains import scopes, stored
from bradawl.log.format import events as ev
from bradawl.log.format.batches import require_signature
from bradawl.log.format.tables import BATCH_SCOPES, BATCHES, DEVICES, SCOPES


def read_row(row: Any, key: str) -> ev.Batch | None:
    """A stored row of BATCHES as its device signed it; None when its bytes do not add up."""
    try:
        batch = ev.check(
            row.device, row.from_seq, row.prev, ev.unpack(row.body), key, row.signature
        )
        if (batch.to_seq, batch.head) != (row.to_seq, row.head):
            return None
        require_signature(batch)
    except (ApiError, TypeError, AttributeError):
        return None
    return batch


def repair(connection: Connection) -> list[str]:
    """Set damaged batches aside and derive what follows from the others; what was done."""
    done = []
    erased = _erased(connection)
    for device in connection.execute(select(DEVICES).order_by(DEVICES.c.device)).all():
        damaged = _set_aside(connection, device, erased)
        if damaged:
            events = sum(row.to_seq - row.from_seq + 1 for row in damaged)
            done.append(text("server-repair-aside", count=events, device=device.device[:8]))
        done += _derive_device(connection, device)
    if _rebuild_lists(connection):
        done.append(text("server-repair-lists"))
    return done


def _rows(connection: Connection, device: str) -> Iterator[Any]:
    yield from connection.execute(
        select(BATCHES).where(BATCHES.c.device == device).order_by(BATCHES.c.from_seq)
    ).all()


def _erased(connection: Connection) -> set[str]:
    """Commitments of what the shop ordered to be erased, as far as its own chains add up."""
    erased: set[str] = set()
    for device in connection.execute(select(DEVICES).where(DEVICES.c.kind == "shop")).all():
        for row in _rows(connection, device.device):
            batch = read_row(row, device.key)
            erased |= stored.ordered_in(batch) if batch is not None else set()
    return erased


def explain(connection: Connection, erased: Collection[str]) -> bool:
    """Show what was passed over for values that are now among the `erased`; whether any was."""
    rows = connection.execute(
        select(BATCHES, DEVICES.c.key)
        .join(DEVICES, DEVICES.c.device == BATCHES.c.device)
        .where(BATCHES.c.damaged)
    ).all()
    whole = [
        (row.device, row.from_seq)
        for row in rows
        if (batch := read_row(row, row.key)) and not stored.lacks_values(batch, erased)
    ]
    for device, from_seq in whole:
        connection.execute(
            update(BATCHES)
            .where(BATCHES.c.device == device, BATCHES.c.from_seq == from_seq)
            .values(damaged=False)
        )
    if whole:
        _rebuild_lists(connection)
    return bool(whole)


def _set_aside(connection: Connection, device: Any, erased: set[str]) -> list[Any]:
    """Mark what does not add up or does not join what lies before it; the rows so marked."""
    damaged = []
    seq, head = 0, ""
    for row in _rows(connection, device.device):
        batch = read_row(row, device.key)
        if batch is not None:
            joins = row.from_seq == seq + 1 and head in ("", row.prev)
            if not joins or stored.lacks_values(batch, erased):
                batch = None
        bad = batch is None and device_keys.is_key_of(device.key, device.device)
        if bad != row.damaged:
            connection.execute(
                update(BATCHES)
                .where(BATCHES.c.device == row.device, BATCHES.c.from_seq == row.from_seq)
                .values(damaged=bad)
            )
        if bad:
            damaged.append(row)
        # what follows a damaged row is held against its own signature alone
        seq, head = row.to_seq, "" if bad else row.head
    return damaged


def _derive_device(connection: Connection, device: Any) -> list[str]:
    """How far a chain is held follows from its last row, where that is whole."""
    rows = list(_rows(connection, device.device))
    last = rows[-1] if rows else None
    if last is None or last.damaged:
        return []
    last_at = ev.unpack(last.body)[-1].at
    if (device.held, device.head, device.last_at) == (last.to_seq, last.head, last_at):
        return []
    connection.execute(
        update(DEVICES)
        .where(DEVICES.c.device == device.device)
        .values(held=last.to_seq, head=last.head, last_at=last_at)
    )
    return [text("server-repair-device", device=device.device[:8])]


def _rebuild_lists(connection: Connection) -> bool:
    """Fill SCOPES and BATCH_SCOPES from the events; whether they were others before."""
    before = _lists(connection)
    connection.execute(delete(BATCH_SCOPES))
    connection.execute(delete(SCOPES))
    for row in connection.execute(
        select(BATCHES).where(BATCHES.c.damaged.is_(False)).order_by(BATCHES.c.device)
    ).all():
        batch = ev.Batch(row.device, row.from_seq, row.prev, ev.unpack(row.body), [row.head])
        _list(connection, batch, row.received_ms)
    return _lists(connection) != before


def _list(connection: Connection, batch: ev.Batch, received_ms: int) -> None:
    for summary in scopes.summaries(batch, received_ms):
        scopes.count(connection, summary)
        connection.execute(
            insert(BATCH_SCOPES).values(
                scope=summary.scope, device=batch.device, from_seq=batch.from_seq
            )
        )


def _lists(connection: Connection) -> tuple[list[Any], list[Any]]:
    return (
        [tuple(row) for row in connection.execute(select(SCOPES).order_by(SCOPES.c.scope))],
        sorted(tuple(row) for row in connection.execute(select(BATCH_SCOPES))),
    )


def wanted(connection: Connection) -> dict[str, int]:
    """Per device with damaged events: after which seq to bring them."""
    rows = connection.execute(
        select(BATCHES.c.device, func.min(BATCHES.c.from_seq))
        .where(BATCHES.c.damaged)
        .group_by(BATCHES.c.device)
    )
    return {device: first - 1 for device, first in rows}


def first_damaged(connection: Connection, batch: ev.Batch) -> int | None:
    """Where the first damaged row begins that a batch overlaps, or None."""
    from_seq: int | None = connection.execute(
        select(func.min(BATCHES.c.from_seq)).where(*_overlapping(batch), BATCHES.c.damaged)
    ).scalar()
    return from_seq


def _overlapping(batch: ev.Batch) -> tuple[Any, ...]:
    return (
        BATCHES.c.device == batch.device,
        BATCHES.c.from_seq <= batch.to_seq,
        BATCHES.c.to_seq >= batch.from_seq,
    )


def mend(connection: Connection, batch: ev.Batch, first: int, erased: Collection[str]) -> bool:
    """Put a signed batch in place of damaged rows, the first from `first` on; whether it did.

    It must join what lies before that, and be the same as what is whole: else it is another life
    of the device. It need not end where a row ends: what is left of that row stays.
    """
    part = batch.after(first - 1) if first > batch.from_seq else batch
    before = connection.execute(
        select(BATCHES).where(BATCHES.c.device == batch.device, BATCHES.c.to_seq == first - 1)
    ).first()
    if before is not None and not before.damaged and before.head != part.prev:
        return False
    rows = [
        row
        for row in connection.execute(
            select(BATCHES).where(*_overlapping(batch)).order_by(BATCHES.c.from_seq)
        ).all()
        if row.to_seq >= first
    ]
    following = connection.execute(
        select(BATCHES).where(
            BATCHES.c.device == batch.device, BATCHES.c.from_seq == part.to_seq + 1
        )
    ).first()
    if following is not None and not following.damaged and following.prev != part.head:
        return False
    if not all(row.damaged or _is_same(part, row) for row in rows):
        return False
    connection.execute(
        delete(BATCH_SCOPES).where(
            BATCH_SCOPES.c.device == batch.device,
            BATCH_SCOPES.c.from_seq.in_([row.from_seq for row in rows]),
        )
    )
    connection.execute(
        delete(BATCHES).where(
            BATCHES.c.device == batch.device,
            BATCHES.c.from_seq.in_([row.from_seq for row in rows]),
        )
    )
    last = rows[-1]
    stored.insert_row(
        connection,
        part,
        max(row.received_ms for row in rows),
        damaged=stored.lacks_values(part, erased),
    )
    if last.to_seq > part.to_seq:
        _keep_rest(connection, part, last)
    elif not _goes_on(connection, part):
        connection.execute(
            update(DEVICES)
            .where(DEVICES.c.device == part.device)
            .values(held=part.to_seq, head=part.head, last_at=part.events[-1].at)
        )
    _rebuild_lists(connection)
    return True


def _is_same(part: ev.Batch, row: Any) -> bool:
    """Whether a whole row holds the same events as a batch, as far as both reach."""
    last = min(part.to_seq, row.to_seq)
    if last == row.to_seq:
        return bool(part.hashes[last - part.from_seq] == row.head)
    full = ev.chain(row.device, row.from_seq, row.prev, ev.unpack(row.body))
    return bool(full[last - row.from_seq + 1].prev == part.head)


def _keep_rest(connection: Connection, part: ev.Batch, row: Any) -> None:
    """What a row holds after a batch that covers its beginning; of a damaged one it is unknown."""
    kept = dict(row._mapping)
    kept |= {"from_seq": part.to_seq + 1, "prev": part.head}
    if not row.damaged:
        kept["body"] = ev.pack(ev.unpack(row.body)[part.to_seq - row.from_seq + 1 :])
    connection.execute(insert(BATCHES).values(**kept))


def _goes_on(connection: Connection, part: ev.Batch) -> bool:
    return (
        connection.execute(
            select(BATCHES.c.from_seq).where(
                BATCHES.c.device == part.device, BATCHES.c.from_seq > part.to_seq
            )
        ).first()
        is not None
    )
