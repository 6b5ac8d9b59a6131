"""What this server records itself: at the desk, as the shop, and for what cannot be verified."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, func, select, text, update

from bradawl.device_keys import DeviceKey
from bradawl.errors import ApiError
from bradawl.judgement import live_ids
from bradawl.log import chains, value_text, visits
from bradawl.log import events as ev
from bradawl.log.clock import highest_believed, is_far_ahead, next_stamp
from bradawl.log.own_keys import OwnKeys
from bradawl.log.tables import BATCHES, DEVICES
from bradawl.log.value_text import ValueFaultError

#: As whom the server itself writes: orders about clocks, keys of devices.
SERVER = hashlib.sha256(b"the server itself").hexdigest()[:32]

#: scope, path, value
Put = tuple[str, str, Any]


@dataclass
class Appended:
    """Chains that a transaction has added to: noted once it is on the disk."""

    ends: dict[str, tuple[int, str]] = field(default_factory=dict)
    count: int = 0

    def note(self, keys: OwnKeys) -> None:
        """To be called after the commit."""
        for device, (seq, head) in self.ends.items():
            keys.note(device, seq, head)


@dataclass(frozen=True)
class _Chain:
    """An own chain at one moment."""

    key: DeviceKey
    seq: int
    head: str
    last_at: str


def append(
    connection: Connection,
    keys: OwnKeys,
    writer: str,
    puts: Sequence[Put],
    now_ms: int,
    appended: Appended,
) -> None:
    """Record `puts` as `writer` on an own chain, within a transaction.

    Stamps are later than every stamp that is believed, `over` names all that stands at the path.
    Raises ApiError "event" for what no event may hold.
    """
    if not puts:
        return
    chain = _going_on(connection, keys, writer, now_ms)
    known = chain is not None
    begun: list[Put] = []
    first = {"kind": "shop", "stands_for": writer}
    if chain is None:
        before = _last_chain(connection, writer)
        chain = _Chain(keys.create(), 0, "", "")
        if before is not None:
            first["continues"] = before["device"]
            begun = [(ev.SHOP, ev.CONTINUES, before)]
    written = _written(connection, chain, [*begun, *puts], now_ms)
    _store(connection, chain, written, now_ms, appended, known=known, first=first)


def _written(
    connection: Connection, chain: _Chain, puts: Sequence[Put], now_ms: int
) -> list[ev.Written]:
    latest = max(_latest_believed(connection, now_ms), chain.last_at)
    standing = _standing(connection, puts)
    written = []
    for scope, path, value in puts:
        latest = next_stamp(now_ms, latest, chain.key.device)
        over = standing.get((scope, path), [])
        event = write(latest, scope, path, value, over)
        standing[scope, path] = [f"{latest}~{ev.commit_of(event)}"]
        written.append(event)
    return written


def write(at: str, scope: str, path: str, value: Any, over: list[str]) -> ev.Written:
    """A new event with a fresh salt. Raises ApiError "event"."""
    try:
        content = value_text.text_of(value)
    except ValueFaultError as error:
        raise ApiError("event", f"A value cannot be recorded. {error}", 422) from error
    return ev.Written(at, over, path, scope, "", value_text.new_salt(), content)


def _store(
    connection: Connection,
    chain: _Chain,
    written: list[ev.Written],
    now_ms: int,
    appended: Appended,
    *,
    known: bool,
    first: Mapping[str, Any],
) -> None:
    """Sign and store what continues a chain, in as many batches as it takes."""
    seq, head, device = chain.seq, chain.head, chain.key.device
    for start in range(0, len(written), ev.MAX_EVENTS):
        batch = ev.check(device, seq + 1, head, written[start : start + ev.MAX_EVENTS])
        seq, head = batch.to_seq, batch.head
        signed = ev.Batch(
            device,
            batch.from_seq,
            batch.prev,
            batch.events,
            batch.hashes,
            chain.key.public,
            chain.key.sign(ev.head_text(device, seq, head)),
        )
        chains.add_batch(connection, signed, now_ms, known=known or start > 0, first={**first})
    appended.ends[device] = (seq, head)
    appended.count += len(written)


def _going_on(connection: Connection, keys: OwnKeys, writer: str, now_ms: int) -> _Chain | None:
    """The writer's chain that may go on here; chains that may not are left as they are."""
    rows = connection.execute(
        select(DEVICES.c.device, DEVICES.c.held, DEVICES.c.head, DEVICES.c.last_at)
        .where(
            DEVICES.c.stands_for == writer, DEVICES.c.kind == "shop", DEVICES.c.closed.is_(False)
        )
        .order_by(DEVICES.c.device)
        .with_for_update()
    ).all()
    for device, held, head, last_at in rows:
        key = keys.key_of(device)
        if (
            key is not None
            and keys.may_go_on(device, held, head)
            # written while the server's own clock ran far ahead: its stamps would stay there
            and not is_far_ahead(last_at, now_ms)
        ):
            return _Chain(key, held, head, last_at)
    return None


