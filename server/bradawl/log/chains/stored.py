"""Chains as they are stored: how far each is held, what a batch adds, where two copies part."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from bradawl.common.errors import ApiError
from bradawl.language import message
from bradawl.log.chains import scopes
from bradawl.log.format import events as ev
from bradawl.log.format import value_text
from bradawl.log.format.clock import is_far_ahead, ms_of
from bradawl.log.format.tables import BATCH_SCOPES, BATCHES, DEVICES

ERASE = "erase/"  # begins the path of an order to erase
MAX_EXACT = 1_000  # boundaries that are every single event's
MAX_ENDS = 400  # boundaries before these, ends of batches; the older, the fewer
MAX_MARKED = 500

#: Why a chain goes on from another one; `server-chain-…` says it to the owner.
REASONS = (
    *("lost", "forked", "rolled_back", "restored", "copied_back", "file", "clock", "unsigned"),
    "unknown",
)


def lacks_values(batch: ev.Batch, erased: Collection[str]) -> bool:
    """Whether a batch comes without a value that nobody ordered to be erased.

    Its hashes and signature hold all the same, so anybody who brings another's batch may leave
    values out. `erased` are the commitments of what was ordered; the batch may have orders itself.
    """
    lacking = {event.commit for event in batch.events if event.erased} - set(erased)
    return bool(lacking - ordered_in(batch)) if lacking else False


def ordered_in(batch: ev.Batch) -> set[str]:
    """Commitments of what a batch orders to be erased, whether or not its device may order."""
    values = [
        value_text.value_of(event.value)
        for event in batch.events
        if event.scope == ev.SHOP and event.put.startswith(ERASE) and not event.erased
    ]
    return {str(value.get("commit")) for value in values if isinstance(value, dict)}


def insert_row(
    connection: Connection, batch: ev.Batch, received_ms: int, *, damaged: bool = False
) -> None:
    """Write a checked batch as a row; nothing else of its chain changes."""
    connection.execute(
        insert(BATCHES).values(
            device=batch.device,
            from_seq=batch.from_seq,
            to_seq=batch.to_seq,
            prev=batch.prev,
            head=batch.head,
            signature=batch.signature,
            received_ms=received_ms,
            damaged=damaged,
            body=ev.pack(batch.events),
        )
    )


def add_batch(
    connection: Connection,
    batch: ev.Batch,
    received_ms: int,
    *,
    known: bool,
    first: dict[str, Any] | None = None,
    damaged: bool = False,
) -> None:
    """Store a checked batch that continues its chain; a `damaged` one is kept and passed over.

    `first` are further columns of the chain's row when it is not `known` yet.
    """
    last_at = batch.events[-1].at
    state = {
        "held": batch.to_seq,
        "head": batch.head,
        "last_at": last_at,
        "received_ms": received_ms,
        "skew_ms": ms_of(last_at) - received_ms,
    }
    if known:
        connection.execute(update(DEVICES).where(DEVICES.c.device == batch.device).values(state))
    else:
        connection.execute(
            insert(DEVICES).values(device=batch.device, key=batch.key, **state, **(first or {}))
        )
    insert_row(connection, batch, received_ms, damaged=damaged)
    if damaged:
        return
    for summary in scopes.summaries(batch, received_ms):
        scopes.count(connection, summary)
        connection.execute(
            insert(BATCH_SCOPES).values(
                scope=summary.scope, device=batch.device, from_seq=batch.from_seq
            )
        )


def continued_by(batch: ev.Batch) -> dict[str, Any] | None:
    """The value of a chain's first event where it says what the chain goes on from, else None."""
    begin = batch.events[0]
    if batch.from_seq != 1 or (begin.scope, begin.put) != (ev.SHOP, ev.CONTINUES):
        return None
    value = None if begin.erased else value_text.value_of(begin.value)
    if not isinstance(value, dict):
        return None
    device, why = value.get("device"), value.get("why")
    if not isinstance(device, str) or not ev.is_id(device) or device == batch.device:
        return None
    return {"device": device, "why": why if isinstance(why, str) and why in REASONS else "unknown"}


