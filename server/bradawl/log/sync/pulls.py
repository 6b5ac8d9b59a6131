"""What one device lacks, gathered from the rows in order and within bounds."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import msgspec
from sqlalchemy import Connection, select

from bradawl.log.chains import repair
from bradawl.log.chains import stored as chains
from bradawl.log.chains.orders import own_devices
from bradawl.log.format import batches as pushed
from bradawl.log.format import events as ev
from bradawl.log.format.tables import BATCHES, DEVICES

PULL_EVENTS = 4_000  # in one answer, more or less: whole rows are sent
PULL_BYTES = 4_000_000
PULL_ROWS = 4_000
MAX_WANTED = 200  # chains in one answer that the asker should bring
MAX_FORKED = 20  # chains in one answer of which boundaries are given

#: How far somebody holds each device: its highest seq, and that event's hash.
Have = Mapping[str, tuple[int, str]]


@dataclass(frozen=True)
class PulledBatch:
    """Consecutive events of one device; `body` is the JSON array of them."""

    device: str
    key: str
    from_seq: int
    prev: str
    body: bytes
    head: str
    signature: str
    count: int  #: how many events


@dataclass(frozen=True)
class Gathered:
    """What the asker lacks, `more` when this is not all, and how far each device is held.

    `shop` names the server's own chains. `want` says of which devices the asker has more than
    the server, and up to where that holds them. `forked` has the boundaries of chains where the
    asker's copy is another than the server's.
    """

    batches: list[PulledBatch]
    more: bool
    held: dict[str, int]
    shop: list[str]
    want: dict[str, int]
    forked: dict[str, list[tuple[int, str]]]


@dataclass(frozen=True)
class PullResult:
    """What is answered to a pull.

    `run` changes when the server is started anew, and so after every restore from a backup: a
    phone then asks again about the blobs that it took for held.
    """

    found: Gathered
    run: str

    def json(self, server_ms: int) -> bytes:
        """The answer as it is sent; stored events go in as they are."""
        return msgspec.json.encode(
            {
                "protocol": pushed.PROTOCOL,
                "batches": [
                    {
                        "device": batch.device,
                        "key": batch.key,
                        "from_seq": batch.from_seq,
                        "prev": batch.prev,
                        "events": msgspec.Raw(batch.body),
                        "head": batch.head,
                        "signature": batch.signature,
                    }
                    for batch in self.found.batches
                ],
                "more": self.found.more,
                "held": self.found.held,
                "shop": self.found.shop,
                "want": self.found.want,
                "forked": self.found.forked,
                "run": self.run,
                "server_ms": server_ms,
            }
        )


def held_by_device(connection: Connection) -> dict[str, int]:
    """Up to which event each device is held."""
    rows = connection.execute(select(DEVICES.c.device, DEVICES.c.held).order_by(DEVICES.c.device))
    return {row.device: row.held for row in rows}


def gather(connection: Connection, have: Have) -> Gathered:
    """What somebody who `have` lacks. Raises ApiError "damaged"."""
    rows = connection.execute(
        select(DEVICES.c.device, DEVICES.c.key, DEVICES.c.held, DEVICES.c.head).order_by(
            DEVICES.c.device
        )
    ).all()
    held = {row.device: row.held for row in rows}
    shop = own_devices(connection)
    forked: dict[str, list[tuple[int, str]]] = {}
    batches: list[PulledBatch] = []
    events = size_bytes = 0
    more = False
    for row in rows:
        seq, head = have.get(row.device, (0, ""))
        if seq > row.held or more:
            continue
        run = _Run(row.device, row.key, seq, head)
        parted = seq == row.held and head not in ("", row.head)
        skipped = False
        for batch in _rows_after(connection, row.device, seq) if seq < row.held else ():
            if events and (events >= PULL_EVENTS or size_bytes + len(batch.body) > PULL_BYTES):
                more = True
                break
            if batch.damaged:  # what follows comes when a phone has brought it
                skipped = True
                break
            if not run.take(batch):
                parted = True
                break
            events += batch.to_seq - max(seq, batch.from_seq - 1)
            size_bytes += len(batch.body)
        if parted and len(forked) < MAX_FORKED:
            forked[row.device] = chains.boundaries(connection, row.device, seq)
        more = more or (not parted and not skipped and run.to_seq < row.held)
        batches += run.batches()
    whole = held | repair.wanted(connection)
    return Gathered(batches, more, held, shop, _wanted(have, whole, shop), forked)


def _rows_after(connection: Connection, device: str, seq: int) -> Iterator[Any]:
    stored = connection.execute(
        select(BATCHES)
        .where(BATCHES.c.device == device, BATCHES.c.to_seq > seq)
        .order_by(BATCHES.c.from_seq)
        .limit(PULL_ROWS),
        execution_options={"stream_results": True, "max_row_buffer": 64},
    )
    try:
        yield from stored
    finally:
        stored.close()


def _wanted(have: Have, whole: Mapping[str, int], shop: Collection[str]) -> dict[str, int]:
    """Chains that the asker can bring: the shop's first, since they say what others may be.

    `whole` says per device up to which event the chain is whole here.
    """
    longer = [device for device in have if have[device][0] > whole.get(device, 0)]
    longer.sort(key=lambda device: (device not in shop, device))
    return {device: whole.get(device, 0) for device in longer[:MAX_WANTED]}


class _Run:
    """What one device's rows give somebody who holds its events up to `seq`, that with `head`."""

    def __init__(self, device: str, key: str, seq: int, head: str) -> None:
        self.device = device
        self.to_seq = seq
        self._key = key
        self._expected = head
        self._from = seq + 1
        self._prev: str | None = None
        self._head = self._signature = ""
        self._parts: list[bytes] = []
        self._done: list[PulledBatch] = []

    def take(self, row: Any) -> bool:
        """Add the next row, consecutive to what was taken; False when the asker's is another."""
        body, prev = row.body, row.prev
        written = ev.unpack(row.body)  # a page that was lost is said here, not by the phone
        if row.from_seq <= self.to_seq:
            skip = self.to_seq - row.from_seq + 1
            full = ev.chain(self.device, row.from_seq, row.prev, written[:skip])
            body, prev = ev.pack(written[skip:]), ev.hash_of(full[-1])
        if self._expected not in ("", prev):
            return False
        self._expected = ""
        if row.to_seq - self._from + 1 > pushed.MAX_EVENTS:
            self._close()
        if self._prev is None:
            self._prev = prev
        self._parts.append(bytes(body)[1:-1])
        self.to_seq, self._head, self._signature = row.to_seq, row.head, row.signature
        return True

    def batches(self) -> list[PulledBatch]:
        self._close()
        return self._done

    def _close(self) -> None:
        if self._prev is not None:
            body = b"[" + b",".join(self._parts) + b"]"
            self._done.append(
                PulledBatch(
                    self.device,
                    self._key,
                    self._from,
                    self._prev,
                    body,
                    self._head,
                    self._signature,
                    self.to_seq - self._from + 1,
                )
            )
        self._from, self._prev, self._parts = self.to_seq + 1, None, []
