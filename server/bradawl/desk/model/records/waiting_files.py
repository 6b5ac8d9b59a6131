"""Files that wait until an owner has looked at them, for a day at most.

They name people: a process that ends by itself leaves none, and what one that was killed has left
is removed when the next begins.
"""

from __future__ import annotations

import hashlib
import json
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from mmap import ACCESS_READ, mmap
from pathlib import Path
from typing import BinaryIO

from bradawl.common.private_folder import make_own_folder, remove_leftovers

KEPT_S = 24 * 3600.0
AT_ONCE = 8
PIECE = 1 << 20


@dataclass(frozen=True)
class WaitingFile:
    """A file by the SHA-256 of its content; `by` names who handed it in."""

    digest: str
    name: str
    by: str
    since: float


class WaitingFiles:
    """What was handed in and not decided yet. It ends with this process: the person has the file.

    They lie in folders of one process each below `parent`; with None, somewhere below the
    system's temporary folder. `clock` gives seconds.
    """

    def __init__(
        self, parent: Path | None = None, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._parent = parent
        self._clock = clock
        self._files: dict[str, WaitingFile] = {}
        self._folder: Path | None = None
        self._lock = threading.Lock()
        if parent is not None:
            with suppress(OSError):  # a folder that may only be read has nothing to remove
                remove_leftovers(parent)

    def keep(self, name: str, data: BinaryIO, by: str) -> str:
        """Keep a file until it is decided; its digest. The oldest makes room.

        It is read to its end, piece by piece: it may be larger than what memory has room for.
        """
        with self._lock:
            self._sweep()
            if self._folder is None:
                self._folder = make_own_folder(self._parent)
            digest = _copied(data, self._folder)
            self._files.pop(digest, None)
            self._files[digest] = WaitingFile(digest, name, by, self._clock())
            for old in list(self._files)[:-AT_ONCE]:
                self._remove(old)
        return digest

    def all(self) -> list[WaitingFile]:
        """What waits, the newest first."""
        with self._lock:
            self._sweep()
            return list(reversed(self._files.values()))

    def find(self, digest: str) -> tuple[WaitingFile, Path] | None:
        """A file that waits and where it lies, or None."""
        with self._lock:
            self._sweep()
            file = self._files.get(digest)
            return None if file is None else (file, self._path(digest))

    def drop(self, digest: str) -> None:
        """It is decided."""
        with self._lock:
            self._remove(digest)

    def mentions(self, inspection: str) -> list[str]:
        """Names of waiting files in which the id of an inspection stands."""
        wanted = json.dumps(inspection)[1:-1].encode()
        with self._lock:
            self._sweep()
            return [
                file.name
                for file in self._files.values()
                if _stands_in(wanted, self._path(file.digest))
            ]

    def _path(self, digest: str) -> Path:
        assert self._folder is not None  # made by the first file
        return self._folder / digest

    def _sweep(self) -> None:
        for old in [file for file in self._files.values() if self._clock() - file.since > KEPT_S]:
            self._remove(old.digest)

    def _remove(self, digest: str) -> None:
        if self._files.pop(digest, None) is not None:
            with suppress(OSError):
                self._path(digest).unlink()


def _copied(data: BinaryIO, folder: Path) -> str:
    """Copy all of `data` to a file in `folder` that has its SHA-256 for a name; that name."""
    digest = hashlib.sha256()
    arriving = folder / "arriving"
    with arriving.open("wb") as file:
        while piece := data.read(PIECE):
            digest.update(piece)
            file.write(piece)
    arriving.replace(folder / digest.hexdigest())
    return digest.hexdigest()


def _stands_in(wanted: bytes, path: Path) -> bool:
    """Whether these bytes stand anywhere in a file."""
    if path.stat().st_size == 0:  # what is empty cannot be mapped
        return False
    with path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as content:
        return content.find(wanted) >= 0
