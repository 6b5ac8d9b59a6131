"""A folder of one process alone, for files that are still arriving.

A fixed folder would be everybody's: another server would sweep what is not its own, and another
user of the machine could prepare it. So every process makes one, which only its user can enter,
and holds a lock in it for as long as it lives; what is left of a process that was killed is known
by the lock that nobody holds, however old or new it is.
"""

from __future__ import annotations

import atexit
import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PREFIX = "process-"
LOCK = ".lock"


def make_own_folder(parent: Path | None) -> Path:
    """A new folder, mode 0700, that is gone when this process ends by itself.

    In `parent`, which is made where it is missing; or, with None, somewhere below the system's
    temporary folder. Raises OSError.
    """
    if parent is None:
        folder = Path(tempfile.mkdtemp(prefix="bradawl-"))
    else:
        parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with _one_at_a_time(parent):
            folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=parent))
            _hold(folder)
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def remove_leftovers(parent: Path) -> None:
    """Remove the folders of processes that were killed. Raises OSError."""
    if not parent.is_dir():
        return
    with _one_at_a_time(parent):
        for folder in parent.glob(f"{PREFIX}*"):
            if folder.is_dir() and not folder.is_symlink():
                _remove_if_left(folder)


def _remove_if_left(folder: Path) -> None:
    try:
        lock = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    except OSError:
        return  # another user's: not ours to remove
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return  # its process lives
    else:
        shutil.rmtree(folder, ignore_errors=True)
    finally:
        os.close(lock)


def _hold(folder: Path) -> None:
    """Lock a folder until this process ends: the system lets go of the lock, whatever ends it."""
    lock = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    fcntl.flock(lock, fcntl.LOCK_EX)


@contextmanager
def _one_at_a_time(parent: Path) -> Iterator[None]:
    """Nobody sweeps a folder between its making and its lock."""
    lock = os.open(parent / LOCK, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
    finally:
        os.close(lock)