def _last_chain(connection: Connection, writer: str) -> dict[str, Any] | None:
    """What the writer's next chain goes on from, as the value of `device/continues`."""
    row = connection.execute(
        select(DEVICES.c.device, DEVICES.c.held, DEVICES.c.head)
        .where(DEVICES.c.stands_for == writer, DEVICES.c.kind == "shop")
        .order_by(DEVICES.c.received_ms.desc(), DEVICES.c.device)
        .limit(1)
    ).first()
    if row is None:
        return None
    why = "restored" if _was_restored(connection) else "copied_back"
    return {"device": row.device, "seq": row.held, "head": row.head, "why": why}


def _was_restored(connection: Connection) -> bool:
    """Whether the database came from a backup, which marks its copy."""
    if connection.dialect.name != "sqlite":
        return False
    return bool(connection.execute(text("PRAGMA user_version")).scalar())


def _latest_believed(connection: Connection, now_ms: int) -> str:
    highest = connection.execute(
        select(func.max(DEVICES.c.last_at)).where(DEVICES.c.last_at < highest_believed(now_ms))
    ).scalar()
    return highest or ""


def _standing(connection: Connection, puts: Iterable[Put]) -> dict[tuple[str, str], list[str]]:
    """Ids that stand at each scope and path that will be written to."""
    paths: dict[str, set[str]] = {}
    for scope, path, _ in puts:
        paths.setdefault(scope, set()).add(path)
    standing = {}
    for scope, wanted in paths.items():
        there = [e for e in visits.events_in(connection, scope) if e["put"] in wanted]
        for path, ids in live_ids(there).items():
            standing[scope, path] = ids
    return standing


def close(connection: Connection, devices: Iterable[str]) -> None:
    """End own chains of which somebody holds more than this server does."""
    connection.execute(
        update(DEVICES)
        .where(DEVICES.c.device.in_(list(devices)), DEVICES.c.kind == "shop")
        .values(closed=True)
    )


def take_aside(
    connection: Connection,
    keys: OwnKeys,
    events: Sequence[Mapping[str, Any]],
    begin: Mapping[str, Any],
    now_ms: int,
    appended: Appended,
) -> str:
    """Write what cannot be verified on a side chain of its own; its device.

    Args:
        events: in order, each `at`, `scope`, `put`, `value`, and `over` as ids of events.
        begin: the value of the chain's `device/continues`.

    Stamps keep their time, unless it lies far ahead, and get the new device; `over` follows
    them. The chain stays marked
    until the owner confirms it. Raises ApiError "event".
    """
    key = keys.create()
    renamed: dict[str, str] = {}
    written = []
    first_at = str(events[0].get("at")) if events else ""
    first_ms = int(first_at[:15]) if ev.is_stamp(first_at) else now_ms
    latest = next_stamp(max(min(first_ms, now_ms) - 1, 0), "", key.device)
    written.append(write(latest, ev.SHOP, ev.CONTINUES, dict(begin), []))
    for index, event in enumerate(events):
        at = str(event.get("at"))
        if not ev.is_stamp(at) or not ev.is_scope(str(event.get("scope"))):
            ev.refuse(index, "it has no stamp or no scope.")
        time_ms = now_ms if is_far_ahead(at, now_ms) else int(at[:15])
        latest = next_stamp(time_ms, latest, key.device)
        over = sorted({renamed.get(name, name) for name in event.get("over") or ()})
        new = write(latest, str(event["scope"]), str(event.get("put")), event.get("value"), over)
        if "id" in event:
            renamed[str(event["id"])] = f"{latest}~{ev.commit_of(new)}"
        written.append(new)
    first = {"kind": "side", "continues": str(begin["device"]), "marked": str(begin["why"])}
    _store(
        connection,
        _Chain(key, 0, "", ""),
        written,
        now_ms,
        appended,
        known=False,
        first=first,
    )
    return key.device


def side_chain_of(connection: Connection, device: str, tip: str) -> str | None:
    """The side chain that keeps a device's events up to the hash `tip`, if there is one."""
    rows = connection.execute(
        select(BATCHES.c.device, BATCHES.c.body)
        .join(DEVICES, DEVICES.c.device == BATCHES.c.device)
        .where(DEVICES.c.kind == "side", DEVICES.c.continues == device, BATCHES.c.from_seq == 1)
    )
    for row in rows:
        begin = value_text.value_of(ev.unpack(row.body)[0].value)
        if isinstance(begin, dict) and begin.get("tip") == tip:
            return str(row.device)
    return None
