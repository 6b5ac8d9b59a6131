"""Restores a backup: whatever is whole in it, at once or not at all.

First the whole archive is read and checked, and the database is made ready beside the present
one. Photos then go into the store, where they change nothing: they are named by their content, and
without a row nothing counts on them. Last, `swap` exchanges database and ledgers as one step. A
kill before it leaves the old records in place, after it the new.
"""

from __future__ import annotations

import hashlib
import logging
import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from io import FileIO
from pathlib import Path
from typing import IO

from bradawl.backup import database_copy
from bradawl.backup.archive import (
    BESIDE,
    CHECKLISTS,
    DATABASE,
    BackupError,
    Entry,
    Reader,
)
from bradawl.backup.inspect import Inspection, inspect, opened, stored_whole
from bradawl.backup.parts import Counts, Store
from bradawl.backup.room import require_room
from bradawl.common import file_swap
from bradawl.common.disk_errors import exists, explained, sync_folder
from bradawl.common.private_files import write_private_file
from bradawl.language import message, text
from bradawl.operations import note

__all__ = ["restore"]

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Restored:
    """What was put in place. `faults` are sentences about what was not, [] when all was.

    `made` is when the backup was made, `phones` the names of those that may send, `aside` where
    what was here before lies now.
    """

    made: str
    events: int
    devices: int
    photos: int
    faults: tuple[str, ...]
    phones: tuple[str, ...]
    aside: tuple[Path, ...]


def restore(
    source: Path,
    store: Store,
    *,
    replace: bool = False,
    partial: bool = False,
    also: Mapping[str, bytes] | None = None,
) -> Restored:
    """Put a backup in place of a store. The server must not run.

    With `replace` a database that is here already is kept beside it under another name; without
    it, nothing is touched. An archive that was cut off is taken only when `partial` allows it.
    `also` are private files for the data folder, by their names in it, which come in the same step.
    Raises BackupError when nothing was changed.
    """
    try:
        store.database.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        store.data.mkdir(parents=True, exist_ok=True, mode=0o700)
        with file_swap.held_alone(store.database):
            file_swap.carry_out(store.database)  # what a restore before this one had decided
            _require_place(store.database, replace)
            with opened(source) as (file, size_bytes), _staging(store) as staging:
                return _Restoring(source, file, store, staging, also or {}).run(size_bytes, partial)
    except file_swap.InUseError as error:
        raise BackupError(message("server-restore-running")) from error
    except file_swap.SwapError as error:
        raise BackupError(*error.args) from error
    except OSError as error:
        raise BackupError(
            message("server-restore-nothing", why=explained(error, store.database.parent))
        ) from error


def _require_place(database: Path, replace: bool) -> None:
    if exists(database) and not replace:
        raise BackupError(message("server-restore-there", file=str(database)))
    if exists(database):
        _require_nobody(database)


def _require_nobody(database: Path) -> None:
    """Raises BackupError when another program has the database open."""
    with closing(sqlite3.connect(database, timeout=0.5, isolation_level=None)) as connection:
        try:
            # In WAL mode this succeeds only when no other process has the file open.
            connection.execute("PRAGMA locking_mode=EXCLUSIVE")
            connection.execute("BEGIN IMMEDIATE")
        except sqlite3.Error as error:
            if "lock" in str(error):
                raise BackupError(message("server-restore-open")) from error


@contextmanager
def _staging(store: Store) -> Iterator[tuple[Path, Path]]:
    """Folders on the disks of database and data, where the new ones are made ready."""
    name = f"{store.database.name}-restoring"
    folders = (store.database.parent / name, store.data / name)
    for folder in dict.fromkeys(folders):
        shutil.rmtree(folder, ignore_errors=True)  # of a restore that was cut off
        folder.mkdir(mode=0o700)
    try:
        yield folders
    finally:
        if not exists(file_swap.journal_of(store.database)):
            for folder in folders:
                shutil.rmtree(folder, ignore_errors=True)


