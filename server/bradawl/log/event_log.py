"""The log itself: what a device sends is checked, chained on and kept; what another lacks is read.

One batch is one row, stored as it was checked; README.md has the figures behind that.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec
from sqlalchemy import Connection, Engine, Select, func, select, update
from sqlalchemy import text as sql_text
from sqlalchemy.exc import IntegrityError

from bradawl.common.clock import now_ms
from bradawl.common.errors import ApiError
from bradawl.database.connection import reading, writing
from bradawl.judge import obeyed
from bradawl.language import message
from bradawl.log.bundles import Bundles
from bradawl.log.chains import listing, own_chains, side_chains
from bradawl.log.chains import scopes as visits
from bradawl.log.chains.listing import ListedChain
from bradawl.log.chains.orders import Controls, clock_order, own_devices
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.chains.scopes import VisitSummary
from bradawl.log.erasure.erased_list import ErasedList
from bradawl.log.erasure.erasing import Erasures, holds_orders
from bradawl.log.format import batches
from bradawl.log.format import events as ev
from bradawl.log.format.clock import is_far_ahead
from bradawl.log.format.tables import DEVICES, SCOPES
from bradawl.log.photos.photos import Photos
from bradawl.log.photos.storage import PhotoStore
from bradawl.log.sync import activity, intake
from bradawl.log.sync.intake import PushResult
from bradawl.log.sync.pulls import Have, PullResult, gather, held_by_device

if TYPE_CHECKING:
    from bradawl.judge.values.types import Bundle, Event, Orders

MAX_DEVICES = 10_000  # in one question what another device holds


class Log:
    """Every event and photo that was acknowledged, over a database and a photo store.

    `keys` are those of the server's own chains. `registered` says whether a device was paired
    here: entries of others are kept and marked. `on_pull` is called at each pull with what the
    asker has and what is held here. `erased` is the file that lists what was erased, outside of
    the database.
    """

    def __init__(
        self,
        engine: Engine,
        photo_store: PhotoStore,
        *,
        clock: Callable[[], int] = now_ms,
        run: str = "",
        keys: OwnKeys | None = None,
        registered: Callable[[str], bool] = lambda _device: True,
        on_pull: Callable[[Mapping[str, int], Mapping[str, int]], None] | None = None,
        erased: Path | None = None,
    ) -> None:
        self.engine = engine
        self.clock = clock
        self._registered = registered
        self._on_pull = on_pull
        self._controls = Controls()
        #: What was ordered of inspections, and the orders and events that it was worked out of.
        self._ordered: tuple[object, Mapping[str, str]] = (None, {})
        self._own = own_chains.OwnChains(keys or OwnKeys(), self._controls)
        self._bundles = Bundles(engine, clock)
        self.erasures = Erasures(engine, self._own, self._controls, ErasedList(erased), clock)
        self.photos = Photos(engine, photo_store, clock, self.erasures.blobs_of)
        self.erasures.photos = self.photos
        self.run = run or _run_of(engine)

    # what devices send

    def push(self, batch: Mapping[str, Any], *, received_ms: int) -> PushResult:
        """`push_json` for a batch that is already a mapping."""
        try:
            body = msgspec.json.encode(batch)
        except (TypeError, ValueError, RecursionError) as error:
            raise ApiError(
                "batch",
                message("server-batch", what=message("server-batch-json", why=str(error))),
                400,
            ) from error
        return self.push_json(body, received_ms=received_ms)

    def push_json(self, body: bytes, *, received_ms: int) -> PushResult:
        """Keep a batch of one device's events. When this returns they are on the disk.

        What is held already is compared and passed over, so a repeat changes nothing and has
        the same answer. Whoever brings it: what counts is the device's own signature.

        Raises ApiError: those of `events.read_batch`, 409 "gap" with `held`, 409 "fork".
        """
        batch = batches.read_batch(body)
        try:
            result = self._store(batch, received_ms)
        except IntegrityError:
            # Another server process stored the same first batch in the same moment.
            result = self._store(batch, received_ms)
        except ApiError as error:
            if error.code == "fork":
                # signed by its device: where that is this server, it must not go on there
                with writing(self.engine) as connection:
                    own_chains.close(connection, [batch.device])
            raise
        activity.pushed(batch, result.stored, result.held)
        return result

    @staticmethod
    def check(body: bytes) -> None:
        """Raises ApiError for a batch that `push_json` would not believe; keeps nothing of it."""
        batches.read_batch(body)

    def _store(self, batch: ev.Batch, received_ms: int) -> PushResult:
        registered = self._registered(batch.device)
        result = self._stored(batch, received_ms, registered)
        if result.stored and holds_orders(batch):
            self.erasures.obey()
        return result

    def _stored(self, batch: ev.Batch, received_ms: int, registered: bool) -> PushResult:
        if not is_far_ahead(batch.events[-1].at, received_ms):
            with writing(self.engine) as connection:
                kept = self.erasures.applied(connection, batch)
                return self._add(connection, kept, received_ms, registered)[0]
        with self._own.recording(self.engine, received_ms) as recording:
            kept = self.erasures.applied(recording.connection, batch)
            result, ahead = self._add(recording.connection, kept, received_ms, registered)
            if ahead is not None:
                order = clock_order(batch.device, *ahead, received_ms)
                self._own.append(recording, own_chains.SERVER, [order])
        return result

    def _add(
        self, connection: Connection, batch: ev.Batch, received_ms: int, registered: bool
    ) -> tuple[PushResult, tuple[int, int] | None]:
        erased = self.erasures.commits(connection)
        return intake.add(
            connection, self._own, batch, received_ms, registered=registered, erased=erased
        )

    # what the server records itself

    def append(self, writer: str, visit: str, puts: Sequence[tuple[str, Any]]) -> int:
        """Record `puts` (path, value) in an inspection as `writer`; how many events.

        `over` names every value that stands at the path now. The writer's chain is this
        server's own; where it may not go on, a new one continues it. Raises ApiError "event".
        """
        if not ev.is_id(visit):
            raise ApiError("event", message("server-id-car"), 422)
        scope = ev.inspection(visit)
        return self.append_in(writer, [(scope, path, value) for path, value in puts])

    def append_in(self, writer: str, puts: Sequence[own_chains.Put]) -> int:
        """Record `puts` (scope, path, value) as `writer`; how many events.

        Raises ApiError "event" for what no event may hold.
        """
        if not ev.is_id(writer):
            raise ApiError("event", message("server-id-writer"), 422)
        with self._own.recording(self.engine, self.clock()) as recording:
            self._own.append(recording, writer, puts)
        return recording.count

    def take_aside(self, events: Sequence[Mapping[str, Any]], begin: Mapping[str, Any]) -> str:
        """Write entries that cannot be verified on a side chain; its device.

        `events` as `side_chains.entries_read` takes them, `begin` is the value of its first event,
        `device/continues`. What is kept already is left out. Raises ApiError "event",
        "unconfirmed".
        """
        entries = side_chains.entries_read(events)
        with self._own.recording(self.engine, self.clock()) as recording:
            side = side_chains.take_aside(self._own, recording, entries, begin)
        activity.taken_aside(str(begin["device"]), side, recording.count, signed=False)
        return side

    def take_fork_aside(self, body: bytes, *, received_ms: int) -> str:
        """Keep a signed batch that parts from what is held of its chain; the device that has it.

        What is held already is passed over, so a repeat changes nothing, however it is cut; what
        does not part is kept as `push_json` does. What follows a hole is kept whatever is held of
        its chain, nothing included. Raises ApiError as `push_json`, and "unconfirmed".
        """
        batch = batches.read_batch(body)
        with self._own.recording(self.engine, received_ms) as recording:
            held = recording.connection.execute(
                select(DEVICES.c.held).where(DEVICES.c.device == batch.device).with_for_update()
            ).scalar()
            side = None
            shared = side_chains.parting(recording.connection, batch, held or 0)
            if shared is not None:
                side = side_chains.take_fork_aside(self._own, recording, batch, shared)
        if side is None:
            self.push_json(body, received_ms=received_ms)
            return batch.device
        activity.taken_aside(batch.device, side, recording.count, signed=True)
        return side

    def stands_for(self, device: str) -> str:
        """Who is behind a chain: the writer at the desk, or the device that it goes on from."""
        with reading(self.engine) as connection:
            return listing.stands_for(connection, device)

    def chains(self) -> list[ListedChain]:
        """Every chain, those that wait for the owner first."""
        with reading(self.engine) as connection:
            return listing.chains(connection)

    def marked(self) -> dict[str, str]:
        """Chains that the owner has not confirmed: device to a key of `chains.REASONS`."""
        with reading(self.engine) as connection:
            return listing.marked(connection)

    def events_by(self, device: str, first: int = 1, count: int = 200) -> list[Event]:
        """A chain's events from number `first` on, at most `count`, as `events_of` gives them."""
        with reading(self.engine) as connection:
            events = listing.events_by(connection, device, first, count)
            return obeyed(events, self._controls.orders(connection))

    def scopes_of(self, device: str) -> list[str]:
        """The scopes that a device has written to."""
        with reading(self.engine) as connection:
            return listing.scopes_of(connection, device)

    def confirm(self, device: str) -> None:
        """The owner vouches for a marked chain."""
        with writing(self.engine) as connection:
            connection.execute(update(DEVICES).where(DEVICES.c.device == device).values(marked=""))

    # what devices lack

    def pull(self, have: Have) -> PullResult:
        """Events that a device which has `have` lacks, in order.

        An answer is bounded; `more` says to ask again with what has then been stored.
        """
        with reading(self.engine) as connection:
            gathered = gather(connection, have)
        if self._on_pull is not None:
            self._on_pull({device: seq for device, (seq, _) in have.items()}, gathered.held)
        return PullResult(gathered, self.run)

    def held(self) -> dict[str, int]:
        """Up to which event each device is held."""
        with reading(self.engine) as connection:
            return held_by_device(connection)

    # what the desk and the report read

    def visits(self, first: int = 0, count: int | None = None) -> list[VisitSummary]:
        """Inspections, the last changed first: `count` from the `first` on, or every one."""
        listed = self._listed().order_by(SCOPES.c.last_at.desc(), SCOPES.c.scope)
        return self._visits(listed.offset(first or None).limit(count))

    def visits_named(self, visits: Collection[str]) -> list[VisitSummary]:
        """Those of some inspections that there are, the last changed first."""
        listed = self._listed().where(
            SCOPES.c.scope.in_([ev.inspection(visit) for visit in visits])
        )
        return self._visits(listed.order_by(SCOPES.c.last_at.desc(), SCOPES.c.scope))

    def pulse(self) -> tuple[int, int, str]:
        """What changes whenever an inspection gains an event: (inspections, events, last stamp)."""
        asked = select(
            func.count(),
            func.coalesce(func.sum(SCOPES.c.events), 0),
            func.coalesce(func.max(SCOPES.c.last_at), ""),
        ).where(_is_inspection())
        with reading(self.engine) as connection:
            count, events, last_at = connection.execute(asked).one()
        return count, events, last_at

    def count_visits(self) -> int:
        """How many inspections there are."""
        listed = select(func.count()).select_from(SCOPES).where(_is_inspection())
        with reading(self.engine) as connection:
            return connection.execute(listed).scalar() or 0

    @staticmethod
    def _listed() -> Select[Any]:
        return select(SCOPES).where(_is_inspection())

    def _visits(self, listed: Select[Any]) -> list[VisitSummary]:
        with reading(self.engine) as connection:
            return visits.named(connection.execute(listed).all())

    def events_of(self, visit: str) -> list[Event]:
        """The inspection's events in `at` order; [] for an unknown one.

        Each as `events.plain` gives it, with `rank` where its clock was corrected and `fenced`
        where the owner fenced it off.
        """
        return self.events_in(ev.inspection(visit))

    def events_in(self, scope: str) -> list[Event]:
        """The same for any scope."""
        with reading(self.engine) as connection:
            return self._controls.events_in(connection, scope)

    def orders(self) -> Orders:
        """The shop's orders, as `judge.orders` gives them."""
        with reading(self.engine) as connection:
            return self._controls.orders(connection)

    def ordered(self) -> Mapping[str, str]:
        """Per inspection whose events the shop has ordered something of, a name of what."""
        orders = self.orders()
        if not (orders["clock"] or orders["fence"] or orders["erase"]):
            return {}
        state = (orders, self.pulse())
        if self._ordered[0] != state:
            with reading(self.engine) as connection:
                self._ordered = (state, listing.ordered(connection, orders))
        return self._ordered[1]

    def own_devices(self) -> list[str]:
        """Ids of the chains that this server writes as the shop."""
        with reading(self.engine) as connection:
            return own_devices(connection)

    def photo(self, sha256: str) -> bytes | None:
        """The photo to show: JPEG, upright, at most 1600 px, no metadata.

        None when it is not held. Raises PictureError when it is held as evidence but cannot be
        shown.
        """
        return self.photos.served(sha256)

    def photo_original(self, sha256: str) -> bytes | None:
        """The photo as it came, or None when it is not held."""
        return self.photos.original(sha256)

    def put_bundle(self, bundle: Mapping[str, Any]) -> str:
        """Keep a checklist bundle for ever; its hash. A repeat changes nothing."""
        return self._bundles.put(bundle)

    def has_bundle(self, bundle_hash: str) -> bool:
        """Whether a bundle is kept here."""
        return self._bundles.has(bundle_hash)

    def bundle(self, bundle_hash: str) -> Bundle | None:
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
            began = connection.execute(sql_text("SELECT pg_postmaster_start_time()")).scalar()
        return hashlib.sha256(str(began).encode()).hexdigest()[:16]
    return secrets.token_hex(8)


def _is_inspection() -> Any:
    return SCOPES.c.scope.startswith(visits.INSPECTION, autoescape=True)
