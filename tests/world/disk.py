"""What a modelled phone keeps: the events of every device, checked as they come, and its photos.

Nothing of the server's code but the keys: hashes, commitments, folds and orders are those of
tests/log/sync/reference.py.
"""

from __future__ import annotations

import base64
import copy
import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bradawl.common.device_keys import DeviceKey
from tests.log.sync import reference
from tests.log.sync.reference import JSON

AHEAD_MS = 24 * 3_600_000
SHOP = "shop"


class BatchError(Exception):
    """A batch from the server does not continue what the phone holds, or is not its device's."""


#: Per seq, a device's signature over that event as a head.
Ends = dict[int, str]


@dataclass(frozen=True)
class Severed:
    """What followed a hole in a chain, and what of it its device has signed.

    Kept apart, since the chain may go on meanwhile with another life's events and signatures.
    """

    events: list[JSON]
    ends: Ends


@dataclass
class Disk:
    """What survives a restart of the phone; each change to it is one transaction."""

    key: DeviceKey
    events: dict[str, list[JSON]] = field(default_factory=dict)  # per device, full events
    keys: dict[str, str] = field(default_factory=dict)  # per device, its public key
    signed: dict[str, Ends] = field(default_factory=dict)
    index: dict[tuple[str, str], list[JSON]] = field(default_factory=dict)  # by scope and path
    seen: str = ""  # greatest believed stamp of any device
    skew_ms: int = 0  # the server's clock minus this phone's, as last heard
    acknowledged: int = 0
    photos: dict[str, tuple[str, bytes]] = field(default_factory=dict)  # type and bytes
    held: set[str] = field(default_factory=set)  # photos that the server said it holds
    run: str = ""  # of the server, as last heard
    shop: list[str] = field(default_factory=list)  # the server's own chains, as last heard
    #: per device, what followed holes in its chain, until the server has it aside
    severed: dict[str, list[Severed]] = field(default_factory=dict)

    @property
    def device(self) -> str:
        return self.key.device

    @property
    def own(self) -> list[JSON]:
        return self.events.get(self.device, [])

    def copy(self) -> Disk:
        """A copy that nothing is shared with."""
        twin = copy.copy(self)
        for name in ("keys", "photos", "held", "shop"):
            setattr(twin, name, copy.copy(getattr(self, name)))
        twin.signed = {device: dict(ends) for device, ends in self.signed.items()}
        twin.events = {one: [dict(e) for e in self.events[one]] for one in self.events}
        twin.severed = {one: list(parts) for one, parts in self.severed.items()}
        twin.index = {}
        for events in twin.events.values():
            for event in events:
                twin.index.setdefault((event["scope"], event["put"]), []).append(event)
        return twin

    def everything(self) -> Iterator[JSON]:
        """All that is held of anybody."""
        for events in self.events.values():
            yield from events
        for parts in self.severed.values():
            for part in parts:
                yield from part.events

    def has(self, event: JSON) -> bool:
        """Whether an event is held in its chain."""
        there = self.events.get(event["device"], [])[event["seq"] - 1 : event["seq"]]
        return [reference.id_of(one) for one in there] == [reference.id_of(event)]

    def hash_at(self, device: str, seq: int) -> str:
        """The hash of a held event; "" for seq 0."""
        events = self.events.get(device, [])
        if seq == len(events):
            return reference.hash_of(events[-1]) if events else ""
        return str(events[seq]["prev"])

    def have(self) -> dict[str, list[object]]:
        return {
            device: [len(events), self.hash_at(device, len(events))]
            for device, events in self.events.items()
        }

    def keep(self, device: str, events: list[JSON], now_ms: int) -> None:
        """Add events that continue a chain. `now_ms` is the best-known time."""
        self.events.setdefault(device, []).extend(events)
        for event in events:
            self.index.setdefault((event["scope"], event["put"]), []).append(event)
            if is_believed(event["at"], now_ms):
                self.seen = max(self.seen, event["at"])

    def drop_after(self, device: str, seq: int) -> Severed:
        """Remove a chain's events after one; what was removed."""
        events = self.events.get(device, [])[seq:]
        if seq:
            del self.events[device][seq:]
        else:
            self.events.pop(device, None)
        for event in events:
            self.index[event["scope"], event["put"]].remove(event)
        signed = self.signed.get(device, {})
        self.signed[device] = {end: signed[end] for end in signed if end <= seq}
        return Severed(events, {end: signed[end] for end in signed if end > seq})

    def sever(self, device: str, first: int, last: int) -> None:
        """The events `first` + 1 to `last` of another's chain are gone: keep what follows aside."""
        dropped = self.drop_after(device, first)
        behind = Severed(dropped.events[last - first :], dropped.ends)
        self.severed.setdefault(device, []).append(behind)

    def receive(self, batch: JSON, now_ms: int) -> bool:
        """Take in a batch, whole or not at all; whether it had anything new. Raises BatchError."""
        device = batch["device"]
        held = len(self.events.get(device, []))
        chained, new = _checked(batch), []
        if batch["from_seq"] > held + 1:
            raise BatchError("it leaves a gap")
        for event in chained:
            if event["seq"] == held + 1 and event["prev"] != self.hash_at(device, held):
                raise BatchError("it continues another chain than the one that is held")
            if event["seq"] > held:
                new.append(event)
        if new and held and new[0]["at"] <= self.events[device][-1]["at"]:
            raise BatchError("its stamps do not rise")
        if new:
            self.keys[device] = batch["key"]
            self.signed.setdefault(device, {})[new[-1]["seq"]] = batch["signature"]
            self.keep(device, new, now_ms)
        return bool(new)

    # what the shop ordered

    def orders(self) -> JSON:
        events = [
            shown(e) for (scope, _), found in self.index.items() if scope == SHOP for e in found
        ]
        return reference.orders(events, self.shop)

    def obeyed(self, scope: str, put: str | None = None) -> list[JSON]:
        """A scope's events, or those at one path, as the fold reads them."""
        places = (
            [(scope, put)] if put is not None else [one for one in self.index if one[0] == scope]
        )
        found = [shown(event) for place in places for event in self.index.get(place, [])]
        return reference.obeyed(found, self.orders())

    def erase_what_was_ordered(self) -> None:
        """Delete value and salt of what the shop ordered to be erased."""
        for order in self.orders()["erase"]:
            events = self.events.get(order["device"], [])
            if 0 < order["seq"] <= len(events):
                event = events[order["seq"] - 1]
                if (event["put"], event["commit"]) == (order["put"], order["commit"]):
                    event.pop("value", None)
                    event.pop("salt", None)


