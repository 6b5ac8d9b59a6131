"""The vectors that phone model and app share are what the real server and the model do today."""

from __future__ import annotations

import asyncio
import base64
import json
from collections.abc import Mapping
from typing import Any

import pytest

from tests.log import make_vectors
from tests.log.writer import hash_of
from tests.world.phone import Disk, NoAnswerError, Phone

FILE = json.loads(make_vectors.PATH.read_text(encoding="utf-8"))


def test_the_file_is_what_model_and_server_do_today() -> None:
    assert make_vectors.PATH.read_text(encoding="utf-8") == make_vectors.text(), (
        "The protocol changed: run `python -m tests.log.make_vectors`, and the app's tests too."
    )


@pytest.mark.parametrize("vector", FILE["vectors"], ids=lambda vector: vector["name"])
def test_the_model_makes_the_exchanges_of_the_file_alone(vector: dict[str, Any]) -> None:
    """As the app's own test does it: from the file, without any server."""
    disk = Disk(FILE["device"], run=vector["start"]["run"])
    for device, count in vector["start"]["have"].items():
        events = (FILE["own"] if device == FILE["device"] else FILE["others"][device])[:count]
        disk.events[device] = events
        disk.hashes[device] = hash_of(events[-1])
        disk.seen = max(disk.seen, events[-1]["at"])
    disk.acknowledged = vector["start"]["acknowledged"]
    for name in vector["start"]["photos"]:
        photo = next(one for one in FILE["photos"] if one["sha256"] == name)
        disk.photos[name] = (photo["type"], base64.b64decode(photo["base64"]))
    disk.held = set(vector["start"]["photos"]) - set(vector["start"]["unsent_photos"])
    left = list(vector["exchanges"])

    async def send(
        method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> tuple[int, bytes]:
        exchange = left.pop(0)
        assert {
            "method": method,
            "path": path,
            **make_vectors.readable(headers, body),
        } == exchange["request"]
        if exchange["response"] is None:
            raise NoAnswerError
        return exchange["response"]["status"], json.dumps(exchange["response"]["json"]).encode()

    phone = Phone(disk, send, lambda: 0, vector["batch"])
    asyncio.run(phone.round())
    assert left == []
    assert make_vectors.snapshot(phone) == vector["end"]
