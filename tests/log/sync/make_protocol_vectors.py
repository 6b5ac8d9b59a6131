"""Writes protocol_vectors.json: the phone model and the real server, one exchange at a time.

`python -m tests.log.sync.make_protocol_vectors` after a change of protocol. A vector is one round
of sync: `start` (what the phone holds), `exchanges` (requests in order, with the server's answers;
null when none comes), `end` (what the phone holds and shows then). README.md says how to run them,
protocol_scenarios.py what happens in each.
"""

from __future__ import annotations

import asyncio
import base64
import hashlib
import json
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from unittest import mock

from cryptography.hazmat.primitives import serialization
from sqlalchemy import update

from bradawl.common.device_keys import DeviceKey
from bradawl.database.connection import writing
from bradawl.log.chains.repair import repair
from bradawl.log.event_log import Log
from bradawl.log.format import value_text
from bradawl.log.format.tables import BATCHES
from tests.log.photos.pictures import sha256
from tests.log.server import DESK, DEVICE, KEY, OTHER, OTHER_KEY, app_of, new_log
from tests.log.sync.protocol_scenarios import (
    NEXT_KEY,
    PHOTOS,
    SERVER_MS,
    SHOP_KEY,
    copies,
    scenarios,
)
from tests.log.sync.reference import JSON, b64u
from tests.log.writer import Writer
from tests.world.asgi import call
from tests.world.disk import Disk
from tests.world.phone import NoAnswerError, Phone
from tests.world.server import make_template

PATH = Path(__file__).with_name("protocol_vectors.json")
RUN = "5e" * 8
SALT = hashlib.sha256(b"salt of the first event on a new chain").digest()[:16]


def snapshot(phone: Phone) -> JSON:
    """What the phone holds and shows."""
    disk = phone.disk
    return {
        "device": disk.device,
        "acknowledged": disk.acknowledged,
        "run": disk.run,
        "shop": disk.shop,
        "photos": list(disk.photos),
        "have": {device: len(events) for device, events in sorted(disk.events.items())},
        "heads": {device: head for device, (_, head) in sorted(disk.have().items())},
        "signed": {
            device: max(ends)
            for device, ends in sorted(disk.signed.items())
            if ends and device != disk.device
        },
        "seen": disk.seen,
        "unsent_photos": [name for name in disk.photos if name not in disk.held],
        "trouble": phone.trouble,
        "on_server": phone.on_server,
    }


def disk_of(start: Mapping[str, Any], photos: list[int], held: list[int], run: str) -> Disk:
    """A phone's disk: so many events of each of its copies, and photos by number."""
    disk = Disk(KEY, run=run)
    for writer, count in ((copies()["own"], start["own"]), (copies()["others"], start["others"])):
        if count:
            fill_chain(disk, writer, count)
    if start["unsigned"]:
        signed = start["others"] - start["unsigned"]
        signature = copies()["others"].batch(1, signed)["signature"]
        disk.signed[OTHER] = {signed: signature}
    disk.acknowledged = start["acknowledged"]
    for number in photos:
        kind, data = PHOTOS[number]
        disk.photos[sha256(data)] = (kind, data)
    disk.held = {sha256(PHOTOS[number][1]) for number in held}
    return disk


def fill_chain(disk: Disk, writer: Writer, count: int) -> None:
    disk.keys[writer.device] = writer.key.public
    disk.signed[writer.device] = {count: writer.batch(1, count)["signature"]}
    disk.keep(writer.device, [dict(event) for event in writer.events[:count]], SERVER_MS)


def fill(log: Log, server: JSON) -> None:
    """What the server holds; `own` and `others` name a copy and how far it is held."""
    for name, count in server["chains"]:
        log.push(copies()[name].batch(1, count), received_ms=SERVER_MS)
    if server["damaged"]:
        damage(log, server["damaged"])
    for puts in server["shop"]:
        log.append_in(DESK, puts)
    log.erasures.obey()
    for number in server["photos"]:
        kind, data = PHOTOS[number]
        with log.photos.arriving(sha256(data), kind) as arrival:
            arrival.add(data)
            log.photos.keep(arrival, DEVICE)


