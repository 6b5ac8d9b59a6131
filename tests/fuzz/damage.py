"""Bytes damaged as a fuzzer does it: changed, cut out, doubled, put in, cut off, exchanged."""

from __future__ import annotations

import random
from collections.abc import Sequence

# What parsers stumble over: limits of numbers, openings without end, other encodings' marks.
AWKWARD: Sequence[bytes] = (
    b"",
    b"\0",
    b"-1",
    b"9" * 40,
    b"1e999",
    b"NaN",
    b"null",
    b"[" * 300,
    b"{" * 300,
    b'"\\ud800"',
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    "é\u2028\u202e".encode(),
    b"../../x",
    b"%PDF-1.7",
    b"<<" * 50,
)


def damaged(data: bytes, chance: random.Random, awkward: Sequence[bytes] = AWKWARD) -> bytes:
    """`data` after one to five small disasters."""
    made = bytearray(data)
    for _ in range(chance.randrange(1, 6)):
        at = chance.randrange(len(made) + 1)
        length = chance.randrange(1, 40)
        kind = chance.randrange(8)
        if kind == 0 and at < len(made):
            made[at] = chance.randrange(256)
        elif kind == 1:
            del made[at : at + length]
        elif kind == 2:
            made[at:at] = made[at : at + length]
        elif kind == 3:
            made[at:at] = chance.randbytes(chance.randrange(1, 9))
        elif kind == 4 and at < len(made):
            made[at] ^= 1 << chance.randrange(8)
        elif kind == 5:
            made[at : at + length] = chance.choice(awkward)
        elif kind == 6:
            other = chance.randrange(len(made) + 1)
            made[at : at + length] = made[other : other + length]
        elif chance.random() < 0.2:
            del made[at:]
    return bytes(made)