def signed_runs(events: Sequence[JSON], ends: Ends) -> Iterator[list[JSON]]:
    """Consecutive events, in parts that end where their device has signed.

    What follows the last such end, or lies before a hole without one, cannot be proved.
    """
    part: list[JSON] = []
    for event in events:
        if part and event["seq"] != part[-1]["seq"] + 1:
            part = []
        part.append(event)
        if event["seq"] in ends:
            yield part
            part = []


def unsigned(events: Sequence[JSON], ends: Ends) -> list[JSON]:
    """Those events that no signature ends."""
    signed = {event["seq"] for part in signed_runs(events, ends) for event in part}
    return [event for event in events if event["seq"] not in signed]


def is_believed(at: str, now_ms: int) -> bool:
    """Whether a stamp may raise a clock whose best-known time is `now_ms`."""
    return int(at[:15]) <= now_ms + AHEAD_MS


def shown(event: JSON) -> JSON:
    """An event as the fold reads it."""
    if "value" not in event:
        return {**event, "value": None, "salt": "", "erased": True}
    return {**event, "value": reference.shown(json.loads(event["value"]))}


def sent(event: JSON) -> JSON:
    """An event as it travels."""
    return {
        name: event[name] for name in (reference.SENT if "salt" in event else reference.SENT_ERASED)
    }


def _checked(batch: JSON) -> list[JSON]:
    """A batch's events with all their fields, chained. Raises BatchError."""
    device, prev = batch["device"], batch["prev"]
    try:
        point = base64.urlsafe_b64decode(batch["key"] + "==")
    except ValueError as error:
        raise BatchError("its key is none") from error
    if hashlib.sha256(point).hexdigest()[:32] != device:
        raise BatchError("its key is another device's")
    events, last_at = [], ""
    for seq, one in enumerate(batch["events"], batch["from_seq"]):
        event = {"device": device, "seq": seq, "prev": prev, **one}
        if "value" in one:
            salt = base64.urlsafe_b64decode(one["salt"] + "==")
            event["commit"] = reference.commit_of(salt, one["value"])
        if event["at"][22:] != device or event["at"] <= last_at:
            raise BatchError("its stamps do not rise, or are another device's")
        prev, last_at = reference.hash_of(event), event["at"]
        events.append(event)
    if prev != batch["head"]:
        raise BatchError("its events do not come to its head")
    text = f"bradawl-head-2\n{device}\n{events[-1]['seq']}\n{prev}"
    if not reference.verifies(batch["key"], text, batch["signature"]):
        raise BatchError("its device has not signed it")
    return events
