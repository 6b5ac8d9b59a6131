"""Invariant: a batch that is read is whole, its head the hash of its chain; or a named refusal."""

from __future__ import annotations

import gzip
import json
import random
from typing import Any

from bradawl.common.errors import ApiError
from bradawl.log import request_bodies
from bradawl.log.format import events
from bradawl.log.format.batches import read_batch
from tests.fuzz.box import outcome
from tests.fuzz.damage import damaged
from tests.log.writer import Writer

BATCH = json.dumps(Writer().fill(3).batch()).encode()
UNPACKED_BYTES = 10_000


def check(body: bytes) -> None:
    """A body as the push route hands it on."""
    batch = outcome(read_batch, body)
    if isinstance(batch, ApiError):
        assert batch.status in (400, 413, 422, 426)
        assert batch.message.rstrip().endswith(".")
        return
    full = events.chain(batch.device, batch.from_seq, batch.prev, batch.events)
    assert events.hash_of(full[-1]) == batch.head
    assert events.unpack(events.pack(batch.events)) == batch.events


def check_packed(body: bytes) -> None:
    """A body that says it is gzipped."""
    unpacked = outcome(request_bodies.unzip, body, UNPACKED_BYTES)
    if isinstance(unpacked, ApiError):
        assert unpacked.status in (400, 413)
    else:
        assert len(unpacked) <= UNPACKED_BYTES


def anything(chance: random.Random, depth: int = 3) -> Any:
    """A JSON value of any kind."""
    kind = chance.randrange(8 if depth else 6)
    if kind == 6:
        return [anything(chance, depth - 1) for _ in range(chance.randrange(4))]
    if kind == 7:
        return {
            chance.choice(["", "a", "at", "é", "\x00"]): anything(chance, depth - 1)
            for _ in range(chance.randrange(4))
        }
    number = chance.choice([0, -1, 2**53, 2**63, 10**400, chance.getrandbits(70)])
    text = "".join(chr(chance.randrange(0xD800)) for _ in range(chance.randrange(9)))
    return [None, True, number, chance.uniform(-1e9, 1e9), text, "0" * chance.randrange(300)][kind]


def one(chance: random.Random) -> None:
    """One case."""
    kind = chance.randrange(5)
    if kind == 0:
        check(chance.randbytes(chance.randrange(400)))
    elif kind == 1:
        batch = json.loads(BATCH)
        field = chance.choice([*batch, "x"])
        batch[field] = anything(chance)
        check(json.dumps(batch).encode())
    elif kind == 2:
        batch = json.loads(BATCH)
        field = chance.choice(["at", "over", "put", "salt", "scope", "value", "commit", "x"])
        batch["events"][chance.randrange(3)][field] = anything(chance)
        check(json.dumps(batch).encode())
    elif kind == 3:
        check_packed(damaged(gzip.compress(BATCH, mtime=0), chance))
    else:
        check(damaged(BATCH, chance))
