"""Any byte of the signed range changed: pdfsig and `bradawl verify` both object.

Sampled over the file: first and last bytes, each kind of object, every thirtieth part.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bradawl.report.checking.verification import verify
from tests.report.tools import pdfsig

REGIONS = (
    b"%PDF-1.7", b"/Type /Page ", b"/Type /Catalog", b"/Subtype /Image", b"/DCTDecode",
    b"/FontFile2", b"/ToUnicode", b"/OutputIntent", b"/EmbeddedFile", b"/AFRelationship",
    b"pdfaid:part", b"/Annots", b"/Dest", b"/Outlines", b"/Names", b"/Info", b"xref\n", b"trailer",
    b"startxref", b"%%EOF", b"/ByteRange", b"/SubFilter", b"/AcroForm", b"/DocMDP", b"/Perms",
    b"/Lang", b"/Title", b"/StructTreeRoot",
)  # fmt: skip


def _signed_ranges(data: bytes) -> tuple[int, int, int, int]:
    found = re.findall(rb"/ByteRange\s*\[\s*(\d+)\s+(\d+)\s+(\d+)\s+(\d+)", data)
    start, length, after, rest = (int(number) for number in found[-1])
    return start, length, after, rest


def places(data: bytes) -> list[int]:
    """Offsets to flip: all within the signed ranges."""
    start, length, after, rest = _signed_ranges(data)
    assert start == 0
    assert after + rest == len(data)
    chosen = {0, 5, length - 1, after, after + 1, len(data) - 1, len(data) - 8}
    for region in REGIONS:
        for match in re.finditer(re.escape(region), data):
            chosen.add(match.start() + len(region) // 2)
            break
        at = data.rfind(region)
        if at >= 0:
            chosen.add(at + len(region) - 1)
    chosen.update(range(64, len(data), max(1, len(data) // 30)))
    return sorted(at for at in chosen if at < length or at >= after)


@pytest.mark.parametrize("bit", [0, 5])
def test_each_flipped_byte_is_called_a_change_by_both(
    condition: Path, store: Path, tmp_path: Path, bit: int
) -> None:
    whole = condition.read_bytes()
    offsets = places(whole)[bit::3] if bit else places(whole)[::3]
    assert len(offsets) > 15
    file = tmp_path / "flipped.pdf"
    missed = []
    for at in offsets:
        changed = bytearray(whole)
        changed[at] ^= 1 << bit
        file.write_bytes(bytes(changed))
        if verify(bytes(changed)).unchanged:
            missed.append(("verify", at))
        said = pdfsig(file, store)
        if "Signature is Valid." in said and "Total document signed" in said:
            missed.append(("pdfsig", at))
    assert missed == []


def test_every_region_of_the_file_is_sampled(condition: Path) -> None:
    data = condition.read_bytes()
    absent = [region for region in REGIONS if region not in data]
    assert absent == []


def test_bytes_put_in_or_cut_out_are_called_a_change(condition: Path) -> None:
    data = condition.read_bytes()
    for at in (100, len(data) // 2, len(data) - 40):
        assert not verify(data[:at] + b" " + data[at:]).unchanged
        assert not verify(data[:at] + data[at + 1 :]).unchanged


def test_bytes_added_behind_the_end_are_called_a_change(condition: Path) -> None:
    data = condition.read_bytes()
    for more in (b"\n", b"%%EOF", b"1 0 obj<<>>endobj", data[-400:]):
        verdict = verify(data + more)
        assert not verdict.unchanged
        assert "nobody signed" in " ".join(verdict.lines) or "damaged" in " ".join(verdict.lines)


def test_the_hole_of_the_signature_holds_nothing_else(condition: Path) -> None:
    """The padding behind the signature is outside the signed range; it must stay empty."""
    data = condition.read_bytes()
    _, length, after, _ = _signed_ranges(data)
    hidden = bytearray(data)
    hidden[after - 20 : after - 12] = b"deadbeef"
    assert not verify(bytes(hidden)).unchanged
    hidden = bytearray(data)
    hidden[length + 200] ^= 0x01
    assert not verify(bytes(hidden)).unchanged
