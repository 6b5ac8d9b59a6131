"""Making reports: side by side, again, and without slowing the server's start."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from bradawl.report.checking.verification import verify
from bradawl.report.issue import write_report
from bradawl.report.signing.keys import Signer
from tests.report.visits import TODAY, jpeg, snapshot

HEAVY = ("reportlab", "pikepdf", "pyhanko", "PIL", "cryptography", "asn1crypto", "requests")


def test_the_servers_start_imports_no_library_of_the_report() -> None:
    code = (
        "import sys, bradawl.report, bradawl.report.routes\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "[]"


def _manifest(file: Path) -> dict[str, Any]:
    with pikepdf.open(file) as pdf:
        found: dict[str, Any] = json.loads(pdf.attachments["manifest.json"].get_file().read_bytes())
    return found


def test_reports_made_at_the_same_time_are_whole_and_have_the_same_pages(
    tmp_path: Path, shop: Signer
) -> None:
    visit = snapshot(photos=[jpeg(number) for number in range(6)])
    failed: list[BaseException] = []

    def make(number: int) -> None:
        try:
            out = tmp_path / f"{number}.pdf"
            write_report(visit, out, "condition", shop, today=TODAY)
        except BaseException as problem:
            failed.append(problem)

    threads = [threading.Thread(target=make, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    made = [tmp_path / f"{number}.pdf" for number in range(4)]
    assert all(verify(file.read_bytes()).unchanged for file in made)
    pages = [_manifest(file)["pages"] for file in made]
    assert all(one == pages[0] for one in pages)
    assert len({_manifest(file)["report"] for file in made}) == 1


def test_a_report_is_whole_when_it_is_put_on_the_disk(
    tmp_path: Path, shop: Signer, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is still in the program's memory is not synced (POSIX.1-2017, fsync)."""
    out = tmp_path / "report.pdf"
    synced: dict[int, int] = {}
    fsync = os.fsync

    def counting(descriptor: int) -> None:
        fsync(descriptor)
        file = os.fstat(descriptor)
        synced[file.st_ino] = file.st_size

    monkeypatch.setattr(os, "fsync", counting)
    write_report(snapshot(), out, "condition", shop, today=TODAY)
    written = out.stat()
    assert synced[written.st_ino] == written.st_size


def test_a_report_appears_whole_or_not_at_all(
    tmp_path: Path, shop: Signer, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "report.pdf"
    out.write_bytes(b"the earlier report")

    def fail(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("bradawl.report.signing.signatures.certify", fail)
    with pytest.raises(OSError, match="No space left"):
        write_report(snapshot(), out, "condition", shop, today=TODAY)
    assert out.read_bytes() == b"the earlier report"
    assert [file.name for file in tmp_path.iterdir()] == ["report.pdf"]
