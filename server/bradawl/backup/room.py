"""Finds room for temporary files."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from bradawl.backup.archive import BackupError
from bradawl.common.disk_errors import (
    existing,
    free_bytes,
    may_write,
    on_read_only_disk,
    size_words,
)
from bradawl.language import message, text

__all__ = ["folder_with_room", "require_room"]

#: Beyond what is asked for: room that others may take meanwhile.
SPARE_BYTES = 2_000_000
PREFIX = "bradawl-backup-"


@contextmanager
def folder_with_room(need_bytes: int, places: Sequence[Path]) -> Iterator[Path]:
    """A temporary folder in the first of `places` that has the room. Raises BackupError.

    The system's own place for temporary files is tried last.
    """
    tried: list[str] = []
    for place in dict.fromkeys([*places, Path(tempfile.gettempdir())]):
        if not place.is_dir() or on_read_only_disk(place) or not may_write(place):
            tried.append(text("server-room-unwritable", place=str(place)))
        elif free_bytes(place) < need_bytes + SPARE_BYTES:
            tried.append(
                text("server-room-has", place=str(place), free=size_words(free_bytes(place)))
            )
        else:
            try:
                folder = tempfile.mkdtemp(prefix=PREFIX, dir=place)
            except OSError as error:
                tried.append(
                    text("server-unreadable-short", file=str(place), why=str(error.strerror))
                )
                continue
            try:
                yield Path(folder)
            finally:
                shutil.rmtree(folder, ignore_errors=True)
            return
    raise BackupError(
        message("server-room-none", need=size_words(need_bytes), tried="; ".join(tried))
    )


def require_room(need_bytes: int, place: Path, what: str) -> None:
    """Raises BackupError when the disk of `place` has less room than `what` needs."""
    free = free_bytes(place)
    if free < need_bytes:
        raise BackupError(
            message(
                "server-room-little",
                what=what,
                need=size_words(need_bytes),
                place=str(existing(place)),
                free=size_words(free),
            )
        )
