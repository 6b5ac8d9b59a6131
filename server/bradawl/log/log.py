"""The log itself: what a device sends is checked, chained on and kept; what another lacks is read.

One batch is one row, stored as it was checked; README.md has the figures behind that.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from threading import Lock
from typing import Any

import msgspec
from sqlalchemy import Connection, Engine, and_, func, insert, select, text, update
from sqlalchemy.exc import IntegrityError

from bradawl.database import reading, writing
from bradawl.errors import ApiError
from bradawl.judgement import CanonicalError, canonical
from bradawl.log import events as ev
from bradawl.log.clock import ms_of, next_stamp
from bradawl.log.photo_store import PhotoStore
from bradawl.log.photos import Photos
from bradawl.log.tables import BATCH_VISITS, BATCHES, BUNDLES, DEVICES, VISITS
from bradawl.log.withheld import Run, Withheld, leave_out

PULL_EVENTS = 4_000  # in one answer, more or less: whole rows are sent
PULL_BYTES = 4_000_000
PULL_ROWS = 4_000
BUNDLES_READY = 4  # parsed ones; a page of the desk needs one, and parsing is a third of it
MAX_DEVICES = 10_000  # in one question what another device holds


@dataclass(frozen=True)
class PushResult:
    """Up to which event of the device the log now holds, and that event's hash."""

    held: int
    head: str
    stored: int  # how many events of this batch were new


@dataclass(frozen=True)
class PulledBatch:
    """Consecutive events of one device; `body` is the JSON array of them."""

    device: str
    from_seq: int
    prev: str
    body: bytes
    head: str


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
class VisitSummary:
    """One visit as the list shows it; stamps of its first and last event."""

    visit: str
    first_at: str
    last_at: str
    events: int


def wall_clock_ms() -> int:
    """Unix milliseconds now."""
    return time.time_ns() // 1_000_000


def random_id() -> str:
    """128 random bits as 32 lower-case hex characters."""
    return secrets.token_hex(16)


