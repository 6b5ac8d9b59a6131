"""The log itself: what a device sends is checked, chained on and kept; what another lacks is read.

One batch is one row, stored as it was checked; README.md has the figures behind that.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import time
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import msgspec
from sqlalchemy import Connection, Engine, Select, func, insert, select, text, update
from sqlalchemy.exc import IntegrityError

from bradawl.database import reading, writing
from bradawl.errors import ApiError
from bradawl.judgement import CanonicalError, canonical
from bradawl.log import events as ev
from bradawl.log import noting, visits
from bradawl.log.bundles import Bundles
from bradawl.log.clock import ms_of, next_stamp
from bradawl.log.photo_store import PhotoStore
from bradawl.log.photos import Photos
from bradawl.log.pulls import PullResult, gather, held_by_device
from bradawl.log.tables import BATCH_VISITS, BATCHES, DEVICES, VISITS
from bradawl.log.visits import VisitSummary
from bradawl.log.withheld import Run, Withheld, leave_out

MAX_DEVICES = 10_000  # in one question what another device holds


@dataclass(frozen=True)
class PushResult:
    """Up to which event of the device the log now holds, and that event's hash."""

    held: int
    head: str
    stored: int  # how many events of this batch were new


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
        self._bundles = Bundles(engine, clock)
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
            result = self._store(batch, received_ms)
        except IntegrityError:
            # Another server process stored the same first batch in the same moment.
            result = self._store(batch, received_ms)
        noting.pushed(batch, result.stored, result.held)
        return result

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
        for visit, summary in sorted(visits.summaries(batch.events).items()):
            visits.count(connection, summary)
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
            alive = visits.live_stamps(
                visits.events_of(connection, visit), {path for path, _ in puts}
            )
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
            found = gather(connection, have)
        batches = found.batches
        if self._ahead is not None:
            self._ahead(have, found.held)
        if self.withheld is not None:
            stored = [Run(one.device, one.from_seq, one.prev, one.body) for one in batches]
            bodies = leave_out(stored, self.withheld.now())
            batches = [replace(one, body=body) for one, body in zip(batches, bodies, strict=True)]
        return PullResult(batches, found.more, found.held, self.run)

    def held(self) -> dict[str, int]:
        """Up to which event each device is held."""
        with reading(self.engine) as connection:
            return held_by_device(connection)

    # what the desk and the report read

    def visits(self, first: int = 0, count: int | None = None) -> list[VisitSummary]:
        """Visits, the last changed first: `count` from the `first` on, or every one."""
        listed = select(VISITS).order_by(VISITS.c.last_at.desc(), VISITS.c.visit)
        return self._visits(listed.offset(first or None).limit(count))

    def visits_named(self, visits: Collection[str]) -> list[VisitSummary]:
        """Those of some visits that there are, the last changed first."""
        listed = select(VISITS).where(VISITS.c.visit.in_(visits))
        return self._visits(listed.order_by(VISITS.c.last_at.desc(), VISITS.c.visit))

    def count_visits(self) -> int:
        """How many visits there are."""
        with reading(self.engine) as connection:
            return connection.execute(select(func.count()).select_from(VISITS)).scalar() or 0

    def _visits(self, listed: Select[Any]) -> list[VisitSummary]:
        with reading(self.engine) as connection:
            return [
                VisitSummary(visit, first_at, last_at, events)
                for visit, first_at, last_at, events in connection.execute(listed)
            ]

    def events_of(self, visit: str) -> list[dict[str, Any]]:
        """The visit's events, all eight fields, in `at` order; [] for an unknown visit."""
        with reading(self.engine) as connection:
            found = visits.events_of(connection, visit)
        return [msgspec.structs.asdict(event) for event in found]

    def photo(self, sha256: str) -> bytes | None:
        """The photo to show: JPEG, upright, at most 1600 px, no metadata.

        None when it is not held or is withheld. Raises PictureError when it is held as evidence
        but cannot be shown.
        """
        return None if self.hides_photo(sha256) else self.photos.served(sha256)

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
        return self._bundles.put(bundle)

    def has_bundle(self, bundle_hash: str) -> bool:
        """Whether a bundle is kept here."""
        return self._bundles.has(bundle_hash)

    def bundle(self, bundle_hash: str) -> dict[str, Any] | None:
        """A bundle by its hash, or None when it was never served here.

        Callers share the value: it is read and never changed.
        """
        return self._bundles.get(bundle_hash)

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
    know of it. A backup marks its copy (`keeping/records.py`).
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
