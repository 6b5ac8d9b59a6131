"""Files of keys: private from the first moment, whole or absent, overwritten when they end."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bradawl.common.disk_errors import sync_folder
from bradawl.common.private_files import write_private_file


def write(path: Path, data: bytes) -> None:
    """As `write_private_file`, in a folder that is made where it is missing."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    write_private_file(path, data)


def overwrite(path: Path) -> None:
    """Take from a file what it holds; the file stays. A missing one is none.

    What the disk itself, a snapshot or a copy elsewhere still holds is out of reach.
    """
    try:
        with path.open("r+b", buffering=0) as file:
            file.write(b"\n" * path.stat().st_size)
            os.fsync(file.fileno())
    except FileNotFoundError:
        return


def move(old: Path, new: Path) -> None:
    """Put one file in the place of another, on the disk when this returns."""
    old.replace(new)
    sync_folder(new.parent)


@contextmanager
def one_at_a_time(folder: Path) -> Iterator[None]:
    """A server and a command do not change the keys at the same time."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    lock = os.open(folder / ".lock", os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
    finally:
        os.close(lock)