class Log:
    """Every event and photo that was acknowledged, over a database and a photo store.

    `withheld` says what is shown to nobody; `ahead` hears, at each pull, what the asker has and
    what is held here.
    """

    def __init__(
        self,
        engine: Engine,
        photo_store: PhotoStore,
        *,
        clock: Callable[[], int] = wall_clock_ms,
        run: str = "",
        new_id: Callable[[], str] = random_id,
        withheld: Withheld | None = None,
        ahead: Callable[[Mapping[str, int], Mapping[str, int]], None] | None = None,
    ) -> None:
        self.engine = engine
        self.clock = clock
        self._new_id = new_id
        self.withheld = withheld
        self._ahead = ahead
        self._bundles: dict[str, dict[str, Any]] = {}
        self._bundles_lock = Lock()
        self.photos = Photos(engine, photo_store, clock)
        self.run = run or _run_of(engine)

    # what devices send

    def push(
        self, batch: Mapping[str, Any], *, received_ms: int, device: str | None = None
    ) -> PushResult:
        """`push_json` for a batch that is already a mapping."""
        try:
            body = msgspec.json.encode(batch)
        except (TypeError, ValueError, RecursionError) as error:
            raise ApiError("batch", f"This batch is not JSON: {error}.", 400) from error
        return self.push_json(body, received_ms=received_ms, device=device)

    def push_json(self, body: bytes, *, received_ms: int, device: str | None = None) -> PushResult:
        """Keep a batch of one device's events. When this returns they are on the disk.

        What is held already is compared and passed over, so a repeat changes nothing and has
        the same answer. `device` is who sends; a batch of another device is refused.

        Raises ApiError: those of `events.read_batch`, 403 "not_your_device", 409 "gap" with
        `held`, 409 "fork".
        """
        batch = ev.read_batch(body)
        if device is not None and batch.device != device:
            raise _not_yours()
        try:
            return self._store(batch, received_ms)
        except IntegrityError:
            # Another server process stored the same first batch in the same moment.
            return self._store(batch, received_ms)

    def _store(self, batch: ev.Batch, received_ms: int) -> PushResult:
        with writing(self.engine) as connection:
            row = connection.execute(
                select(DEVICES.c.held, DEVICES.c.head, DEVICES.c.last_at, DEVICES.c.stands_for)
                .where(DEVICES.c.device == batch.device)
                .with_for_update()
            ).first()
            held, head, last_at, stands_for = (0, "", "", "") if row is None else row
            if stands_for:
                raise _not_yours()
            if batch.from_seq > held + 1:
                raise ApiError(
                    "gap",
                    f"The server holds this device's events up to {held}, and the batch begins "
                    f"at {batch.from_seq}. Send from {held + 1} on.",
                    409,
                    held=held,
                    head=head,
                )
            if batch.to_seq <= held:
                known = (
                    head
                    if batch.to_seq == held
                    else _hash_at(connection, batch.device, batch.to_seq)
                )
                if batch.head != known:
                    raise _fork(held, head)
                return PushResult(held, head, 0)
            new = batch
            if batch.from_seq <= held:
                new = batch.after(held)
            if new.prev != head:
                raise _fork(held, head)
            if new.events[0].at <= last_at:
                ev.refuse(
                    new.from_seq - batch.from_seq,
                    "its stamp is not later than that of the event before it.",
                )
            self._insert(connection, new, received_ms, known=row is not None)
            return PushResult(new.to_seq, new.head, len(new.events))

    def _insert(
        self,
        connection: Connection,
        batch: ev.Batch,
        received_ms: int,
        *,
        known: bool,
        stands_for: str = "",
    ) -> None:
        last_at = batch.events[-1].at
        state = {
            "held": batch.to_seq,
            "head": batch.head,
            "last_at": last_at,
            "received_ms": received_ms,
            "skew_ms": ms_of(last_at) - received_ms,
        }
        if known:
            connection.execute(
                update(DEVICES).where(DEVICES.c.device == batch.device).values(state)
            )
        else:
            connection.execute(
                insert(DEVICES).values(device=batch.device, stands_for=stands_for, **state)
            )
        connection.execute(
            insert(BATCHES).values(
                device=batch.device,
                from_seq=batch.from_seq,
                to_seq=batch.to_seq,
                prev=batch.prev,
                head=batch.head,
                received_ms=received_ms,
                body=ev.pack(batch.events),
            )
        )
        for visit, summary in sorted(_summaries(batch.events).items()):
            _count_visit(connection, summary)
            connection.execute(
                insert(BATCH_VISITS).values(
                    visit=visit, device=batch.device, from_seq=batch.from_seq
                )
            )

    def append(self, device: str, visit: str, puts: Sequence[tuple[str, Any]]) -> PushResult:
        """Record `puts` (path, value) in `visit` as the server's own `device`.

        Stamps are later than everything the log has seen, `over` names every value that is alive
        at the path now. After a restore the chain is a new one with another id; `stands_for` leads
        back to `device`. Raises ApiError "event" for a value that no event may hold.
        """
        try:
            return self._append(device, visit, puts)
        except IntegrityError:
            # Another server process wrote this device's first events in the same moment.
            return self._append(device, visit, puts)

    def _append(self, device: str, visit: str, puts: Sequence[tuple[str, Any]]) -> PushResult:
        if not ev.is_id(device) or not ev.is_id(visit):
            raise ApiError("event", "Device and visit are ids of 32 hexadecimal characters.", 422)
        with writing(self.engine) as connection:
            row = connection.execute(
                select(DEVICES.c.device, DEVICES.c.held, DEVICES.c.head)
                .where(DEVICES.c.stands_for == device, DEVICES.c.closed.is_(False))
                .order_by(DEVICES.c.device)
                .with_for_update()
            ).first()
            chain, held, head = (device, 0, "") if row is None else row
            if not puts:
                return PushResult(held, head, 0)
            if row is None and _may_be_taken(connection, device):
                chain = self._new_id()
            latest = connection.execute(select(func.max(DEVICES.c.last_at))).scalar() or ""
            alive = live_stamps(_visit_events(connection, visit), {path for path, _ in puts})
            written = []
            for path, value in puts:
                latest = next_stamp(self.clock(), latest, chain)
                over = sorted(alive.get(path, ()))
                written.append(ev.Written(latest, over, path, _plain(value), visit))
                alive[path] = {latest}
            batch = ev.check(chain, held + 1, head, written)
            self._insert(connection, batch, self.clock(), known=row is not None, stands_for=device)
            return PushResult(batch.to_seq, batch.head, len(written))

    def stands_for(self, device: str) -> str:
        """The device that the server was asked to write as, where it wrote a chain itself."""
        with reading(self.engine) as connection:
            found = connection.execute(
                select(DEVICES.c.stands_for).where(DEVICES.c.device == device)
            ).scalar()
        return found or device

    # what devices lack

    def pull(self, have: Mapping[str, int]) -> PullResult:
        """Events that a device holding `have` (device to its highest seq) lacks, in order.

        An answer is bounded; `more` says to ask again with what has then been stored.
        """
        with reading(self.engine) as connection:
            held = {
                row.device: row.held
                for row in connection.execute(
                    select(DEVICES.c.device, DEVICES.c.held).order_by(DEVICES.c.device)
                )
            }
            behind = {
                device: have.get(device, 0) for device in held if have.get(device, 0) < held[device]
            }
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
        batches = [batch for run in runs for batch in run.batches()]
        if self._ahead is not None:
            self._ahead(have, held)
        if self.withheld is not None:
            stored = [Run(one.device, one.from_seq, one.prev, one.body) for one in batches]
            bodies = leave_out(stored, self.withheld.now())
            batches = [replace(one, body=body) for one, body in zip(batches, bodies, strict=True)]
        return PullResult(batches, more, held, self.run)

    def held(self) -> dict[str, int]:
        """Up to which event each device is held."""
        with reading(self.engine) as connection:
            rows = connection.execute(select(DEVICES.c.device, DEVICES.c.held))
            return {row.device: row.held for row in rows}

    # what the desk and the report read

    def visits(self) -> list[VisitSummary]:
        """Every visit, the last changed first."""
        with reading(self.engine) as connection:
            rows = connection.execute(
                select(VISITS).order_by(VISITS.c.last_at.desc(), VISITS.c.visit)
            )
            return [VisitSummary(r.visit, r.first_at, r.last_at, r.events) for r in rows]

    def events_of(self, visit: str) -> list[dict[str, Any]]:
        """The visit's events, all eight fields, in `at` order; [] for an unknown visit."""
        with reading(self.engine) as connection:
            found = _visit_events(connection, visit)
        return [msgspec.structs.asdict(event) for event in found]

    def photo(self, sha256: str) -> bytes | None:
        """The photo to show: JPEG, upright, at most 1600 px, no metadata.

        None when it is not held, cannot be decoded or is withheld.
        """
        if self.hides_photo(sha256):
            return None
        try:
            return self.photos.served(sha256)
        except ApiError:
            return None  # held as evidence, but not a picture that can be decoded

    def hides_photo(self, sha256: str) -> bool:
        """Whether the photo is kept but shown to nobody."""
        return self.withheld is not None and self.withheld.hides_photo(sha256)

    def photo_original(self, sha256: str) -> bytes | None:
        """The photo as it came, or None when it is not held or withheld."""
        if self.hides_photo(sha256):
            return None
        return self.photos.original(sha256)

    def put_bundle(self, bundle: Mapping[str, Any]) -> str:
        """Keep a checklist bundle for ever; its hash. A repeat changes nothing."""
        name = str(bundle["hash"])
        if not ev.is_hash(name):
            raise ValueError("A checklist bundle's hash is a SHA-256 in lower-case hex.")
        if not self.has_bundle(name):
            try:
                with writing(self.engine) as connection:
                    connection.execute(
                        insert(BUNDLES).values(
                            hash=name,
                            body=json.dumps(bundle, ensure_ascii=False, separators=(",", ":")),
                            added_ms=self.clock(),
                        )
                    )
            except IntegrityError:
                pass  # another server process kept it in the same moment
        return name

    def has_bundle(self, bundle_hash: str) -> bool:
        """Whether a bundle is kept here."""
        with reading(self.engine) as connection:
            row = connection.execute(select(BUNDLES.c.hash).where(BUNDLES.c.hash == bundle_hash))
            return row.first() is not None

    def bundle(self, bundle_hash: str) -> dict[str, Any] | None:
        """A bundle by its hash, or None when it was never served here.

        Callers share the value: it is read and never changed.
        """
        with self._bundles_lock:
            ready = self._bundles.get(bundle_hash)
        if ready is not None:
            return ready
        with reading(self.engine) as connection:
            body = connection.execute(
                select(BUNDLES.c.body).where(BUNDLES.c.hash == bundle_hash)
            ).scalar()
        if body is None:
            return None
        found: dict[str, Any] = msgspec.json.decode(body)
        with self._bundles_lock:
            self._bundles[bundle_hash] = found
            while len(self._bundles) > BUNDLES_READY:
                del self._bundles[next(iter(self._bundles))]
        return found

    def close(self) -> None:
        """Let go of the database's connections."""
        self.photos.close()
        self.engine.dispose()


