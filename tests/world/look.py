"""What must hold in every world, whatever happens.

- What a phone's screen shows as on the server is there, photos included.
- What was recorded, and is still held by anybody at all, is on the server in the end and on every
  phone, with the same text; no entry is doubled for who reads it.
- In the end every replica holds the same events and folds them to the same record, whatever the
  order of arrival; the server's own fold is that of tests/log/sync/reference.py.
- No page fails. All is quiet after a few rounds, and no honest phone shows a trouble.
- No honest clock is raised by others beyond 24 h ahead of the best-known time.
- A hostile phone, once fenced off, changes nothing.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from bradawl import judge
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from tests.log.sync import reference
from tests.log.sync.reference import JSON
from tests.world.disk import AHEAD_MS, Disk

if TYPE_CHECKING:
    from tests.world.phone import Phone
    from tests.world.world import Tally, World

#: What tells an entry from every other, whoever wrote it down: scope, path, commitment.
Mark = tuple[str, str, str]


class InvariantError(AssertionError):
    """Something that must hold does not; the message has the seed."""


def mark_of(event: JSON) -> Mark:
    return event["scope"], event["put"], event["commit"]


def held_anywhere(world: World) -> dict[Mark, JSON]:
    """Every entry that the server or a phone holds."""
    held = {}
    for chain in world.server.events().values():
        held.update({mark_of(event): event for event in chain})
    for handset in world.handsets:
        held.update({mark_of(event): event for event in handset.phone.disk.everything()})
    return held


def fail(world: World, what: str) -> InvariantError:
    return InvariantError(f"seed {world.seed}: {what}")


# while it lasts


def screen_is_true(world: World, phone: Phone) -> None:
    """What the phone counts as acknowledged is there, at the moment it says so."""
    stored = world.server.events().get(phone.disk.device, [])
    known = phone.own[: phone.disk.acknowledged]
    if stored[: len(known)] != known:
        raise fail(world, "an acknowledged event is not on the server")
    for name in phone.disk.held:
        original = world.server.log.photo_original(name)
        if original is None or hashlib.sha256(original).hexdigest() != name:
            raise fail(world, "a photo that counts as held is not on the server")


def clocks_are_believable(world: World) -> None:
    """Others' stamps have raised no phone's clock beyond what it had reason to believe."""
    for handset in world.handsets:
        disk = handset.phone.disk
        known_ms = world.now_ms + handset.skew_ms + disk.skew_ms
        handset.greatest_known_ms = max(handset.greatest_known_ms, known_ms)
        limit_ms = handset.greatest_known_ms + AHEAD_MS + 60_000
        if disk.seen and int(disk.seen[:15]) > limit_ms:
            raise fail(world, "a phone's clock was raised beyond what it may believe")


def written_since(world: World, before: dict[str, int]) -> list[JSON]:
    """What the server has written on its own chains since they had so many events."""
    events = world.server.events()
    own = world.server.log.own_devices()
    return [one for device in own for one in events.get(device, [])[before.get(device, 0) :]]


def desk_stamps_are_believable(world: World, events: list[JSON]) -> None:
    limit_ms = max(world.server_clock(), 0) + AHEAD_MS + 1
    if any(int(event["at"][:15]) > limit_ms for event in events):
        raise fail(world, "the desk's clock was raised beyond what it may believe")


def folded_by_the_server(log: Log, scope: str) -> str:
    events = log.events_in(scope)
    judge.live_ids(events)
    judge.leaf_texts(events)
    return judge.canonical(judge.fold(events))


def state_of(world: World) -> str:
    """Everything that a round of sync may change."""
    parts = [
        reference.canonical(
            {device: one[-1]["seq"] for device, one in world.server.events().items()}
        )
    ]
    for handset in world.handsets:
        disk = handset.phone.disk
        parts.append(
            reference.canonical(
                [disk.device, disk.acknowledged, disk.have(), sorted(disk.held), disk.shop]
            )
        )
    return "\n".join(parts)


# in the end


def at_the_end(world: World) -> Tally:
    """Raises InvariantError."""
    from tests.world.world import Tally, name_of_life

    log = world.server.log
    log.photos.finish()
    everything = world.server.events()
    tally = Tally(
        seeds=1, events=sum(len(chain) for chain in everything.values()), forks=world.forks
    )
    there = {mark_of(one): one for chain in everything.values() for one in chain}
    for mark, text in world.promise.entries.items():
        if mark not in there or there[mark].get("value") != text:
            tally.lost += 1
    if _damaged_for_good(world):
        if tally.lost:
            raise fail(world, str(tally))
        return Tally(seeds=1, events=tally.events, damaged=1)
    for device, stored in everything.items():
        seqs = [one["seq"] for one in stored]
        tally.doubled += len(seqs) - len(set(seqs))
        if seqs != list(range(1, len(seqs) + 1)):
            raise fail(world, f"device {device} has gaps or doubles: {seqs}")
    for handset in world.handsets:
        _photos_are_there(world, handset.phone)
        if handset.phone.disk.events != everything:
            tally.diverged += 1
    records = _records(world, everything, tally)
    if world.enemy is not None:
        tally.hostile = sum(len(everything.get(one, [])) for one in world.enemy.devices(log))
        _fenced_off(world)
    faults = examine(log).findings
    if faults:
        raise fail(world, f"the doctor found {faults}")
    if tally.lost or tally.doubled or tally.diverged:
        raise fail(world, str(tally))
    heads = reference.canonical(
        {device: reference.hash_of(one[-1]) for device, one in everything.items()}
    )
    tally.life = name_of_life(heads, *records)
    return tally


def _damaged_for_good(world: World) -> bool:
    """Whether entries are damaged that nobody holds any more: what follows them reaches no phone.

    Raises InvariantError where somebody could have brought them.
    """
    for device, after in world.server.damaged().items():
        for handset in world.handsets:
            if max(handset.phone.disk.signed.get(device, {}), default=0) > after:
                raise fail(world, f"a phone holds what is damaged of {device} after {after}")
    return bool(world.server.damaged())


def _photos_are_there(world: World, phone: Phone) -> None:
    refused = 0
    for name, (_, data) in phone.disk.photos.items():
        whole = data.endswith(b"\xff\xd9")
        if whole and world.server.log.photo_original(name) != data:
            raise fail(world, f"photo {name} is not on the server")
        if not whole and name in phone.disk.held:
            raise fail(world, "half a photo counts as held")
        refused += not whole
    if phone.on_server == bool(refused) or phone.trouble != ("refused" if refused else None):
        raise fail(world, f"the screen says {phone.trouble}, on server {phone.on_server}")


def _scopes(world: World) -> list[str]:
    return ["shop", *(f"inspection/{visit}" for visit in world.visits)]


def _records(world: World, everything: dict[str, list[JSON]], tally: Tally) -> list[str]:
    """The record of each scope, the same whoever folds it, and however it arrived."""
    log = world.server.log
    server = Disk(world.handsets[0].phone.disk.key, shop=log.own_devices())
    for device, chain in everything.items():
        server.keep(device, chain, 0)
    records = []
    for scope in _scopes(world):
        record = folded_by_the_server(log, scope)
        records.append(record)
        for disk in (server, *(handset.phone.disk for handset in world.handsets)):
            events = disk.obeyed(scope)
            world.chance.shuffle(events)
            # arrived in another order, and some of it twice
            again = events + events[: len(events) // 3]
            if (
                reference.canonical(reference.fold(events)) != record
                or reference.canonical(reference.fold(again)) != record
            ):
                tally.diverged += 1
        _nothing_is_doubled(world, server.obeyed(scope), record)
    return records


def _nothing_is_doubled(world: World, events: list[JSON], record: str) -> None:
    """An entry that was written anew counts once: without its twins the record says the same."""
    once: dict[Mark, Any] = {}
    for event in sorted(events, key=reference.id_of):
        if not event.get("fenced"):
            first = once.setdefault(mark_of(event), {**event, "over": []})
            first["over"] = [*first["over"], *event["over"]]

    # which of several stands first may change with the stamp of the twin that is left out
    def said(cells: JSON) -> Any:
        return {
            path: sorted(
                {
                    reference.canonical(cell["value"]),
                    *(reference.canonical(o["value"]) for o in cell["others"]),
                }
            )
            for path, cell in cells.items()
        }

    if said(reference.fold(list(once.values()))) != said(json.loads(record)):
        raise fail(world, "an entry that was written anew counts twice")


def _fenced_off(world: World) -> None:
    """The owner fences the hostile phone off, and nothing of it is left in any record."""
    assert world.enemy is not None
    log = world.server.log
    hostile = world.enemy.devices(log)
    log.append_in(
        world.desk,
        [
            ("shop", f"fence/{device}/1", {"to_seq": None, "why": "hostile"})
            for device in sorted(hostile)
        ],
    )
    honest = Disk(world.handsets[0].phone.disk.key, shop=log.own_devices())
    for device, chain in world.server.events().items():
        if device not in hostile:
            honest.keep(device, chain, 0)
    for visit in world.visits:
        scope = f"inspection/{visit}"
        record = reference.canonical(reference.fold(honest.obeyed(scope)))
        if folded_by_the_server(log, scope) != record:
            raise fail(world, "a hostile phone that was fenced off still changes something")
