"""What this server records itself, at the desk and as the shop, on chains of its own."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import Lock
from typing import Any

from sqlalchemy import Connection, Engine, func, select, update
from sqlalchemy import text as sql_text

from bradawl.common.device_keys import DeviceKey
from bradawl.common.errors import ApiError
from bradawl.database.connection import writing
from bradawl.judge import live_ids
from bradawl.language import message
from bradawl.log.chains import stored
from bradawl.log.chains.orders import CLOCK, Controls, clock_order, own_devices
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.format import batches, value_text
from bradawl.log.format import events as ev
from bradawl.log.format.clock import highest_believed, is_far_ahead, next_stamp
from bradawl.log.format.tables import BATCHES, DEVICES
from bradawl.log.format.value_text import ValueFaultError

#: As whom the server itself writes: orders about clocks, keys of devices.
SERVER = hashlib.sha256(b"the server itself").hexdigest()[:32]
MAX_BATCH_BYTES = 4_000_000  # of one batch: whoever brings it back may send at most 8 MB

#: scope, path, value
Put = tuple[str, str, Any]


@dataclass
class Recording:
    """A transaction in which own chains are added to; `ends` are noted once it is on the disk."""

    connection: Connection
    now_ms: int
    ends: dict[str, tuple[int, str, str]] = field(default_factory=dict)  # seq, head, writer
    count: int = 0


@dataclass(frozen=True)
class Chain:
    """An own chain at one moment."""

    key: DeviceKey
    seq: int = 0
    head: str = ""
    last_at: str = ""


class OwnChains:
    """The chains that this server writes; one transaction adds to them at a time.

    A second one, begun between another's commit and its note, would find its chain further than
    noted, and take the database for a copy.
    """

    def __init__(self, keys: OwnKeys, controls: Controls) -> None:
        self._keys = keys
        self._controls = controls
        self._turn = Lock()
        #: What of events that are written down for others may be kept; see `erasing`.
        self.kept_out: Callable[[Connection, list[ev.Written]], list[ev.Written]] = (
            lambda _connection, written: written
        )

    @contextmanager
    def recording(self, engine: Engine, now_ms: int) -> Iterator[Recording]:
        """A transaction that may add to own chains."""
        with self._turn:
            with writing(engine) as connection:
                recording = Recording(connection, now_ms)
                yield recording
            for device, (seq, head, writer) in recording.ends.items():
                self._keys.note(device, seq, head, writer)

    def append(self, recording: Recording, writer: str, puts: Sequence[Put]) -> None:
        """Record `puts` as `writer` on an own chain.

        Stamps are later than every stamp that is believed, `over` names all that stands at the
        path. Raises ApiError "event" for what no event may hold.
        """
        if not puts:
            return
        chain = self._going_on(recording, writer)
        if chain is None:
            self._begin(recording, writer, puts)
        else:
            self._write_on(recording, writer, chain, puts, {})

    def _begin(self, recording: Recording, writer: str, puts: Sequence[Put]) -> None:
        """The same on a new chain, which says from which one it goes on and why."""
        connection = recording.connection
        first = {"kind": "shop", "stands_for": writer}
        begun: list[Put] = []
        before = _last_chain(connection, writer, recording.now_ms)
        if before is not None:
            first["continues"] = before["device"]
            begun.append((ev.SHOP, ev.CONTINUES, before))
            begun += _corrections(connection, before["device"], recording.now_ms)
        chain = Chain(self._keys.create())
        self._write_on(recording, writer, chain, [*begun, *puts], first)

    def _write_on(
        self,
        recording: Recording,
        writer: str,
        chain: Chain,
        puts: Sequence[Put],
        first: Mapping[str, Any],
    ) -> None:
        latest = max(_latest_believed(recording), chain.last_at)
        standing = self._standing(recording.connection, puts)
        written = []
        for scope, path, value in puts:
            latest = next_stamp(recording.now_ms, latest, chain.key.device)
            over = standing.get((scope, path), [])
            event = write(latest, scope, path, value, over)
            standing[scope, path] = [f"{latest}~{ev.commit_of(event)}"]
            written.append(event)
        store(recording, writer, chain, written, first)

    def _standing(
        self, connection: Connection, puts: Iterable[Put]
    ) -> dict[tuple[str, str], list[str]]:
        """Ids that stand at each scope and path that will be written to."""
        paths: dict[str, set[str]] = {}
        for scope, path, _ in puts:
            # an order about a clock replaces nothing: each is about other events
            if not (scope == ev.SHOP and path.startswith(CLOCK)):
                paths.setdefault(scope, set()).add(path)
        standing = {}
        for scope, wanted in paths.items():
            events = self._controls.events_in(connection, scope)
            there = [event for event in events if event["put"] in wanted]
            for path, ids in live_ids(there).items():
                standing[scope, path] = ids
            if scope == ev.SHOP:
                # Orders are read from own chains alone. What others write over one hides it from
                # the first look, and may not keep it from being replaced.
                own = set(own_devices(connection))
                ours = live_ids([event for event in there if event["device"] in own])
                for path, ids in ours.items():
                    standing[scope, path] = sorted({*ids, *standing[scope, path]})
        return standing

    def _going_on(self, recording: Recording, writer: str) -> Chain | None:
        """The writer's chain that may go on here; chains that may not are left as they are."""
        rows = recording.connection.execute(
            select(DEVICES.c.device, DEVICES.c.held, DEVICES.c.head, DEVICES.c.last_at)
            .where(
                DEVICES.c.stands_for == writer,
                DEVICES.c.kind == "shop",
                DEVICES.c.closed.is_(False),
            )
            .order_by(DEVICES.c.device)
            .with_for_update()
        ).all()
        for device, held, head, last_at in rows:
            # written while the server's own clock ran far ahead: its stamps would stay there
            if is_far_ahead(last_at, recording.now_ms):
                continue
            key = self._keys.key_of(device)
            if key is not None and self._keys.may_go_on(device, held, head):
                return Chain(key, held, head, last_at)
        return None

    def origin_of(self, connection: Connection, batch: ev.Batch) -> dict[str, Any] | None:
        """Columns of the row of an own chain that this database lacks; None for any other's.

        A restored server is brought what it wrote after its backup: it knows its own key.
        """
        if self._keys.key_of(batch.device) is None:
            return None
        origin = stored.continued_by(batch)
        writer = self.writer_of(connection, batch.device)
        if not writer and origin is not None:
            writer = stored.writer_of(connection, origin["device"])
        return {
            "kind": "shop",
            "closed": True,
            "stands_for": writer,
            "continues": "" if origin is None else origin["device"],
        }

    def writer_of(self, connection: Connection, device: str) -> str:
        """As whom an own chain is written, also one that this database lacks; else empty."""
        return stored.writer_of(connection, device) or (
            self._keys.writer_of(device) if self._keys.key_of(device) is not None else ""
        )

    def new_key(self) -> DeviceKey:
        """The key of a new chain. Raises OSError."""
        return self._keys.create()