def _run_of(engine: Engine) -> str:
    """A name for this run of the store. A restore is impossible without starting it anew."""
    if engine.dialect.name == "postgresql":  # one run for all servers behind one database
        with reading(engine) as connection:
            began = connection.execute(text("SELECT pg_postmaster_start_time()")).scalar()
        return hashlib.sha256(str(began).encode()).hexdigest()[:16]
    return secrets.token_hex(8)


def live_stamps(events: Iterable[ev.Event], paths: set[str]) -> dict[str, set[str]]:
    """Per path the stamps that no later event there names in `over`, the winner's included."""
    alive: dict[str, set[str]] = {}
    dead: dict[str, set[str]] = {}
    for event in events:  # any order
        if event.put in paths:
            alive.setdefault(event.put, set()).add(event.at)
            dead.setdefault(event.put, set()).update(event.over)
    return {path: stamps - dead[path] for path, stamps in alive.items()}


def _plain(value: Any) -> Any:
    """The value as JSON carries it: tuples become lists, and what no event may hold is refused."""
    try:
        return json.loads(canonical(value))
    except CanonicalError as error:
        raise ApiError("event", f"A value cannot be recorded. {error.sentence}", 422) from error


def _not_yours() -> ApiError:
    return ApiError(
        "not_your_device",
        "A device can send only the events it recorded itself, and these name another.",
        403,
    )


