"""Invariant: of any file, sentences; only the very bytes that were signed are called unchanged."""

from __future__ import annotations

import functools
import random
import tempfile
from pathlib import Path

from bradawl.report.checking.verification import verify
from bradawl.report.issue import write_report
from bradawl.report.signing.keys import open_signer
from tests.fuzz.damage import damaged
from tests.report.visits import TODAY, jpeg, snapshot


@functools.cache
def signed() -> bytes:
    """A report as it is issued."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        signer = open_signer(place / "keys")
        out = place / "report.pdf"
        write_report(snapshot(photos=[jpeg(1)]), out, "condition", signer, today=TODAY)
        return out.read_bytes()


def check(pdf: bytes) -> None:
    """A file that somebody hands in."""
    verdict = verify(pdf)
    assert verdict.lines
    assert all(line.rstrip()[-1:] in (".", ":", "”", ")", "?", "!") for line in verdict.lines)
    assert verdict.unchanged == (pdf == signed())


def one(chance: random.Random) -> None:
    """One case."""
    kind = chance.randrange(10)
    if kind == 0:
        check(b"%PDF-1.7\n" + chance.randbytes(chance.randrange(2_000)))
    elif kind == 1:
        check(signed())
    else:
        check(damaged(signed(), chance))
