"""Erasures: values and salts deleted where they lie, and kept out when they come again.

An order names an event by device, number and commitment. What it erases is every event with that
commitment: a copy of it on a side chain, or one that a phone wrote anew, has the same, and nothing
else can have. The event stays, with its commitment alone, so that every hash, signature and seal
over it can still be checked.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, Engine, and_, select, update
from sqlalchemy import text as sql_text

from bradawl.common.errors import ApiError
from bradawl.database.connection import reading, scrub, writing
from bradawl.judge import fold, may_be_erased
from bradawl.language import message
from bradawl.log.chains import repair
from bradawl.log.chains import scopes as visits
from bradawl.log.chains.orders import Controls
from bradawl.log.chains.own_chains import SERVER, OwnChains, Put
from bradawl.log.chains.stored import ERASE
from bradawl.log.erasure.erased_list import ErasedList, Named
from bradawl.log.format import events
from bradawl.log.format.tables import BATCH_SCOPES, BATCHES
from bradawl.log.photos.photos import Photos

logger = logging.getLogger(__name__)

_HOLDING = ("photos", "media")  # the word before a blob's name in a path


@dataclass(frozen=True)
class Target:
    """An event that is to be erased."""

    device: str
    seq: int
    scope: str
    put: str
    commit: str

    @property
    def order(self) -> Put:
        """(scope, path, value) of the shop's order."""
        return (
            events.SHOP,
            f"{ERASE}{self.device}/{self.seq}",
            {"put": self.put, "commit": self.commit},
        )


class Erasures:
    """What the shop ordered to be erased, carried out on what is stored and on what comes.

    `erased` lists what was erased before; `photos` are the log's, set once it has them.
    """

    photos: Photos

    def __init__(
        self,
        engine: Engine,
        own: OwnChains,
        controls: Controls,
        erased: ErasedList,
        clock: Callable[[], int],
    ) -> None:
        self._engine = engine
        self._own = own
        self._controls = controls
        self._erased = erased
        self._clock = clock
        self._known: tuple[list[Any], int, frozenset[str]] = ([], 0, frozenset())
        own.kept_out = self.kept_out

    def erase(self, writer: str, visit: str, wanted: Collection[tuple[str, int]]) -> int:
        """Erase events (device, seq) of an inspection for good, as `writer`; how many.

        Every copy of them goes too, and every photo that nothing names any more. Raises ApiError
        "unknown_entry" or "not_erasable"; nothing was erased then.
        """
        scope = events.inspection(visit)
        with self._own.recording(self._engine, self._clock()) as recording:
            targets = find(recording.connection, scope, wanted)
            count = erase(recording.connection, [scope], {target.commit for target in targets})
            self._own.append(recording, writer, [target.order for target in targets])
        self._end(targets)
        return count

    def obey(self) -> int:
        """Erase what was ordered and is here all the same, as after a restore; how many events.

        Where a restored database lacks the orders, they are recorded again, for the phones.
        """
        with writing(self._engine) as connection:
            while repair.explain(connection, self.commits(connection)):
                pass  # what is shown now may hold orders that explain more
            ordered = self._controls.orders(connection)["erase"]
            named = [(order["device"], order["seq"], order["commit"]) for order in ordered]
            commits = {order["commit"] for order in ordered}
            lacking = [entry for entry in self._erased.entries() if entry[2] not in commits]
            targets, again = standing(connection, named), standing(connection, lacking)
        if targets or again:
            with self._own.recording(self._engine, self._clock()) as recording:
                both = [*targets, *again]
                scopes = {target.scope for target in both}
                erase(recording.connection, scopes, {target.commit for target in both})
                self._own.append(recording, SERVER, [target.order for target in again])
        self._end([*targets, *again])
        return len(targets) + len(again)

    def _end(self, targets: Sequence[Target]) -> None:
        """What follows the commit: the list beside the database, its files, the photos."""
        if targets:
            self._erased.add([(target.device, target.seq, target.commit) for target in targets])
            if not scrub(self._engine):
                logger.warning("What was erased is still in the database's journal: it is in use.")
        with reading(self._engine) as connection:
            gone = self._blobs(connection)
        for sha256 in sorted(self.photos.held(gone)) if gone else ():
            self.photos.erase(sha256)

    def commits(self, connection: Connection) -> frozenset[str]:
        """Commitments of all that was ordered to be erased, here or before a restore."""
        ordered = self._controls.orders(connection)["erase"]
        noted = self._erased.entries()
        if not ordered and not noted:
            return frozenset()
        read, size, known = self._known
        if read is not ordered or size != len(noted):
            known = frozenset(order["commit"] for order in ordered) | {entry[2] for entry in noted}
            self._known = (ordered, len(noted), known)
        return known

    def applied(self, connection: Connection, batch: events.Batch) -> events.Batch:
        """A batch as it is to be stored: what was ordered to be erased comes in erased."""
        commits = self.commits(connection)
        if not commits:
            return batch
        return replace(batch, events=[without_value(event, commits) for event in batch.events])

    def kept_out(
        self, connection: Connection, written: list[events.Written]
    ) -> list[events.Written]:
        """The same for events that this server writes down for others."""
        commits = self.commits(connection)
        return [without_value(event, commits) for event in written] if commits else written

    def blobs_of(self, asked: Collection[str]) -> set[str]:
        """Those of some blobs that were erased, and that nothing names any more."""
        with reading(self._engine) as connection:
            return self._blobs(connection, asked)

    def _blobs(self, connection: Connection, asked: Collection[str] | None = None) -> set[str]:
        named = blobs_in(order["put"] for order in self._controls.orders(connection)["erase"])
        wanted = named if asked is None else named & set(asked)
        return {sha256 for sha256 in wanted if not is_named(connection, sha256)}


