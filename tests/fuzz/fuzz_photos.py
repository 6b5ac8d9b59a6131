"""Invariant: of any file, facts within the limits and a clean JPEG copy; or a named refusal."""

from __future__ import annotations

import random

from bradawl.common.errors import ApiError
from bradawl.log.photos import images
from tests.fuzz.box import outcome
from tests.fuzz.damage import damaged
from tests.log.photos.pictures import HEIC, encoded, turned_and_placed

PHOTOS = [
    encoded("JPEG"),
    encoded("JPEG", progressive=True),
    encoded("PNG"),
    encoded("WEBP"),
    turned_and_placed(6),
    HEIC,
]
MARKS = [b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\x20\0\0\0WEBP", b"\0\0\0\x18ftypheic"]


def check(data: bytes) -> None:
    """A file as a phone sends it."""
    facts = outcome(images.inspect, data)
    copy = outcome(images.served_copy, data)
    for refusal in (facts, copy):
        if isinstance(refusal, ApiError):
            assert refusal.code in ("not_an_image", "too_many_pixels")
    if not isinstance(facts, ApiError):
        assert 0 < facts.width * facts.height <= images.MAX_PIXELS
    if not isinstance(copy, ApiError):
        assert copy.startswith(b"\xff\xd8\xff")
        assert b"Exif" not in copy


def one(chance: random.Random) -> None:
    """One case."""
    if chance.random() < 0.2:
        check(chance.choice(MARKS) + chance.randbytes(chance.randrange(300)))
    else:
        check(damaged(chance.choice(PHOTOS), chance))