def _may_be_taken(connection: Connection, device: str) -> bool:
    """Whether phones may have seen events under this id that the log does not hold.

    In a restored database any id may be taken: a backup from before its first event does not
    know of it. A backup marks its copy (`access/backup.py`).
    """
    restored = (
        connection.dialect.name == "sqlite"
        and connection.execute(text("PRAGMA user_version")).scalar() != 0
    )
    known = connection.execute(select(DEVICES.c.device).where(DEVICES.c.device == device)).first()
    return restored or known is not None


def _fork(held: int, head: str) -> ApiError:
    return ApiError(
        "fork",
        "The server holds other events under these numbers than the device sends: the device's "
        "record was copied or set back to an older state. Nothing was stored, and nothing on the "
        "device is lost: keep it as it is, and go on in a newly installed app.",
        409,
        held=held,
        head=head,
    )


def _hash_at(connection: Connection, device: str, seq: int) -> str:
    row = connection.execute(
        select(BATCHES).where(
            BATCHES.c.device == device, BATCHES.c.from_seq <= seq, BATCHES.c.to_seq >= seq
        )
    ).one()
    if row.to_seq == seq:
        return str(row.head)
    written = ev.unpack(row.body)[: seq - row.from_seq + 1]
    return ev.hash_of(ev.chain(device, row.from_seq, row.prev, written)[-1])


def _visit_events(connection: Connection, visit: str) -> list[ev.Event]:
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


def _summaries(events: Sequence[ev.Written]) -> dict[str, VisitSummary]:
    """Per visit of a batch; the batch is in the order of its stamps."""
    first: dict[str, str] = {}
    last: dict[str, str] = {}
    count: dict[str, int] = {}
    for event in events:
        first.setdefault(event.visit, event.at)
        last[event.visit] = event.at
        count[event.visit] = count.get(event.visit, 0) + 1
    return {visit: VisitSummary(visit, first[visit], last[visit], count[visit]) for visit in first}


def _count_visit(connection: Connection, add: VisitSummary) -> None:
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
            self._done.append(PulledBatch(self.device, self._from, self._prev, body, self._head))
        self._from, self._prev, self._parts = self.to_seq + 1, None, []
