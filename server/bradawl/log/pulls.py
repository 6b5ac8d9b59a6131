"""What one device lacks, gathered from the rows in order and within bounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import msgspec
from sqlalchemy import Connection, select

from bradawl.log import events as ev
from bradawl.log.tables import BATCHES, DEVICES

PULL_EVENTS = 4_000  # in one answer, more or less: whole rows are sent
PULL_BYTES = 4_000_000
PULL_ROWS = 4_000


@dataclass(frozen=True)
class PulledBatch:
    """Consecutive events of one device; `body` is the JSON array of them."""

    device: str
    from_seq: int
    prev: str
    body: bytes
    head: str
    count: int  #: how many events


@dataclass(frozen=True)
class PullResult:
    """What the asker lacks, `more` when this is not all, and how far each device is held.

    `run` changes when the server is started anew, and so after every restore from a backup: a
    phone then asks again about the photos that it took for held.
    """

    batches: list[PulledBatch]
    more: bool
    held: dict[str, int]
    run: str

    def json(self) -> bytes:
        """The answer as it is sent; stored events go in as they are."""
        return msgspec.json.encode(
            {
                "batches": [
                    {
                        "device": one.device,
                        "from_seq": one.from_seq,
                        "prev": one.prev,
                        "events": msgspec.Raw(one.body),
                        "head": one.head,
                    }
                    for one in self.batches
                ],
                "more": self.more,
                "held": self.held,
                "run": self.run,
            }
        )


@dataclass(frozen=True)
class Gathered:
    """Batches in the order of devices, `more` when not all, and how far each device is held."""

    batches: list[PulledBatch]
    more: bool
    held: dict[str, int]


def held_by_device(connection: Connection) -> dict[str, int]:
    """Up to which event each device is held."""
    rows = connection.execute(select(DEVICES.c.device, DEVICES.c.held).order_by(DEVICES.c.device))
    return {row.device: row.held for row in rows}


def gather(connection: Connection, have: Mapping[str, int]) -> Gathered:
    """What somebody who `have` (device to highest seq) lacks. Raises ApiError "damaged"."""
    held = held_by_device(connection)
    behind = {device: have.get(device, 0) for device in held if have.get(device, 0) < held[device]}
    runs: list[_Run] = []
    events = size = 0
    more = False
    for device, seq in behind.items():
        run = _Run(device, seq)
        runs.append(run)
        rows = connection.execute(
            select(BATCHES)
            .where(BATCHES.c.device == device, BATCHES.c.to_seq > seq)
            .order_by(BATCHES.c.from_seq)
            .limit(PULL_ROWS),
            execution_options={"stream_results": True, "max_row_buffer": 64},
        )
        for row in rows:
            if events and (events >= PULL_EVENTS or size + len(row.body) > PULL_BYTES):
                more = True
                break
            run.take(row)
            events += row.to_seq - max(seq, row.from_seq - 1)
            size += len(row.body)
        rows.close()
        more = more or run.to_seq < held[device]
        if more:
            break
    return Gathered([batch for run in runs for batch in run.batches()], more, held)


class _Run:
    """What one device's rows give a device that holds its events up to `seq`."""

    def __init__(self, device: str, seq: int) -> None:
        self.device = device
        self.to_seq = seq
        self._from = seq + 1
        self._prev: str | None = None
        self._head = ""
        self._parts: list[bytes] = []
        self._done: list[PulledBatch] = []

    def take(self, row: Any) -> None:
        """Add the next row; it is consecutive to what was taken."""
        body, prev = row.body, row.prev
        written = ev.unpack(row.body)  # a page that was lost is said here, not by the phone
        if row.from_seq <= self.to_seq:
            skip = self.to_seq - row.from_seq + 1
            full = ev.chain(self.device, row.from_seq, row.prev, written[:skip])
            body, prev = ev.pack(written[skip:]), ev.hash_of(full[-1])
        if row.to_seq - self._from + 1 > ev.MAX_EVENTS:
            self._close()
        if self._prev is None:
            self._prev = prev
        self._parts.append(bytes(body)[1:-1])
        self.to_seq, self._head = row.to_seq, row.head

    def batches(self) -> list[PulledBatch]:
        self._close()
        return self._done

    def _close(self) -> None:
        if self._prev is not None:
            body = b"[" + b",".join(self._parts) + b"]"
            count = self.to_seq - self._from + 1
            self._done.append(
                PulledBatch(self.device, self._from, self._prev, body, self._head, count)
            )
        self._from, self._prev, self._parts = self.to_seq + 1, None, []
