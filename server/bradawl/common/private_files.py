"""Writes files that only their owner may read: whole or absent, on the disk when done."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

from bradawl.common.disk_errors import sync_folder

__all__ = ["write_private_file"]


def write_private_file(path: Path, data: bytes, *, keep_existing: bool = False) -> None:
    """Put `data` in place with mode 0600, synced; raises OSError and leaves no part behind.

    With `keep_existing` a file that is there stays, also one that another process was quicker
    to write.
    """
    draft = path.with_name(f".{path.name}.{secrets.token_hex(6)}")
    # Born with its mode: there is no moment in which others could read it.
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if keep_existing:
            with contextlib.suppress(FileExistsError):
                os.link(draft, path)
        else:
            draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)
    sync_folder(path.parent)