class _Restoring:
    """One restore under way; `staging` are folders beside the database and in the data folder."""

    def __init__(
        self,
        source: Path,
        file: IO[bytes],
        store: Store,
        staging: tuple[Path, Path],
        also: Mapping[str, bytes],
    ) -> None:
        self._source = source
        self._file = file
        self._store = store
        self._also = also
        self._beside_database, self._beside_data = staging

    def run(self, size_bytes: int, partial: bool) -> Restored:
        inspection = inspect(self._source, self._file, size_bytes, self._beside_database)
        if inspection.cut_off:
            self._allow_cut_off(inspection, partial)
        counts = self._database(inspection)
        faults = [*inspection.faults, *self._lacking(counts, inspection)]
        phones = self._store.records.bring_up(self._staged, inspection.made)
        database_copy.settle(self._staged)
        self._photos(inspection, size_bytes)
        moves = self._moves(inspection)
        for folder in (self._beside_database, self._beside_data):
            sync_folder(folder)
            sync_folder(folder.parent)
        file_swap.decide(
            self._store.database, moves, clear=(self._beside_database, self._beside_data)
        )
        # From here on the new records are in place, whoever carries it out.
        file_swap.carry_out(self._store.database)
        note(
            logger, "backup.restored", level=logging.WARNING if faults else logging.INFO,
            file=self._source, made=inspection.made, events=counts.events, devices=counts.devices,
            photos=len(inspection.photos), faults=len(faults),
        )  # fmt: skip
        return Restored(
            inspection.made,
            counts.events,
            counts.devices,
            len(inspection.photos),
            tuple(faults),
            tuple(phones),
            tuple(move.aside for move in moves if exists(move.aside)),
        )

    @property
    def _staged(self) -> Path:
        return self._beside_database / DATABASE

    def _allow_cut_off(self, inspection: Inspection, partial: bool) -> None:
        if not partial:
            raise BackupError(
                message(
                    "server-restore-cut-off",
                    file=str(self._source),
                    count=len(inspection.photos),
                )
            )
        inspection.faults.append(text("server-archive-cut-off"))

    def _database(self, inspection: Inspection) -> Counts:
        """The database in the archive, looked over; its faults are added to what was found."""
        if DATABASE not in inspection.files:
            raise BackupError(message("server-restore-no-database", file=str(self._source)))
        try:
            counts = self._store.records.count(self._staged)
            named = set(inspection.manifest.problems) if inspection.manifest else set()
            new = [
                fault for fault in self._store.records.verify(self._staged) if fault not in named
            ]
        except BackupError as error:
            raise BackupError(
                message("server-restore-database", file=str(self._source), why=error.args[0])
            ) from error
        inspection.faults += new
        manifest = inspection.manifest
        if manifest is not None and manifest.events != counts.events:
            inspection.faults.append(
                text("server-restore-entries", made=manifest.events, count=counts.events)
            )
        return counts

    def _lacking(self, counts: Counts, inspection: Inspection) -> list[str]:
        """Photos that the database counts on, that are not in the archive and not told of yet."""
        named = set(inspection.damaged_photos)
        if inspection.manifest is not None:
            lacks = (*inspection.manifest.damaged, *inspection.manifest.missing)
            named |= {lack.name.rpartition("/")[2] for lack in lacks}
        gone = sorted(set(counts.photos) - set(inspection.photos) - named)
        places = self._store.records.places(self._staged, gone) if gone else {}
        return [
            text("server-archive-no-photo", photo=sha256[:12])
            + (" " + text("server-photo-of", place=places[sha256]) if sha256 in places else "")
            for sha256 in gone
        ]

    def _photos(self, inspection: Inspection, size_bytes: int) -> None:
        """Whole photos into the store, but those that it holds whole already."""
        photos = self._store.photos
        reader = Reader(self._file, size_bytes)
        new = [
            entry
            for sha256, entry in sorted(inspection.photos.items())
            if not stored_whole(photos.read(sha256, "original"), sha256)
        ]
        require_room(
            sum(entry.size_bytes for entry in new), photos.incoming, text("server-room-photos")
        )
        for entry in new:
            self._photo(reader, entry)
        photos.settle([entry.sha256 for entry in new])

    def _photo(self, reader: Reader, entry: Entry) -> None:
        path = self._store.photos.incoming / f"{entry.sha256}.{secrets.token_hex(4)}.part"
        try:
            with path.open("x+b", buffering=0) as file:
                digest = hashlib.sha256()
                for piece in reader.pieces(entry):
                    digest.update(piece)
                    write_all(file, piece)
                if digest.hexdigest() != entry.sha256:
                    raise BackupError(message("server-restore-changed", file=str(self._source)))
                self._store.photos.keep(entry.sha256, "original", file)
        finally:
            path.unlink(missing_ok=True)

    def _moves(self, inspection: Inspection) -> list[file_swap.Move]:
        """The exchange: the write-ahead log first, which must not meet another database."""
        stamp = f"before-restore-{datetime.now(UTC):%Y%m%d-%H%M%S}-{secrets.token_hex(2)}"
        database, data = self._store.database, self._store.data

        def move(fresh: Path | None, place: Path) -> file_swap.Move:
            return file_swap.Move(fresh, place, place.with_name(f"{stamp}-{place.name}"))

        moves = [
            move(None, database.with_name(database.name + end)) for end in database_copy.SIDECARS
        ]
        for name in (*BESIDE, CHECKLISTS):
            moves.append(move(self._ready_beside_data(name, inspection), data / name))
        for name in sorted({name.partition("/")[0] for name in self._also}):
            moves.append(move(self._ready_private(name), data / name))
        moves.append(move(self._staged, database))
        return [
            exchange for exchange in moves if exchange.fresh is not None or exists(exchange.place)
        ]

    def _ready_beside_data(self, name: str, inspection: Inspection) -> Path | None:
        """A file or folder that belongs into the data folder, on that folder's disk."""
        unpacked = self._beside_database / name
        whole = [file for file in inspection.files if file == name or file.startswith(f"{name}/")]
        if not whole:
            return None
        for path in (path for path in unpacked.rglob("*") if path.is_file()):
            if path.relative_to(self._beside_database).as_posix() not in inspection.files:
                path.unlink()  # damaged
        ready = self._beside_data / name
        if ready != unpacked:
            _copy_durably(unpacked, ready)
        for folder in [ready, *ready.rglob("*")]:
            if folder.is_dir():
                sync_folder(folder)
        return ready

    def _ready_private(self, top: str) -> Path:
        """A file of `also`, or the folder of several, on the data folder's disk."""
        for name, data in self._also.items():
            if name.partition("/")[0] == top:
                place = self._beside_data / name
                place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
                write_private_file(place, data)
        return self._beside_data / top


def write_all(file: FileIO, data: bytes) -> None:
    """Write to a file without a buffer, which may take less at once. Raises OSError."""
    rest = memoryview(data)
    while rest:
        rest = rest[file.write(rest) :]


def _copy_durably(source: Path, target: Path) -> None:
    if source.is_dir():
        target.mkdir(mode=0o700)
        for inner in sorted(source.iterdir()):
            _copy_durably(inner, target / inner.name)
        return
    with source.open("rb") as read, target.open("xb") as written:
        shutil.copyfileobj(read, written)
        written.flush()
        os.fsync(written.fileno())
