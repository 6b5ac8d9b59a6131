"""The paper: its code is read by a reader that is not ours and says what the file says."""

from __future__ import annotations

import base64
import hashlib
import json
import subprocess
from pathlib import Path

import pikepdf
import pytest
import zxingcpp
from PIL import Image

from bradawl.report.letterhead import Letterhead
from bradawl.report.signing.certificates import grouped
from bradawl.report.signing.keys import Signer
from tests.report.tools import build, words
from tests.report.visits import TODAY, snapshot

PLACE = "https://oak.example/check"


@pytest.mark.parametrize("place", [PLACE, ""])
def test_the_code_names_the_key_and_the_record(shop: Signer, tmp_path: Path, place: str) -> None:
    letterhead = Letterhead("Hollow Oak Garage", "12 Mill Lane", "555-0100", "oak.example", place)
    pdf = build(snapshot(photos=[]), "condition", shop, today=TODAY, letterhead=letterhead)
    file = tmp_path / "report.pdf"
    file.write_bytes(pdf)
    said = words(file)
    assert "Hollow Oak Garage · 12 Mill Lane · 555-0100 · oak.example" in said
    assert grouped(shop.fingerprint)[:24] in said
    # 200 dpi, as a cheap scanner has them
    subprocess.run(["pdftoppm", "-r", "200", "-png", file, tmp_path / "page"], check=True)
    read = [
        code.text
        for page in sorted(tmp_path.glob("page*.png"))
        for code in zxingcpp.read_barcodes(Image.open(page))
    ]
    with pikepdf.open(file) as opened:
        record = opened.attachments["record.json"].get_file().read_bytes()
        manifest = json.loads(opened.attachments["manifest.json"].get_file().read_bytes())
    digest = hashlib.sha256(record).hexdigest()
    assert manifest["record_sha256"] == digest
    short = [
        base64.urlsafe_b64encode(bytes.fromhex(one)).decode().rstrip("=")
        for one in (shop.fingerprint, digest)
    ]
    assert read == [f"{place}#{'.'.join(short)}" if place else ".".join(short)]
