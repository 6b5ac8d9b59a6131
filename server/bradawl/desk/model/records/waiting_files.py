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
from pathlib import Path

from bradawl.common.private_folder import make_own_folder, remove_leftovers

KEPT_S = 24 * 3600.0
AT_ONCE = 8


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

    def keep(self, name: str, data: bytes, by: str) -> str:
        """Keep a file until it is decided; its digest. The oldest makes room."""
        digest = hashlib.sha256(data).hexdigest()
        with self._lock:
            self._sweep()
            if self._folder is None:
                self._folder = make_own_folder(self._parent)
            self._path(digest).write_bytes(data)
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

    def read(self, digest: str) -> tuple[WaitingFile, bytes] | None:
        """A file that waits, or None."""
        with self._lock:
            self._sweep()
            file = self._files.get(digest)
            return None if file is None else (file, self._path(digest).read_bytes())

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
                if wanted in self._path(file.digest).read_bytes()
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
