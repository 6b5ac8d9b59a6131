"""Proves a backup: restores it into a temporary place and reads everything in it again."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Literal

from bradawl.backup.archive import BackupError, Reader
from bradawl.backup.history import Proof
from bradawl.backup.inspect import DATABASE_ROOM, opened, stored_whole
from bradawl.backup.parts import Records, Store
from bradawl.backup.restore import restore
from bradawl.backup.room import folder_with_room
from bradawl.language import text

__all__ = ["prove"]


def prove(source: Path, records: Records, places: Sequence[Path]) -> Proof:
    """Restore a backup into a temporary folder in the first of `places` that has the room.

    Raises BackupError when it cannot be restored at all, or nowhere is room to try.
    """
    # A photo is written, read back and removed again, so only the database needs its room.
    with folder_with_room(DATABASE_ROOM * _database_size(source), places) as folder:
        photos = _ReadBack(folder / "photos")
        store = Store(folder / "data" / "bradawl.sqlite3", folder / "data", photos, records)
        done = restore(source, store)
        faults = list(done.faults)
        counts = records.count(store.database)
        lacking = sorted(set(counts.photos) - photos.whole)
        if lacking and not faults:
            faults.append(text("server-backup-lacking", count=len(lacking)))
        return Proof(
            done.made, _now(), counts.events, len(photos.whole), tuple(faults), tuple(lacking)
        )


def _database_size(source: Path) -> int:
    """The size of the archive's first entry, which is the database."""
    with opened(source) as (file, size_bytes):
        try:
            first = next(Reader(file, size_bytes).entries(), None)
        except (BackupError, OSError):
            first = None  # the restore says so
    return 0 if first is None else first.size_bytes


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


class _ReadBack:
    """A photo store that reads each photo back from the disk, notes it and lets it go."""

    def __init__(self, folder: Path) -> None:
        self.incoming = folder
        self.whole: set[str] = set()
        folder.mkdir(parents=True)

    def names(self, _kind: Literal["original"]) -> Iterator[str]:
        return iter(self.whole)

    def read(self, _sha256: str, _kind: Literal["original"]) -> bytes | None:
        return None

    def keep(self, sha256: str, _kind: Literal["original"], file: IO[bytes]) -> None:
        path = Path(file.name)
        if stored_whole(path.read_bytes(), sha256):
            self.whole.add(sha256)
        os.unlink(path)

    def settle(self, _hashes: Sequence[str]) -> None:
        pass