def holds_orders(batch: events.Batch) -> bool:
    """Whether a batch orders to erase: the shop's own chain, brought back to a restored server."""
    return any(event.scope == events.SHOP and event.put.startswith(ERASE) for event in batch.events)


def without_value(event: events.Written, commits: Collection[str]) -> events.Written:
    """The event in its erased form where its commitment is among `commits`; else itself."""
    if event.erased or not may_be_erased(event.put):
        return event
    commit = events.commit_of(event)
    if commit not in commits:
        return event
    return events.Written(event.at, event.over, event.put, event.scope, commit)


def find(connection: Connection, scope: str, wanted: Collection[tuple[str, int]]) -> list[Target]:
    """The events of a scope with these (device, seq).

    Raises ApiError "unknown_entry" for what is not there, "not_erasable" for a grade, a reading
    and whatever else the record rests on.
    """
    left = set(wanted)
    targets = []
    for event in visits.events_in(connection, scope):
        if (event["device"], event["seq"]) not in left:
            continue
        left.discard((event["device"], event["seq"]))
        if not may_be_erased(event["put"]):
            raise ApiError(
                "not_erasable",
                message("server-not-erasable", path=event["put"]),
                422,
            )
        if not event.get("erased"):
            targets.append(
                Target(event["device"], event["seq"], scope, event["put"], event["commit"])
            )
    if left:
        raise ApiError("unknown_entry", message("server-nothing-to-erase"), 409)
    return targets


def erase(connection: Connection, scopes: Collection[str], commits: Collection[str]) -> int:
    """Delete value and salt of every event of these scopes with such a commitment; how many."""
    rows = connection.execute(
        select(BATCHES)
        .join(
            BATCH_SCOPES,
            and_(
                BATCH_SCOPES.c.device == BATCHES.c.device,
                BATCH_SCOPES.c.from_seq == BATCHES.c.from_seq,
            ),
        )
        .where(BATCH_SCOPES.c.scope.in_(list(scopes)), BATCHES.c.damaged.is_(False))
        .distinct()
    ).all()
    count = 0
    for row in rows:
        before = events.unpack(row.body)
        after = [without_value(event, commits) for event in before]
        changed = sum(new is not old for new, old in zip(after, before, strict=True))
        if changed:
            connection.execute(
                update(BATCHES)
                .where(BATCHES.c.device == row.device, BATCHES.c.from_seq == row.from_seq)
                .values(body=events.pack(after))
            )
            count += changed
    return count


def standing(connection: Connection, named: Iterable[Named]) -> list[Target]:
    """Those of some events (device, seq, commit) that are here and have their values still."""
    targets = []
    for device, seq, commit in named:
        row = connection.execute(
            select(BATCHES).where(
                BATCHES.c.device == device,
                BATCHES.c.from_seq <= seq,
                BATCHES.c.to_seq >= seq,
                BATCHES.c.damaged.is_(False),
            )
        ).first()
        if row is None:
            continue
        event = events.unpack(row.body)[seq - row.from_seq]
        same = not event.erased and events.commit_of(event) == commit
        if same and may_be_erased(event.put):
            targets.append(Target(device, seq, event.scope, event.put, commit))
    return targets


def blobs_in(paths: Iterable[str]) -> set[str]:
    """The blobs that paths such as `items/ITEM/photos/SHA256` name."""
    blobs = set()
    for path in paths:
        parts = path.split("/")
        if len(parts) > 1 and parts[-2] in _HOLDING and events.is_hash(parts[-1]):
            blobs.add(parts[-1])
    return blobs


def is_named(connection: Connection, sha256: str) -> bool:
    """Whether a value that stands anywhere belongs to this blob; behind a fence counts too."""
    place = (
        "instr(body, :name)"
        if connection.dialect.name == "sqlite"
        else "position(:name in body)"  # SQL: not shown
    )
    rows = connection.execute(
        select(BATCHES).where(BATCHES.c.damaged.is_(False), sql_text(f"{place} > 0")),
        {"name": sha256.encode()},
    ).all()
    scopes = {
        event.scope
        for row in rows
        for event in events.unpack(row.body)
        if event.put.endswith(f"/{sha256}") and not event.erased
    }
    for scope in scopes:
        cells = fold(visits.events_in(connection, scope))
        for path, cell in cells.items():
            if path.endswith(f"/{sha256}") and cell["value"] is not None:
                return True
    return False
