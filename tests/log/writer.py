"""Writes events the way the protocol says, with nothing of the server's code but the keys.

Canonical JSON by the `rfc8785` package, so that the server's own encoder has an oracle; salts
follow from the event, so that the same story has the same hashes every time.
"""

from __future__ import annotations

import base64
import hashlib
from typing import Any

import rfc8785

from bradawl.device_keys import DeviceKey
from tests.log.server import KEY, MS, VISIT

JSON = dict[str, Any]
HASHED = ("at", "commit", "device", "over", "prev", "put", "scope", "seq")
SENT = ("at", "over", "put", "salt", "scope", "value")


def b64u(data: bytes) -> str:
    """Base64url without padding."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def hash_of(event: JSON) -> str:
    """SHA-256 of the RFC 8785 text of an event's eight hashed fields."""
    return hashlib.sha256(rfc8785.dumps({name: event[name] for name in HASHED})).hexdigest()


def id_of(event: JSON) -> str:
    """What `over` names an event by."""
    return f"{event['at']}~{event['commit']}"


def event_of(
    device: str, seq: int, prev: str, at: str, scope: str, put: str, value: Any, over: list[str]
) -> JSON:
    """An event with all its fields; its salt follows from device, seq and path."""
    salt = hashlib.sha256(f"salt {device} {seq} {put}".encode()).digest()[:16]
    text = rfc8785.dumps(value)
    return {
        "device": device,
        "seq": seq,
        "prev": prev,
        "at": at,
        "scope": scope,
        "put": put,
        "value": text.decode(),
        "salt": b64u(salt),
        "commit": b64u(hashlib.sha256(salt + text).digest()),
        "over": over,
    }


def batch_of(key: DeviceKey, events: list[JSON]) -> JSON:
    """Consecutive events as a push: signed, without what follows from the rest."""
    head = hash_of(events[-1])
    return {
        "protocol": 2,
        "device": key.device,
        "key": key.public,
        "from_seq": events[0]["seq"],
        "prev": events[0]["prev"],
        "events": [{name: event[name] for name in SENT} for event in events],
        "head": head,
        "signature": key.sign(f"bradawl-head-2\n{key.device}\n{events[-1]['seq']}\n{head}"),
    }


class Writer:
    """One device's chain of events, from the first on."""

    def __init__(self, key: DeviceKey = KEY, visit: str = VISIT, ms: int = MS) -> None:
        self.key = key
        self.device = key.device
        self.scope = f"inspection/{visit}"
        self.ms = ms
        self.events: list[JSON] = []

    def put(
        self, path: str, value: Any, over: list[str] | None = None, scope: str | None = None
    ) -> JSON:
        self.ms += 1000
        event = event_of(
            self.device,
            len(self.events) + 1,
            hash_of(self.events[-1]) if self.events else "",
            f"{self.ms:015d}-00000-{self.device}",
            scope or self.scope,
            path,
            value,
            over or [],
        )
        self.events.append(event)
        return event

    def fill(self, count: int) -> Writer:
        for number in range(count):
            self.put(f"items/brakes.pads/readings/pad/n{number}", {"typed": "2,5", "unit": "mm"})
        return self

    def batch(self, from_seq: int = 1, to_seq: int | None = None) -> JSON:
        return batch_of(self.key, self.events[from_seq - 1 : to_seq])

    def have(self, seq: int | None = None) -> dict[str, list[Any]]:
        """This chain's part of the `have` of a pull, for who holds it up to `seq`."""
        held = self.events[:seq]
        return {self.device: [len(held), hash_of(held[-1])]} if held else {}
