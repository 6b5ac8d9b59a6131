"""Visits as phones write them, for tests that read or show what was recorded.

Events come from tests/log/writer.py and seals from tests/log/sync/reference.py, which write
protocol 2 with nothing of the server's own.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from typing import Any

from bradawl.common.device_keys import DeviceKey
from bradawl.judge import fold, photos_of
from tests.log.sync import reference
from tests.log.writer import Writer

JSON = dict[str, Any]


def key_of(name: str) -> DeviceKey:
    """The key of a phone of the tests, the same every time."""
    return DeviceKey.derived(f"phone of the tests: {name}".encode())


def plain(event: JSON) -> JSON:
    """An event as the log gives it to the desk and the report."""
    return {**event, "value": json.loads(event["value"]), "text": event["value"]}


def sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def seal_value(key: DeviceKey, visit: str, events: Sequence[JSON], /, **more: Any) -> JSON:
    """A true seal over all of these events (as the log gives them), signed; `more` replaces parts.

    A part that is replaced is signed along; `signature` replaces the signature itself.
    """
    through: dict[str, int] = {}
    for event in events:
        through[event["device"]] = max(event["seq"], through.get(event["device"], 0))
    photos = photos_of(fold(list(events)))
    signature = more.pop("signature", None)
    value = {
        "name": "Ada Tester",
        "at": {"date": "2026-11-25", "time": "10:20", "zone": "+01:00"},
        "strokes": [[10, 10, 40, 60, 80, 20], [90, 50]],
        "box": [320, 120],
        "through": through,
        "leaves": sha256(reference.canonical(reference.leaves(list(events)))),
        "photos": {"count": len(photos), "hash": sha256(reference.canonical(photos))},
        "declaration": {"message": "seal-declaration", "language": "en-US"},
        "inputs": {"checklist": "b" * 64},
        "receipt": None,
        "key": key.public,
        **more,
    }
    digest = sha256(reference.canonical(value))
    text = f"bradawl-seal-2\n{key.device}\ninspection/{visit}\n{digest}"
    return {**value, "signature": signature or key.sign(text)}


def write(writer: Writer, puts: Sequence[tuple[str, Any]]) -> list[JSON]:
    """Record `puts` (path, value), each having seen what the writer put there before."""
    written = []
    for path, value in puts:
        before = [
            reference.id_of(event)
            for event in writer.events
            if (event["put"], event["scope"]) == (path, writer.scope)
        ]
        written.append(writer.put(path, value, before[-1:]))
    return written


def pairing_wish(key: DeviceKey, name: str) -> JSON:
    """What a phone sends to be paired."""
    proof = key.sign(f"bradawl-pair-2\n{key.device}")
    return {"device": key.device, "name": name, "key": key.public, "proof": proof}
