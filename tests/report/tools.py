"""The second tools that the report's tests ask: poppler, qpdf, mutool."""

from __future__ import annotations

import contextvars
import subprocess
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from bradawl.inspection.snapshot import Snapshot
from bradawl.report.issue import write_report
from bradawl.report.model.editions.edition import Edition
from bradawl.report.signing.keys import Signer

Made = TypeVar("Made")


def apart(make: Callable[[], Made]) -> Made:
    """What `make` returns, called in a thread: signing runs a loop, and a browser's is running."""
    made: list[Made] = []
    context = contextvars.copy_context()
    worker = threading.Thread(target=lambda: made.append(context.run(make)))
    worker.start()
    worker.join()
    return made[0]


def build(snapshot: Snapshot, edition: Edition, signer: Signer | None, **options: Any) -> bytes:
    """A report as bytes; `write_report` says the rest."""
    with tempfile.TemporaryDirectory(prefix="bradawl-report-") as folder:
        out = Path(folder) / "report.pdf"
        apart(lambda: write_report(snapshot, out, edition, signer, **options))
        return out.read_bytes()


def run(*arguments: str | Path) -> str:
    """A tool's output, errors included; the exit code is the caller's to judge."""
    done = subprocess.run(
        [str(one) for one in arguments],
        capture_output=True,
        text=True,
        errors="replace",
        check=False,
        timeout=60,
    )
    return done.stdout + done.stderr


def pdfsig(file: Path, store: Path) -> str:
    """What poppler's pdfsig says; `store` is a folder for its certificate store."""
    if not (store / "cert9.db").exists():
        store.mkdir(exist_ok=True)
        subprocess.run(
            ["certutil", "-d", f"sql:{store}", "-N", "--empty-password"], check=True, timeout=60
        )
    return run("pdfsig", "-nssdir", f"sql:{store}", file)


def words(file: Path) -> str:
    """The text of a PDF's pages in layout order, runs of white space as one space."""
    return " ".join(run("pdftotext", "-layout", "-enc", "UTF-8", file, "-").split())


def flowing(file: Path) -> str:
    """The text of a PDF's pages in the order in which it was written: cell after cell."""
    return " ".join(run("pdftotext", "-raw", "-enc", "UTF-8", file, "-").split())
