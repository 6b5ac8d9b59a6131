"""Whether everything that was acknowledged is there, whole: chains, photos, database pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Engine, func, select
from sqlalchemy import text as sql_text
from sqlalchemy.exc import DBAPIError

from bradawl.common.errors import ApiError
from bradawl.database.connection import reading
from bradawl.language import Message, message
from bradawl.log.chains import scopes
from bradawl.log.event_log import Log
from bradawl.log.format import events as ev
from bradawl.log.format.batches import require_signature
from bradawl.log.format.tables import BATCH_SCOPES, BATCHES, DEVICES, PHOTOS, SCOPES
from bradawl.log.integrity.bundle_checks import examine_bundles
from bradawl.log.integrity.faults import REPAIR, RESTORE, Finding
from bradawl.log.integrity.photo_checks import examine_photos
from bradawl.log.integrity.row_checks import examine_rows


@dataclass(frozen=True)
class Health:
    """What was looked at and what is wrong with it; no findings means whole."""

    devices: int
    events: int
    photos: int
    waiting_photos: int  # named by events, not yet arrived; no fault
    findings: list[Finding]


def examine(log: Log) -> Health:
    """Read every event and every photo. Nothing is changed."""
    health, photos = _read_database(log.engine)
    health.findings.extend(examine_photos(log, photos))
    return health


def examine_database(engine: Engine) -> Health:
    """Read every event and the row of every photo, but no photo. Nothing is changed."""
    return _read_database(engine)[0]


def _read_database(engine: Engine) -> tuple[Health, list[str]]:
    """What the database tells, and the names of the photos in it."""
    findings: list[Finding] = []
    devices = events = 0
    named: set[str] = set()
    photos: list[str] = []
    try:
        with reading(engine) as connection:
            findings += _pages(connection)
            counted: dict[str, list[Any]] = {}
            for row in connection.execute(select(DEVICES).order_by(DEVICES.c.device)).all():
                devices += 1
                events += row.held
                findings += _chain(connection, row, counted, named)
            findings += _scopes(connection, counted)
            findings += examine_bundles(connection)
            rows = connection.execute(select(PHOTOS.c.sha256).order_by(PHOTOS.c.sha256))
            photos = [row.sha256 for row in rows]
    except (DBAPIError, UnicodeDecodeError) as error:
        why = getattr(error, "orig", None) or error
        findings.append(
            Finding("unreadable", message("server-fault-unreadable", why=str(why)), RESTORE)
        )
    findings += examine_rows(engine)
    return Health(devices, events, len(photos), len(named - set(photos)), findings), photos


def _pages(connection: Connection) -> Iterator[Finding]:
    if connection.dialect.name != "sqlite":
        return
    answers = [row[0] for row in connection.execute(sql_text("PRAGMA integrity_check"))]
    if answers != ["ok"]:
        yield Finding(
            "pages", message("server-fault-pages", answers="; ".join(answers[:5])), RESTORE
        )
    loose = connection.execute(sql_text("PRAGMA foreign_key_check")).all()
    if loose:
        yield Finding("pages", message("server-fault-loose", count=len(loose)), RESTORE)


def _chain(
    connection: Connection, device: Any, counted: dict[str, list[Any]], named: set[str]
) -> Iterator[Finding]:
    seq, head, last_at = 0, "", ""
    rows = connection.execute(
        select(BATCHES).where(BATCHES.c.device == device.device).order_by(BATCHES.c.from_seq),
        execution_options={"stream_results": True, "max_row_buffer": 16},
    )
    for row in rows:

        def said(fault: str, row: Any = row) -> Message:
            return message(
                "server-fault-" + fault,
                device=device.device[:8], first=row.from_seq, last=row.to_seq,
            )  # fmt: skip

        if row.from_seq != seq + 1 or row.prev != head:
            yield Finding("chain", said("gap"), REPAIR)
        try:
            batch = ev.check(
                row.device,
                row.from_seq,
                row.prev,
                ev.unpack(row.body),
                device.key,
                row.signature,
            )
            signed = row.head != batch.head or _is_signed(batch)
        except ApiError:
            yield Finding("chain", said("events"), REPAIR)
        else:
            if batch.to_seq != row.to_seq or batch.head != row.head:
                yield Finding("chain", said("hash"), REPAIR)
            if not signed:
                yield Finding("chain", said("unsigned"), REPAIR)
            if batch.events[0].at <= last_at:
                yield Finding("chain", said("time"), REPAIR)
            last_at = batch.events[-1].at
            for summary in scopes.summaries(batch, row.received_ms):
                _count(counted, summary)
            for event in batch.events:
                parts = event.put.split("/")
                named_here = len(parts) == 4 and parts[2] == "photos" and not event.erased
                if named_here and ev.is_hash(parts[3]):
                    named.add(parts[3])
        seq, head = row.to_seq, row.head
    if (seq, head, last_at) != (device.held, device.head, device.last_at):
        yield Finding(
            "chain",
            message("server-fault-chain", device=device.device[:8], held=device.held, end=seq),
            REPAIR,
        )


def _is_signed(batch: ev.Batch) -> bool:
    try:
        require_signature(batch)
    except ApiError:
        return False
    return True


def _count(counted: dict[str, list[Any]], add: scopes.ScopeSummary) -> None:
    seen = counted.setdefault(add.scope, [add.first_at, add.last_at, 0])
    seen[0] = min(seen[0], add.first_at)
    seen[1] = max(seen[1], add.last_at)
    seen[2] += add.events


def _scopes(connection: Connection, counted: dict[str, list[Any]]) -> Iterator[Finding]:
    noted = {
        row.scope: [row.first_at, row.last_at, row.events]
        for row in connection.execute(select(SCOPES))
    }
    for scope in sorted(set(noted) | set(counted)):
        if noted.get(scope) != counted.get(scope):
            yield Finding(
                "visit",
                message("server-fault-list", scope=scope[:19]),
                REPAIR,
            )
    pointers = connection.execute(
        select(func.count(func.distinct(BATCH_SCOPES.c.scope)))
    ).scalar_one()
    if pointers != len(counted):
        yield Finding("visit", message("server-fault-pointer"), REPAIR)


def ask_again(log: Log, findings: Sequence[Finding]) -> int:
    """Take damaged photos for not held, so that phones are asked for them; how many."""
    of_originals = {"photo_missing", "photo_altered"}
    damaged = sorted({finding.photo for finding in findings if finding.code in of_originals})
    for sha256 in damaged:
        log.photos.disown(sha256)
    return len(damaged)
