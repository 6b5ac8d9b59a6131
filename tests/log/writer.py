"""Writes events the way the protocol says, with nothing of the server's code but the keys.

Canonical JSON, commitments and hashes are those of `sync/reference.py`, so that the server's own
code has an oracle; salts follow from the event, so that the same story has the same hashes every
time.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

from bradawl.common.device_keys import DeviceKey
from tests.log.server import KEY, MS, VISIT
from tests.log.sync.reference import (
    JSON,
    SENT,
    SENT_ERASED,
    b64u,
    commit_of,
    hash_of,
    id_of,
    shown,
    text_of,
)

__all__ = ["JSON", "Writer", "batch_of", "event_of", "hash_of", "id_of", "read_as"]


def event_of(
    device: str, seq: int, prev: str, at: str, scope: str, put: str, value: Any, over: list[str]
) -> JSON:
    """An event with all its fields; its salt follows from device, seq and path."""
    salt = hashlib.sha256(f"salt {device} {seq} {put}".encode()).digest()[:16]
    text = text_of(value)
    return {
        "device": device,
        "seq": seq,
        "prev": prev,
        "at": at,
        "scope": scope,
        "put": put,
        "value": text,
        "salt": b64u(salt),
        "commit": commit_of(salt, text),
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
        "events": [
            {name: event[name] for name in (SENT if "salt" in event else SENT_ERASED)}
            for event in events
        ],
        "head": head,
        "signature": key.sign(f"bradawl-head-2\n{key.device}\n{events[-1]['seq']}\n{head}"),
    }


def read_as(events: list[JSON]) -> list[JSON]:
    """Events as the rest of the program reads them: the value itself, lone surrogates replaced."""
    return [
        {**event, "value": shown(json.loads(event["value"])), "text": event["value"]}
        for event in events
    ]


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

    def hash_at(self, seq: int) -> str:
        return hash_of(self.events[seq - 1])

    def have(self, seq: int | None = None) -> dict[str, list[Any]]:
        """This chain's part of the `have` of a pull, for who holds it up to `seq`."""
        held = self.events[:seq]
        return {self.device: [len(held), hash_of(held[-1])]} if held else {}
