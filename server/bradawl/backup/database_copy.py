"""Copies the database consistently while others write to it, and checks the copy."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from bradawl.backup.archive import BackupError
from bradawl.common.disk_errors import exists, explained, uri_to_read
from bradawl.language import message

__all__ = ["SIDECARS", "settle", "size_of", "take"]

SIDECARS = ("-wal", "-shm")


def size_of(database: Path) -> int:
    """The bytes that a copy may take, what is not yet checkpointed included."""
    size = 0
    for end in ("", "-wal"):
        beside = database.with_name(database.name + end)
        if exists(beside):
            size += beside.stat().st_size
    return size


def take(database: Path, copy: Path) -> None:
    """Copy a database into one file, as of one moment; writers are not held up for its length.

    Damaged pages are copied as they are. Raises BackupError.
    """
    try:
        _online(database, copy)
    except sqlite3.Error as error:
        # Its folder may be full or read-only, where SQLite cannot make its shared memory.
        try:
            _files(database, copy)
        except (sqlite3.Error, OSError) as second:
            why = explained(error, database)
            raise BackupError(message("server-backup-uncopied", why=why)) from second


def _online(database: Path, copy: Path) -> None:
    with (
        closing(sqlite3.connect(uri_to_read(database), uri=True)) as source,
        closing(sqlite3.connect(copy)) as target,
    ):
        source.backup(target, pages=-1)
        _make_one_file(target)


def _files(database: Path, copy: Path) -> None:
    """Copy file and write-ahead log, and let SQLite join them at the new place."""
    for end in ("", *SIDECARS):
        copy.with_name(copy.name + end).unlink(missing_ok=True)
    for end in ("", "-wal"):
        beside = database.with_name(database.name + end)
        if end == "" or exists(beside):
            shutil.copyfile(beside, copy.with_name(copy.name + end))
    with closing(sqlite3.connect(copy)) as target:
        _make_one_file(target)
        if [row[0] for row in target.execute("PRAGMA quick_check")] != ["ok"]:
            raise sqlite3.DatabaseError("the copy is not whole")  # said by its cause: not shown


def _make_one_file(connection: sqlite3.Connection) -> None:
    # Without a write-ahead log beside it the copy is one file.
    connection.execute("PRAGMA journal_mode=DELETE")


def settle(database: Path) -> None:
    """Leave a database that nobody uses as one file, durable. Raises sqlite3.Error, OSError."""
    with closing(sqlite3.connect(database)) as connection:
        _make_one_file(connection)
    for end in SIDECARS:
        database.with_name(database.name + end).unlink(missing_ok=True)
    os.chmod(database, 0o600)
    with database.open("rb") as file:
        os.fsync(file.fileno())
