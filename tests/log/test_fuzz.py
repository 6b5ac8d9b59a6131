"""Whatever bytes arrive: an answer or a named refusal, never a crash. Boxed by example count."""

from __future__ import annotations

import gzip
import json
import random
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.errors import ApiError
from bradawl.log import events as ev
from bradawl.log import pictures, routes
from tests.log.pictures import HEIC, encoded, turned_and_placed
from tests.log.writer import Writer

BOX = settings(max_examples=400, deadline=None, derandomize=True, database=None)
PHOTO_BOX = settings(max_examples=150, deadline=None, derandomize=True, database=None)
BATCH = json.dumps(Writer().fill(3).batch()).encode()
PHOTOS = [
    encoded("JPEG"),
    encoded("JPEG", progressive=True),
    encoded("PNG"),
    encoded("WEBP"),
    turned_and_placed(6),
    HEIC,
]

anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


def mutated(data: bytes, seed: int) -> bytes:
    """`data` with some bytes changed, cut out, doubled or inserted."""
    chance = random.Random(seed)
    made = bytearray(data)
    for _ in range(chance.randrange(1, 6)):
        at = chance.randrange(len(made) + 1)
        kind = chance.randrange(5)
        if kind == 0 and at < len(made):
            made[at] = chance.randrange(256)
        elif kind == 1:
            del made[at : at + chance.randrange(1, 40)]
        elif kind == 2:
            made[at:at] = made[at : at + chance.randrange(1, 40)]
        elif kind == 3:
            made[at:at] = chance.randbytes(chance.randrange(1, 9))
        elif at < len(made):
            made[at] ^= 1 << chance.randrange(8)
    return bytes(made)


def outcome(function: Callable[..., Any], *arguments: Any) -> Any:
    """What a call gives, or the named refusal that it ends with; any other error is a crash."""
    try:
        return function(*arguments)
    except ApiError as refusal:
        return refusal


def decoded(body: bytes) -> None:
    """Invariant: a batch that is read is whole (its head is the hash of its chain), or ApiError."""
    batch = outcome(ev.read_batch, body)
    if isinstance(batch, ApiError):
        assert batch.status in (400, 413, 422, 426)
        assert batch.message.rstrip().endswith(".")
        return
    full = ev.chain(batch.device, batch.from_seq, batch.prev, batch.events)
    assert ev.hash_of(full[-1]) == batch.head
    assert ev.unpack(ev.pack(batch.events)) == batch.events


@BOX
@given(st.binary(max_size=400))
def test_any_bytes_as_a_batch(body: bytes) -> None:
    decoded(body)


@BOX
@given(st.integers(0, 2**32))
def test_a_batch_with_damaged_bytes(seed: int) -> None:
    decoded(mutated(BATCH, seed))


@BOX
@given(
    st.sampled_from(["protocol", "device", "from_seq", "prev", "events", "head", "other"]), anything
)
def test_a_batch_with_anything_in_a_field(field: str, value: Any) -> None:
    decoded(json.dumps({**json.loads(BATCH), field: value}).encode())


@BOX
@given(st.sampled_from(["at", "visit", "put", "value", "over", "other"]), anything)
def test_an_event_with_anything_in_a_field(field: str, value: Any) -> None:
    batch = json.loads(BATCH)
    batch["events"][1][field] = value
    decoded(json.dumps(batch).encode())


@BOX
@given(st.integers(0, 2**32))
def test_a_packed_body_with_damaged_bytes(seed: int) -> None:
    body = outcome(routes.unzip, mutated(gzip.compress(BATCH, mtime=0), seed), 10_000)
    assert body.status in (400, 413) if isinstance(body, ApiError) else len(body) <= 10_000


@pytest.fixture(scope="module")
def place() -> Any:
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder) / "photo"


def taken_in(place: Path, data: bytes) -> None:
    """Invariant: facts within the limits and a clean JPEG, or a named refusal."""
    place.write_bytes(data)
    facts = outcome(pictures.inspect, place)
    copy = outcome(pictures.served_copy, data)
    for one in (facts, copy):
        if isinstance(one, ApiError):
            assert one.code in ("not_an_image", "too_many_pixels")
    if not isinstance(facts, ApiError):
        assert 0 < facts.width * facts.height <= pictures.MAX_PIXELS
    if not isinstance(copy, ApiError):
        assert copy.startswith(b"\xff\xd8\xff")
        assert b"Exif" not in copy


@PHOTO_BOX
@given(st.sampled_from(PHOTOS), st.integers(0, 2**32))
def test_a_photo_with_damaged_bytes(place: Path, photo: bytes, seed: int) -> None:
    taken_in(place, mutated(photo, seed))


@PHOTO_BOX
@given(
    st.sampled_from(
        [b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\x20\0\0\0WEBP", b"\0\0\0\x18ftypheic"]
    ),
    st.binary(max_size=300),
)
def test_any_bytes_behind_the_mark_of_a_photo(place: Path, mark: bytes, rest: bytes) -> None:
    taken_in(place, mark + rest)
