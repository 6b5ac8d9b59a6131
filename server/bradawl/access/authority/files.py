"""Files of keys: private from the first moment, whole or absent, overwritten when they end."""

from __future__ import annotations

import fcntl
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def write(path: Path, data: bytes) -> None:
    """Put a file in place, readable by its owner only, on the disk when this returns."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    # Born with its mode: there is no moment in which others could read a key.
    descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
    _sync(path.parent)


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
    _sync(new.parent)


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


def _sync(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
