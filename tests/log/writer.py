"""Writes events the way the protocol says, with nothing of the server's code.

Canonical JSON by the `rfc8785` package, so that the server's own encoder has an oracle.
"""

from __future__ import annotations

import hashlib
from typing import Any

import rfc8785

from tests.log.server import DEVICE, MS, VISIT

JSON = dict[str, Any]


def hash_of(event: JSON) -> str:
    """SHA-256 of the event's RFC 8785 text."""
    return hashlib.sha256(rfc8785.dumps(event)).hexdigest()


class Writer:
    """One device's chain of events, from the first on."""

    def __init__(self, device: str = DEVICE, visit: str = VISIT, ms: int = MS) -> None:
        self.device = device
        self.visit = visit
        self.ms = ms
        self.events: list[JSON] = []

    def put(self, path: str, value: Any, over: list[str] | None = None) -> JSON:
        self.ms += 1000
        event = {
            "device": self.device,
            "seq": len(self.events) + 1,
            "prev": hash_of(self.events[-1]) if self.events else "",
            "at": f"{self.ms:015d}-00000-{self.device}",
            "visit": self.visit,
            "put": path,
            "value": value,
            "over": over or [],
        }
        self.events.append(event)
        return event

    def fill(self, count: int) -> Writer:
        for number in range(count):
            self.put(f"items/brakes.pads/readings/pad/n{number}", {"typed": "2,5", "unit": "mm"})
        return self

    def batch(self, from_seq: int = 1, to_seq: int | None = None) -> JSON:
        chosen = self.events[from_seq - 1 : to_seq]
        return {
            "protocol": 1,
            "device": self.device,
            "from_seq": from_seq,
            "prev": chosen[0]["prev"],
            "events": [
                {key: event[key] for key in ("at", "visit", "put", "value", "over")}
                for event in chosen
            ],
            "head": hash_of(chosen[-1]),
        }
