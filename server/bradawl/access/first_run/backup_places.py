"""Where backups could go: disks beside the one that has the records."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from bradawl.common.disk_errors import free_bytes, may_write, on_read_only_disk, size_words
from bradawl.common.errors import ApiError
from bradawl.language import message

#: Where systems put disks that are plugged in; the last part of each is a disk's name.
MOUNTED = ("/media/*/*", "/run/media/*/*", "/mnt/*", "/Volumes/*")
NAME = "bradawl-backups"
_MOST = 6
_LONGEST = 400


@dataclass(frozen=True)
class Found:
    """A disk that was found: the folder that would be made there, and the room it has."""

    disk: str
    folder: Path
    free: str


def found(data: Path) -> list[Found]:
    """Disks that can be written to and are not the one of `data`."""
    own = _disk_of(data)
    places: list[Found] = []
    for pattern in MOUNTED:
        for disk in sorted(Path("/").glob(pattern[1:])):
            try:
                if not disk.is_mount() or disk.stat().st_dev == own or on_read_only_disk(disk):
                    continue
                if may_write(disk):
                    free = size_words(free_bytes(disk))
                    places.append(Found(disk.name, disk / NAME, free))
            except OSError:
                continue
    return places[:_MOST]


def checked(typed: str) -> Path:
    """A folder as it was typed, made where it is missing. Raises ApiError 422."""
    folder = Path(typed).expanduser() if len(typed) <= _LONGEST and "\0" not in typed else None
    if folder is None or not folder.is_absolute():
        raise ApiError("folder", message("access-welcome-backup-whole", given=typed[:60]), 422)
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        writable = may_write(folder) and not on_read_only_disk(folder)
    except OSError as error:
        why = str(error.strerror)
        problem = message("access-welcome-backup-made", folder=str(folder), why=why)
        raise ApiError("folder", problem, 422) from error
    if not writable:
        problem = message("access-welcome-backup-closed", folder=str(folder))
        raise ApiError("folder", problem, 422)
    return folder.resolve()


def _disk_of(data: Path) -> int:
    try:
        return os.stat(data).st_dev
    except OSError:
        return -1
