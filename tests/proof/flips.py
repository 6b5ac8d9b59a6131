"""A report of the demo with one bit flipped, anywhere, or cut off at any length: always changed.

Of what no digest covers (the signature's own hole, the last table) every bit is flipped; of the
rest one bit of each byte, another from byte to byte. The report is that of the demo's first car, in
the edition that strangers get.
"""

from __future__ import annotations

import os
import random
import re
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

from bradawl.demo.phone import visit_of
from bradawl.inspection.snapshot import gather
from bradawl.report.checking.verification import verify
from bradawl.report.signing.keys import open_signer
from bradawl.report.signing.trust_store import KnownKey, TrustStore
from tests.report.full_visit import TODAY, demo
from tests.report.tools import build

_PART = 500
_SEED = 11
_RANGE = re.compile(rb"/ByteRange\s*\[\s*0 (\d+) (\d+) (\d+)")
#: A place and the bit that is flipped there; -1: the file ends before that place.
Change = tuple[int, int]
CUT = -1


def demo_report(folder: Path) -> tuple[bytes, str]:
    """The report, signed, and the fingerprint of its key."""
    source = demo()
    visit = gather(
        source,
        visit_of(source.scenarios[0]),
        today=TODAY,
        current_bundle=lambda: source.checklist,
    )
    signer = open_signer(folder)
    return build(visit, "condition", signer, today=TODAY), signer.fingerprint


def changes(pdf: bytes) -> Iterator[Change]:
    """All that are tried, in the order of the file."""
    begin, end, _ = (int(one) for one in _RANGE.findall(pdf)[-1])
    for at in range(len(pdf)):
        yield at, CUT
        bits = range(8) if begin <= at < end or at >= len(pdf) - 2_000 else (at * 5 % 8,)
        for bit in bits:
            yield at, bit


def taken_for_good(part: Sequence[Change], pdf: bytes, fingerprint: str) -> list[Change]:
    """Those of some changes that the library does not call a change."""
    trust = TrustStore({fingerprint: KnownKey("the shop", own=True)})
    missed = []
    for at, bit in part:
        if bit == CUT:
            changed = pdf[:at]
        else:
            changed = b"".join((pdf[:at], bytes([pdf[at] ^ 1 << bit]), pdf[at + 1 :]))
        if verify(changed, trust).unchanged:
            missed.append((at, bit))
    return missed


def flips(share: float) -> dict[str, Any]:
    """Try a share of all, drawn at random. Raises AssertionError."""
    with tempfile.TemporaryDirectory(prefix="bradawl-flips-") as folder:
        pdf, fingerprint = demo_report(Path(folder))
    everything = list(changes(pdf))
    tried = random.Random(_SEED).sample(everything, round(len(everything) * share))
    parts = [tried[at : at + _PART] for at in range(0, len(tried), _PART)]
    judge = partial(taken_for_good, pdf=pdf, fingerprint=fingerprint)
    missed: list[Change] = []
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for found in pool.map(judge, parts):
            missed += found
    if missed:
        raise AssertionError(f"{len(missed)} taken for good, such as {missed[:5]}")
    cuts = sum(bit == CUT for _, bit in tried)
    return {
        "bytes": len(pdf),
        "seeds": [_SEED],
        "figures": f"{len(tried) - cuts} flipped bits and {cuts} cuts of a report of {len(pdf)}"
        " bytes, none taken for good",
    }
