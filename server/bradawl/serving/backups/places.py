"""Examines whether disk and rights let the records be read and written, before anything else."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from bradawl.common import disk_errors
from bradawl.common.disk_errors import Cause
from bradawl.common.settings import Settings
from bradawl.language import message
from bradawl.log.integrity.faults import Finding

_SQLITE = "sqlite:///"


def database_path(settings: Settings) -> Path | None:
    """The file of the database, None for another engine than SQLite."""
    if not settings.database_url.startswith(_SQLITE):
        return None
    return Path(settings.database_url.removeprefix(_SQLITE).partition("?")[0])


def examine_places(settings: Settings, reserve_bytes: int) -> Iterator[Finding]:
    """Faults of the folders and disks themselves; nothing is opened or changed.

    Below `reserve_bytes` of room photos are refused.
    """
    if not disk_errors.exists(settings.data):
        yield Finding(
            "missing",
            message("server-fault-folder", folder=str(settings.data)),
            message("server-remedy-folder"),
        )
        return
    database = database_path(settings)
    if database is not None and not disk_errors.exists(database):
        missing = disk_errors.fault("missing", database)
        yield Finding("missing", missing.what, missing.remedy)
    seen: set[tuple[str, int]] = set()
    for place in _places(settings, database):
        for finding, disk in _one_place(place, reserve_bytes):
            if (finding.code, disk) not in seen:
                seen.add((finding.code, disk))
                yield finding


def _places(settings: Settings, database: Path | None) -> Iterator[Path]:
    yield settings.data
    if database is not None:
        yield database if disk_errors.exists(database) else database.parent
    if not settings.photo_store.startswith("s3://"):
        yield Path(settings.photo_store)


def _one_place(place: Path, reserve_bytes: int) -> Iterator[tuple[Finding, int]]:
    """What is wrong with a place, and the number of its disk."""
    here = disk_errors.existing(place)
    disk = here.stat().st_dev
    causes: list[Cause] = []
    if disk_errors.on_read_only_disk(here):
        causes.append("read_only")
    elif not disk_errors.may_write(here):
        causes.append("forbidden")
    for cause in causes:
        fault = disk_errors.fault(cause, here)
        yield Finding(cause, fault.what, fault.remedy), disk
    free = disk_errors.free_bytes(here)
    if free < reserve_bytes:
        fault = disk_errors.fault("full", here)
        what = (
            fault.what
            if free < disk_errors.LITTLE_ROOM_BYTES
            else message(
                "server-disk-little",
                place=str(here),
                free=disk_errors.size_words(free),
                least=disk_errors.size_words(reserve_bytes),
            )
        )
        yield Finding("full", what, fault.remedy), disk
