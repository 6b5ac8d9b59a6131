"""A part of the proof of flipped bits and cuts (tests/proof/flips.py) of a demo's report."""

from __future__ import annotations

import random
import re
from pathlib import Path

from bradawl.report.checking.verification import verify
from tests.proof.flips import CUT, changes, demo_report, taken_for_good


def test_no_flipped_bit_and_no_cut_is_taken_for_good(tmp_path: Path) -> None:
    pdf, fingerprint = demo_report(tmp_path)
    assert verify(pdf).unchanged
    everything = list(changes(pdf))
    chance = random.Random(29)
    hole = re.search(rb"/Contents <[0-9A-F]+>", pdf)
    assert hole is not None
    regions = {
        "anywhere": [one for one in everything if one[1] != CUT],
        "the signature": [one for one in everything if hole.start() <= one[0] < hole.end()],
        "the end": [one for one in everything if one[0] >= len(pdf) - 1_000],
        "cuts": [one for one in everything if one[1] == CUT],
    }
    tried = [one for region in regions.values() for one in chance.sample(region, 20)]
    assert taken_for_good(tried, pdf, fingerprint) == []


def test_every_byte_is_tried_and_every_bit_that_nobody_signs() -> None:
    pdf = b"x" * 3_000 + b"/ByteRange [0 500 700 2600]" + b"y" * 2_500
    tried = set(changes(pdf))
    assert {at for at, bit in tried if bit != CUT} == set(range(len(pdf)))
    assert {at for at, bit in tried if bit == CUT} == set(range(len(pdf)))
    assert {(at, bit) for at in range(500, 700) for bit in range(8)} <= tried
