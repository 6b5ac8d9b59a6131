"""Entries that cannot go onto their own chain: written anew on a chain of this server's.

A fork's losing copy is verified and keeps its salts and commitments, so that it is known again
however it was cut; a file that its phone has not signed is taken as it reads. Both stay marked
until the owner has looked. A fork of the server's own chain is the server's own word, and counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, or_, select

from bradawl.language import message
from bradawl.log.chains import own_chains, stored
from bradawl.log.chains.own_chains import Chain, OwnChains, Recording
from bradawl.log.format import events as ev
from bradawl.log.format import value_text
from bradawl.log.format.clock import is_far_ahead, next_stamp
from bradawl.log.format.tables import BATCHES, DEVICES
from bradawl.log.format.value_text import ValueFaultError

#: What tells an entry from every other, whoever wrote it down: scope, path, commitment.
Mark = tuple[str, str, str]


@dataclass(frozen=True)
class Entry:
    """An entry to be written anew; `id` is what others' `over` may call it, or empty."""

    written: ev.Written
    id: str

    @property
    def mark(self) -> Mark:
        return self.written.scope, self.written.put, ev.commit_of(self.written)


def entries_of(batch: ev.Batch) -> list[Entry]:
    """The entries of a verified batch."""
    return [Entry(written, f"{written.at}~{ev.commit_of(written)}") for written in batch.events]


def entries_read(events: Sequence[Mapping[str, Any]]) -> list[Entry]:
    """Entries as a file has them: `at`, `scope`, `put`, `over`, and `value`.

    Where the file has them, `text` is the recorded text of the value, `salt` its salt, and `id`
    what `over` calls the event. Raises ApiError "event".
    """
    entries = []
    for index, event in enumerate(events):
        at, scope = str(event.get("at")), str(event.get("scope"))
        if not ev.is_stamp(at) or not ev.is_scope(scope):
            ev.refuse(index, message("server-event-unstamped"))
        text, salt = event.get("text"), str(event.get("salt") or "")
        if not isinstance(text, str):
            try:
                text = value_text.text_of(event.get("value"))
            except ValueFaultError as error:
                ev.refuse(index, message("server-value", why=error.args[0]))
        if not value_text.is_salt(salt):
            salt = value_text.new_salt()
        over = [str(name) for name in event.get("over") or ()]
        written = ev.Written(at, over, str(event.get("put")), scope, "", salt, text)
        entries.append(Entry(written, str(event.get("id") or "")))
    return entries


def take_aside(
    own: OwnChains,
    recording: Recording,
    entries: Sequence[Entry],
    begin: Mapping[str, Any],
    *,
    verified: bool = False,
) -> str:
    """Write entries, in their order, on a side chain; its device.

    `begin` is the value of the chain's `device/continues`; `verified` says that the device which
    it names has signed them. What is kept already of the device that
    it names is left out; when nothing is left, the chain that keeps it is answered.

    Stamps keep their time, unless it lies far ahead, and get the new device; `over` follows them.
    Raises ApiError "event" or "unconfirmed".
    """
    connection, now_ms = recording.connection, recording.now_ms
    origin = str(begin["device"])
    kept = _kept(connection, origin)
    renamed = {entry.id: kept[entry.mark][1] for entry in entries if entry.mark in kept}
    new = [entry for entry in entries if entry.mark not in kept]
    if not new and entries:
        return kept[entries[-1].mark][0]
    writer = own.writer_of(connection, origin) if verified else ""
    if not writer:
        stored.require_room_for_marked(connection)
    key = own.new_key()
    first_ms = int(new[0].written.at[:15]) if new else now_ms
    latest = next_stamp(max(min(first_ms, now_ms) - 1, 0), "", key.device)
    written = [own_chains.write(latest, ev.SHOP, ev.CONTINUES, dict(begin), [])]
    for entry in new:
        before = entry.written
        time_ms = now_ms if is_far_ahead(before.at, now_ms) else int(before.at[:15])
        latest = next_stamp(time_ms, latest, key.device)
        over = sorted({renamed.get(name, name) for name in before.over})
        written.append(
            ev.Written(
                latest, over, before.put, before.scope, before.commit, before.salt, before.value
            )
        )
        if entry.id:
            renamed[entry.id] = f"{latest}~{ev.commit_of(before)}"
    written[1:] = own.kept_out(connection, written[1:])
    first: dict[str, Any] = {"continues": origin}
    if writer:  # signed by this server: no stranger's word
        first |= {"kind": "shop", "stands_for": writer, "closed": True}
    else:
        first |= {"kind": "side", "marked": str(begin["why"])}
    own_chains.store(recording, writer, Chain(key), written, first)
    return key.device


def take_fork_aside(own: OwnChains, recording: Recording, batch: ev.Batch, shared: int) -> str:
    """Keep what of a verified batch follows its first `shared` events, which are held here.

    So too where nothing is held of its chain: what lies before it may be lost for good.
    """
    parted = batch.after(batch.from_seq + shared - 1) if shared else batch
    begin = {
        "device": batch.device,
        "seq": parted.from_seq - 1,
        "head": parted.prev,
        "why": "forked",
    }
    own_chains.close(recording.connection, [batch.device])
    return take_aside(own, recording, entries_of(parted), begin, verified=True)


def _kept(connection: Connection, device: str) -> dict[Mark, tuple[str, str]]:
    """Device and id of every entry on chains that go on from a device's, and may be relied on."""
    rows = connection.execute(
        select(BATCHES)
        .join(DEVICES, DEVICES.c.device == BATCHES.c.device)
        .where(
            DEVICES.c.continues == device,
            or_(DEVICES.c.kind != "device", DEVICES.c.marked == ""),
            BATCHES.c.damaged.is_(False),
        )
    )
    kept = {}
    for row in rows:
        for written in ev.unpack(row.body):
            commit = ev.commit_of(written)
            kept[written.scope, written.put, commit] = (row.device, f"{written.at}~{commit}")
    return kept


def parting(connection: Connection, batch: ev.Batch, held: int) -> int | None:
    """After how many of its events a batch parts from its chain, held here up to `held`.

    None when it does not: all of it is held, or it goes on from there.
    """
    if batch.from_seq > held + 1:
        return 0  # the rest of a copy whose beginning parted
    before = stored.hash_at(connection, batch.device, batch.from_seq - 1)
    if before is not None and batch.prev != before:
        return 0
    last = min(batch.to_seq, held)
    for seq, hashed in stored.hashes_of(connection, batch.device, batch.from_seq, last):
        shared = seq - batch.from_seq
        if batch.hashes[shared] != hashed:
            return shared
    return None