def damage(log: Log, device: str) -> None:
    """The first batch of a device is damaged, and the doctor has set it aside."""
    with writing(log.engine) as connection:
        connection.execute(
            update(BATCHES)
            .where(BATCHES.c.device == device, BATCHES.c.from_seq == 1)
            .values(body=b"[]")
        )
        repair(connection)


def readable(headers: Mapping[str, str], body: bytes) -> JSON:
    kind = headers["content-type"]
    if kind == "application/json":
        return {"type": kind, "json": json.loads(body)}
    return {"type": kind, "sha256": sha256(body)}


async def play(scenario: JSON, folder: Path) -> JSON:
    """One round against the real server; the vector."""
    log = new_log(
        folder,
        clock=lambda: SERVER_MS,
        registered=lambda device: device in (DEVICE, OTHER),
        new_key=SHOP_KEY.take,
    )
    log.run = RUN
    fill(log, scenario["server"])
    app = app_of(log)
    who = DEVICE if scenario["paired"] else ""
    exchanges: list[JSON] = []

    async def send(
        method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> tuple[int, bytes]:
        fate = scenario["cut"].get(str(len(exchanges)))
        exchange: JSON = {
            "request": {"method": method, "path": path, **readable(headers, body)},
            "response": None,
        }
        exchanges.append(exchange)
        if fate == "before":
            raise NoAnswerError
        status, answer = await call(app, method, path, {**headers, "device": who}, body)
        if fate == "after":
            raise NoAnswerError
        if fate == "damage":
            answer = answer.replace(b"under a roof", b"under a tree")
        exchange["response"] = {"status": status, "json": json.loads(answer)}
        return status, answer

    disk = disk_of(scenario, scenario["photos"], scenario["held"], scenario["run"])
    phone = phone_of(disk, send, scenario["batch"])
    start = snapshot(phone)
    await phone.round()
    log.close()
    return {
        "name": scenario["name"],
        "batch": scenario["batch"],
        "start": start,
        "exchanges": exchanges,
        "end": snapshot(phone),
    }


def phone_of(disk: Disk, send: Any, batch: int) -> Phone:
    return Phone(
        disk, send, lambda: SERVER_MS, batch, new_key=lambda: NEXT_KEY, new_salt=lambda: SALT
    )


def key_of(key: DeviceKey) -> JSON:
    """A private key as the file has it."""
    private = serialization.load_pem_private_key(key.pem(), password=None)
    pkcs8 = private.private_bytes(
        serialization.Encoding.DER,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    return {"device": key.device, "key": key.public, "pkcs8": b64u(pkcs8)}


def _played(scenario: JSON, folder: Path) -> JSON:
    salts = (b64u(hashlib.sha256(b"%d" % number).digest()[:16]) for number in range(99))
    SHOP_KEY.rewind()
    with mock.patch.object(value_text, "new_salt", side_effect=salts):
        return asyncio.run(play(scenario, folder))


def vectors() -> JSON:
    """Everything the file holds."""
    played = []
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as place:
        template = Path(place) / "template.db"
        make_template(template)
        for number, scenario in enumerate(scenarios()):
            folder = Path(place) / str(number)
            folder.mkdir()
            shutil.copyfile(template, folder / "log.db")
            played.append(_played(scenario, folder))
    own, others = copies()["own"], copies()["others"]
    return {
        "device": DEVICE,
        "key": key_of(KEY),
        "next": {**key_of(NEXT_KEY), "salt": b64u(SALT)},
        "clock_ms": SERVER_MS,
        "own": own.events,
        "others": {OTHER: others.events},
        "keys": {OTHER: OTHER_KEY.public},
        "signatures": {
            writer.device: [
                writer.batch(1, seq)["signature"] for seq in range(1, len(writer.events) + 1)
            ]
            for writer in (own, others)
        },
        "photos": [
            {"sha256": sha256(data), "type": kind, "base64": base64.b64encode(data).decode()}
            for kind, data in PHOTOS
        ],
        "vectors": played,
    }


def text() -> str:
    return json.dumps(vectors(), ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8")
    print(f"{len(scenarios())} vectors in {PATH}, {PATH.stat().st_size} bytes")
