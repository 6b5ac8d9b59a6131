"""Tells whether a data folder is being served, and where: a file that its server holds locked.

The lock ends with the process, however that ends, so what a killed server wrote is never believed.
Several servers may serve one folder; the one that began last says where.
"""

from __future__ import annotations

import fcntl
import os
from pathlib import Path

FILE = "served-at"
_MOST_BYTES = 300


def mark(data: Path, address: str) -> None:
    """Say, as long as this process lives, that it serves `data` at `address`. Raises OSError.

    `address` is such as `http://localhost:8477`.
    """
    file = os.open(data / FILE, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)  # never closed
    fcntl.flock(file, fcntl.LOCK_SH)
    os.ftruncate(file, 0)
    os.pwrite(file, address.encode(), 0)


def address_of_running(data: Path) -> str | None:
    """Where a server of this data folder listens; None where none does."""
    try:
        file = os.open(data / FILE, os.O_RDONLY | os.O_NOFOLLOW)
    except OSError:
        return None
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return os.pread(file, _MOST_BYTES, 0).decode(errors="replace") or None
    else:
        return None
    finally:
        os.close(file)