def write(at: str, scope: str, path: str, value: Any, over: list[str]) -> ev.Written:
    """A new event with a fresh salt. Raises ApiError "event"."""
    try:
        content = value_text.text_of(value)
    except ValueFaultError as error:
        raise ApiError("event", message("server-value", why=error.args[0]), 422) from error
    return ev.Written(at, over, path, scope, "", value_text.new_salt(), content)


def store(
    recording: Recording,
    writer: str,
    chain: Chain,
    written: list[ev.Written],
    first: Mapping[str, Any],
) -> None:
    """Sign and store what continues a chain, in as many batches as it takes.

    `first` are the columns of the chain's row, when it has none yet.
    """
    seq, head, device = chain.seq, chain.head, chain.key.device
    for part in _parts(written):
        batch = ev.check(device, seq + 1, head, part)
        signature = chain.key.sign(batches.head_text(device, batch.to_seq, batch.head))
        signed = ev.Batch(device, seq + 1, head, part, batch.hashes, chain.key.public, signature)
        stored.add_batch(
            recording.connection, signed, recording.now_ms, known=seq > 0, first={**first}
        )
        seq, head = batch.to_seq, batch.head
    recording.ends[device] = (seq, head, writer)
    recording.count += len(written)


def _parts(written: Sequence[ev.Written]) -> Iterator[list[ev.Written]]:
    part: list[ev.Written] = []
    size_bytes = 0
    for event in written:
        event_bytes = len(ev.pack([event]))
        if part and (len(part) == batches.MAX_EVENTS or size_bytes + event_bytes > MAX_BATCH_BYTES):
            yield part
            part, size_bytes = [], 0
        part.append(event)
        size_bytes += event_bytes
    yield part


def close(connection: Connection, devices: Iterable[str]) -> None:
    """End own chains of which somebody holds more than this server does, or something else."""
    connection.execute(
        update(DEVICES)
        .where(DEVICES.c.device.in_(list(devices)), DEVICES.c.kind == "shop")
        .values(closed=True)
    )


def _last_chain(connection: Connection, writer: str, now_ms: int) -> dict[str, Any] | None:
    """What the writer's next chain goes on from, as the value of `device/continues`."""
    row = connection.execute(
        select(DEVICES.c.device, DEVICES.c.held, DEVICES.c.head, DEVICES.c.last_at)
        .where(DEVICES.c.stands_for == writer, DEVICES.c.kind == "shop")
        .order_by(DEVICES.c.received_ms.desc(), DEVICES.c.device)
        .limit(1)
    ).first()
    if row is None:
        return None
    if is_far_ahead(row.last_at, now_ms):
        why = "clock"
    else:
        why = "restored" if _was_restored(connection) else "copied_back"
    return {"device": row.device, "seq": row.held, "head": row.head, "why": why}


def _was_restored(connection: Connection) -> bool:
    """Whether the database came from a backup, which marks its copy."""
    if connection.dialect.name != "sqlite":
        return False
    return bool(connection.execute(sql_text("PRAGMA user_version")).scalar())


def _corrections(connection: Connection, device: str, now_ms: int) -> list[Put]:
    """The order that corrects what an own chain wrote while the server's clock ran far ahead."""
    rows = connection.execute(
        select(BATCHES)
        .where(BATCHES.c.device == device, BATCHES.c.damaged.is_(False))
        .order_by(BATCHES.c.from_seq.desc()),
        execution_options={"stream_results": True, "max_row_buffer": 16},
    )
    first = last = 0
    for row in rows:
        ahead = stored.far_ahead(row.from_seq, ev.unpack(row.body), now_ms)
        if ahead is None:
            break
        first, last = ahead[0], max(last, ahead[1])
        if first > row.from_seq:
            break
    rows.close()
    return [clock_order(device, first, last, now_ms)] if first else []


def _latest_believed(recording: Recording) -> str:
    highest = recording.connection.execute(
        select(func.max(DEVICES.c.last_at)).where(
            DEVICES.c.last_at < highest_believed(recording.now_ms)
        )
    ).scalar()
    return highest or ""