def origin_of(batch: ev.Batch, *, registered: bool) -> dict[str, Any]:
    """Columns of the row of a new chain: what it goes on from, and why the owner should look."""
    origin = continued_by(batch)
    if origin is not None:
        return {"continues": origin["device"], "marked": origin["why"]}
    return {} if registered else {"marked": "unknown"}


def writer_of(connection: Connection, device: str) -> str:
    """As whom an own chain of this server is written; empty for any other chain."""
    return str(
        connection.execute(
            select(DEVICES.c.stands_for).where(DEVICES.c.device == device, DEVICES.c.kind == "shop")
        ).scalar()
        or ""
    )


def far_ahead(
    from_seq: int, events: Sequence[ev.Written], received_ms: int
) -> tuple[int, int] | None:
    """(first, last) seq of those that were stamped far ahead of when they came; None for none."""
    if not is_far_ahead(events[-1].at, received_ms):
        return None  # stamps rise
    first = next(i for i, event in enumerate(events) if is_far_ahead(event.at, received_ms))
    return from_seq + first, from_seq + len(events) - 1


def require_room_for_marked(connection: Connection) -> None:
    """Raises ApiError when too many chains wait for the owner: no phone may fill the list."""
    waiting = connection.execute(
        select(func.count()).select_from(DEVICES).where(DEVICES.c.marked != "")
    ).scalar_one()
    if waiting >= MAX_MARKED:
        raise ApiError(
            "unconfirmed",
            message("server-unconfirmed", count=waiting),
            409,
        )


def hash_at(connection: Connection, device: str, seq: int) -> str | None:
    """The hash of event `seq` of a chain that is held that far; "" for seq 0.

    None where it lies among damaged ones.
    """
    if seq == 0:
        return ""
    hashes = hashes_of(connection, device, seq, seq)
    return hashes[0][1] if hashes else None


def hashes_of(
    connection: Connection, device: str, from_seq: int, to_seq: int
) -> list[tuple[int, str]]:
    """(seq, hash) of a chain's events from one to another, in order, without damaged ones."""
    rows = connection.execute(
        select(BATCHES)
        .where(
            BATCHES.c.device == device,
            BATCHES.c.from_seq <= to_seq,
            BATCHES.c.to_seq >= from_seq,
            BATCHES.c.damaged.is_(False),
        )
        .order_by(BATCHES.c.from_seq)
    )
    hashed: list[tuple[int, str]] = []
    for row in rows:
        if row.to_seq == from_seq:
            hashed.append((row.to_seq, row.head))
            continue
        chained = ev.chain(device, row.from_seq, row.prev, ev.unpack(row.body))
        hashes = [event.prev for event in chained[1:]]
        hashes.append(row.head)
        hashed += [
            (event.seq, event_hash)
            for event, event_hash in zip(chained, hashes, strict=True)
            if from_seq <= event.seq <= to_seq
        ]
    return hashed


def boundaries(connection: Connection, device: str, asked_seq: int) -> list[tuple[int, str]]:
    """(seq, hash), rising: where somebody who holds this chain up to `asked_seq` may meet it.

    Near its end every event, so that nothing that is shared is written anew; before, ends of
    batches, the older the fewer.
    """
    held = connection.execute(select(DEVICES.c.held).where(DEVICES.c.device == device)).scalar()
    last = min(asked_seq, held or 0)
    exact_from = max(last - MAX_EXACT + 1, 1)
    ends = connection.execute(
        select(BATCHES.c.to_seq, BATCHES.c.head)
        .where(BATCHES.c.device == device, BATCHES.c.to_seq < exact_from)
        .order_by(BATCHES.c.to_seq.desc())
    ).all()
    thinned = [
        (seq, head)
        for index, (seq, head) in enumerate(ends)
        if index % 2 ** max(index.bit_length() - 6, 0) == 0
    ]
    return [*thinned[:MAX_ENDS][::-1], *hashes_of(connection, device, exact_from, last)]


def fork(connection: Connection, batch: ev.Batch, held: int, head: str) -> ApiError:
    """The refusal of events that part from what is held of their chain."""
    return ApiError(
        "fork",
        message("server-fork"),
        409,
        held=held,
        head=head,
        boundaries=boundaries(connection, batch.device, batch.to_seq),
    )
