"""Chains as they are stored: how far each is held, what a batch adds, where two copies part."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from bradawl.errors import ApiError
from bradawl.log import events as ev
from bradawl.log import value_text, visits
from bradawl.log.clock import ms_of
from bradawl.log.tables import BATCH_SCOPES, BATCHES, DEVICES

MAX_BOUNDARIES = 1_000
MAX_MARKED = 500

#: Why a chain goes on from another one, and what the owner reads of it.
REASONS = {
    "lost": "the phone lost its storage and began anew",
    "forked": "two copies of one phone wrote different entries under the same numbers",
    "rolled_back": "the phone was set back to an older copy of itself",
    "restored": "the server was restored from a backup",
    "copied_back": "the server's data folder was replaced by an older copy",
    "file": "read in from a file that its phone had not signed for this version",
    "unknown": "entries of a phone that was never paired with this server",
}


def add_batch(
    connection: Connection,
    batch: ev.Batch,
    received_ms: int,
    *,
    known: bool,
    first: dict[str, Any] | None = None,
) -> None:
    """Store a checked batch that continues its chain.

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
    connection.execute(
        insert(BATCHES).values(
            device=batch.device,
            from_seq=batch.from_seq,
            to_seq=batch.to_seq,
            prev=batch.prev,
            head=batch.head,
            signature=batch.signature,
            received_ms=received_ms,
            body=ev.pack(batch.events),
        )
    )
    for summary in visits.summaries(batch, received_ms):
        visits.count(connection, summary)
        connection.execute(
            insert(BATCH_SCOPES).values(
                scope=summary.scope, device=batch.device, from_seq=batch.from_seq
            )
        )


def origin_of(batch: ev.Batch) -> dict[str, Any]:
    """Columns of the row of a chain that nobody paired: what it goes on from, and why."""
    begin = batch.events[0]
    if batch.from_seq == 1 and begin.put == ev.CONTINUES and begin.scope == ev.SHOP:
        value = value_text.value_of(begin.value) if not begin.erased else None
        if isinstance(value, dict):
            device, why = value.get("device"), value.get("why")
            return {
                "continues": device if isinstance(device, str) and ev.is_id(device) else "",
                "marked": why if why in REASONS else "unknown",
            }
    return {"marked": "unknown"}


def require_room_for_marked(connection: Connection) -> None:
    """Raises ApiError when too many chains wait for the owner: no phone may fill the list."""
    waiting = connection.execute(
        select(func.count()).select_from(DEVICES).where(DEVICES.c.marked != "")
    ).scalar_one()
    if waiting >= MAX_MARKED:
        raise ApiError(
            "unconfirmed",
            f"{waiting} chains of entries wait for the owner to confirm them. Nothing more of "
            "unknown phones is taken in until then; what is on the phone is safe.",
            409,
        )


def hash_at(connection: Connection, device: str, seq: int) -> str:
    """The hash of event `seq` of a chain that is held that far; "" for seq 0."""
    if seq == 0:
        return ""
    row = connection.execute(
        select(BATCHES).where(
            BATCHES.c.device == device, BATCHES.c.from_seq <= seq, BATCHES.c.to_seq >= seq
        )
    ).one()
    if row.to_seq == seq:
        return str(row.head)
    written = ev.unpack(row.body)[: seq - row.from_seq + 1]
    return ev.hash_of(ev.chain(device, row.from_seq, row.prev, written)[-1])


def boundaries(connection: Connection, device: str) -> list[tuple[int, str]]:
    """(seq, hash) of the ends of this chain's latest batches, in order: where two copies meet."""
    rows = connection.execute(
        select(BATCHES.c.to_seq, BATCHES.c.head)
        .where(BATCHES.c.device == device)
        .order_by(BATCHES.c.to_seq.desc())
        .limit(MAX_BOUNDARIES)
    )
    return [(seq, head) for seq, head in reversed(rows.all())]


def fork(connection: Connection, device: str, held: int, head: str) -> ApiError:
    """The refusal of events that part from what is held of their chain."""
    return ApiError(
        "fork",
        "The server holds other events under these numbers than the device sends: the device's "
        "record was copied or set back to an older state. Nothing is lost: the phone goes on "
        "under a new number by itself, and its entries come along.",
        409,
        held=held,
        head=head,
        boundaries=boundaries(connection, device),
    )
