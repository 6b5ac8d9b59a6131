"""The vectors that phone model and app share are what the real server and the model do today."""

from __future__ import annotations

import asyncio
import base64
import json
from collections.abc import Mapping
from typing import Any

import pytest

from tests.log.server import KEY
from tests.log.sync import make_protocol_vectors
from tests.log.sync.reference import verifies
from tests.world.disk import Disk
from tests.world.phone import NoAnswerError

FILE = json.loads(make_protocol_vectors.PATH.read_text(encoding="utf-8"))


def test_the_file_is_what_model_and_server_do_today() -> None:
    assert make_protocol_vectors.PATH.read_text(encoding="utf-8") == make_protocol_vectors.text(), (
        "The protocol changed: run `python -m tests.log.sync.make_protocol_vectors`, "
        "and the app's tests too."
    )


def disk_of(start: dict[str, Any]) -> Disk:
    disk = Disk(KEY, run=start["run"], shop=start["shop"])
    for device, count in start["have"].items():
        events = FILE["own"] if device == FILE["device"] else FILE["others"][device]
        disk.keys[device] = FILE["keys"].get(device, FILE["key"]["key"])
        end = start["signed"].get(device, count)
        disk.signed[device] = {end: FILE["signatures"][device][end - 1]}
        disk.keep(device, [dict(event) for event in events[:count]], FILE["clock_ms"])
    disk.acknowledged = start["acknowledged"]
    for name in start["photos"]:
        photo = next(one for one in FILE["photos"] if one["sha256"] == name)
        disk.photos[name] = (photo["type"], base64.b64decode(photo["base64"]))
    disk.held = set(start["photos"]) - set(start["unsent_photos"])
    return disk


@pytest.mark.parametrize("vector", FILE["vectors"], ids=lambda vector: vector["name"])
def test_the_model_makes_the_exchanges_of_the_file_alone(vector: dict[str, Any]) -> None:
    """As the app's own test does it: from the file, without any server."""
    left = list(vector["exchanges"])

    async def send(
        method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> tuple[int, bytes]:
        exchange = left.pop(0)
        asked = {"method": method, "path": path, **make_protocol_vectors.readable(headers, body)}
        assert asked == exchange["request"]
        if exchange["response"] is None:
            raise NoAnswerError
        return exchange["response"]["status"], json.dumps(exchange["response"]["json"]).encode()

    phone = make_protocol_vectors.phone_of(disk_of(vector["start"]), send, vector["batch"])
    assert make_protocol_vectors.snapshot(phone) == {**vector["start"], "trouble": None}
    asyncio.run(phone.round())
    assert left == []
    assert make_protocol_vectors.snapshot(phone) == vector["end"]


def test_every_batch_in_the_file_is_signed_by_its_device() -> None:
    """Whoever runs the file may verify a signature instead of comparing it."""
    batches = []
    for vector in FILE["vectors"]:
        for exchange in vector["exchanges"]:
            batches.append(exchange["request"].get("json", {}))
            answer = (exchange["response"] or {}).get("json", {})
            batches += answer.get("batches", [])
    count = 0
    for batch in batches:
        if "signature" in batch:
            seq = batch["from_seq"] + len(batch["events"]) - 1
            text = f"bradawl-head-2\n{batch['device']}\n{seq}\n{batch['head']}"
            assert verifies(batch["key"], text, batch["signature"])
            count += 1
    assert count > 30
