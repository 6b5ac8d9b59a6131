"""Writes a backup: everything that is whole goes in, everything that is not is named.

Private keys are not in it: whoever gets hold of a backup must not be able to sign reports or to
vouch for addresses.
"""

from __future__ import annotations

import hashlib
import logging
import os
import secrets
import sqlite3
import time
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

import msgspec

from bradawl.backup import database_copy
from bradawl.backup.archive import (
    BESIDE,
    CHECKLISTS,
    DAMAGED,
    DATABASE,
    FORMAT,
    MANIFEST,
    PIECE_BYTES,
    BackupError,
    Lack,
    Manifest,
    Writer,
    kind_of,
)
from bradawl.backup.parts import Counts, Store
from bradawl.backup.room import folder_with_room, require_room
from bradawl.common.disk_errors import exists, explained, size_words
from bradawl.language import message, text
from bradawl.language.counts import counts
from bradawl.operations import note

__all__ = ["Contents", "described", "listed", "note_made", "stream_backup", "write_backup"]

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Contents:
    """What a backup holds and lacks. `made` is an ISO time in UTC.

    `damaged` and `missing` are about single files, `problems` are sentences about all else;
    `notes` tell of what is no fault.
    """

    made: str
    events: int
    devices: int
    photos: int
    size_bytes: int
    damaged: tuple[Lack, ...] = ()
    missing: tuple[Lack, ...] = ()
    problems: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def faults(self) -> list[str]:
        """Every sentence about what is not whole; [] when all is."""
        return [*self.problems, *(lack.what for lack in (*self.damaged, *self.missing))]


def write_backup(store: Store, target: Path) -> Contents:
    """Write a backup to `target`, at once or not at all.

    What is damaged does not stop it: see `Contents.faults`. Raises BackupError.
    """
    if exists(target):
        raise BackupError(message("server-backup-exists", file=str(target)))
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            with os.fdopen(descriptor, "wb") as file:
                contents = stream_backup(store, file, target.parent)
                file.flush()
                os.fsync(file.fileno())
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise BackupError(
            message("server-backup-unwritten", why=explained(error, target.parent))
        ) from error
    note_made(contents, target)
    return contents


def note_made(contents: Contents, target: Path | str = "") -> None:
    """Write into the operational log what a backup holds, and how many faults were found."""
    faults = len(contents.faults)
    note(
        logger,
        "backup.made",
        level=logging.WARNING if faults else logging.INFO,
        file=target,
        made=contents.made,
        events=contents.events,
        devices=contents.devices,
        photos=contents.photos,
        size_bytes=contents.size_bytes,
        faults=faults,
    )


def stream_backup(
    store: Store, file: IO[bytes], place: Path, *, working: Path | None = None
) -> Contents:
    """Write a backup into an open file on the disk of `place`.

    The database is copied first, to `working` where there is room, else to that disk.

    Raises BackupError when there is nothing to keep or no room for it, OSError from the file.
    """
    now_s = int(time.time())
    making = _Making(store, Writer(file, now_s))
    places = (working or place, store.data)
    with folder_with_room(database_copy.size_of(store.database), places) as folder:
        counts = making.database(folder / DATABASE, place)
    making.beside()
    making.checklists()
    making.photos(counts.photos)
    return making.finish(counts, now_s)


@dataclass
class _Making:
    """A backup in the making."""

    store: Store
    writer: Writer
    sha256: dict[str, str] = field(default_factory=dict)
    damaged: list[Lack] = field(default_factory=list)
    missing: list[Lack] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    kept: int = 0

    def database(self, copy: Path, place: Path) -> Counts:
        """The database first: whatever it names is in the photo store by then."""
        if not exists(self.store.database):
            if not self._has_photos():
                raise BackupError(message("server-backup-nothing", file=str(self.store.database)))
            self.problems.append(text("server-backup-no-database", file=str(self.store.database)))
            return Counts(0, 0, {})
        try:
            database_copy.take(self.store.database, copy)
            self.store.records.close_chains(copy)
            counts = self.store.records.count(copy)
        except (BackupError, sqlite3.Error) as error:
            self.problems.append(text("server-backup-database", why=str(error)))
            self._keep_damaged_database()
            return Counts(0, 0, {})
        self.problems += self.store.records.verify(copy)
        database_copy.settle(copy)
        size = copy.stat().st_size
        require_room(size + sum(counts.photos.values()), place, text("server-room-backup"))
        self.sha256[DATABASE] = self.writer.add(DATABASE, size, _pieces(copy))
        return counts

    def _keep_damaged_database(self) -> None:
        for end in ("", "-wal"):
            file = self.store.database.with_name(self.store.database.name + end)
            if exists(file):
                try:
                    self._add_damaged(f"{DATABASE}{end}", file.read_bytes())
                except OSError as error:
                    self.problems.append(_unreadable(file, error))

    def _has_photos(self) -> bool:
        try:
            return next(iter(self.store.photos.names("original")), None) is not None
        except OSError:
            return False

    def beside(self) -> None:
        for name in BESIDE:
            self._file(name, self.store.data / name)

    def checklists(self) -> None:
        """Adapted checklists: what is edited, what was kept, what is in use."""
        folder = self.store.data / CHECKLISTS
        for path in sorted(folder.rglob("*")):
            name = path.relative_to(self.store.data).as_posix()
            if path.is_symlink() or not path.is_file() or path.name.startswith("."):
                continue
            if kind_of(name) is None:
                self.notes.append(text("server-backup-foreign", file=str(path)))
            else:
                self._file(name, path)

    def _file(self, name: str, path: Path) -> None:
        try:
            data = path.read_bytes()
        except FileNotFoundError:
            return
        except OSError as error:
            self.missing.append(Lack(name, _unreadable(path, error)))
            return
        self.sha256[name] = self.writer.add(name, len(data), [data])

    def photos(self, rows: Mapping[str, int]) -> None:
        """Each photo hashed against its name while it is read."""
        stored = self._names()
        lacking: dict[str, tuple[str, bytes | None]] = {}
        for sha256 in sorted(stored | set(rows)):
            problem, data = self._photo(sha256, sha256 in stored)
            if not problem:
                assert data is not None
                self.writer.add(f"photos/{sha256}", len(data), [data])
                self.kept += 1
            elif sha256 in rows:
                lacking[sha256] = (problem, data)
                self._add_damaged(f"photos/{sha256}", data)
            else:
                # no row: it was never acknowledged, or phones were asked for it again already
                self._add_damaged(f"photos/{sha256}", data)
                self.notes.append(text("server-backup-loose", what=problem))
        named = self._places(list(lacking)) if lacking else {}
        for sha256, (problem, data) in lacking.items():
            where = text("server-photo-of", place=named[sha256]) if named.get(sha256) else ""
            lack = Lack(f"photos/{sha256}", f"{problem} {where}".rstrip())
            (self.missing if data is None else self.damaged).append(lack)

    def _places(self, hashes: Collection[str]) -> Mapping[str, str]:
        try:
            return self.store.records.places(self.store.database, hashes)
        except BackupError:
            return {}  # the database's own faults say why

    def _names(self) -> set[str]:
        try:
            names = set(self.store.photos.names("original"))
        except OSError as error:
            self.problems.append(text("server-backup-unlisted", why=str(error)))
            return set()
        return {name for name in names if kind_of(f"photos/{name}") is not None}

    def _photo(self, sha256: str, listed: bool) -> tuple[str, bytes | None]:
        """A sentence about what is wrong with a photo, or "", and its bytes."""
        try:
            data = self.store.photos.read(sha256, "original")
        except OSError as error:
            why = str(error.strerror or error)
            return text("server-fault-photo-unreadable", photo=sha256[:12], why=why), None
        if data is None:
            gone = "server-backup-photo-went" if listed else "server-fault-photo-gone"
            return text(gone, photo=sha256[:12]), None
        if hashlib.sha256(data).hexdigest() != sha256:
            return text("server-fault-photo-changed", photo=sha256[:12]), data
        return "", data

    def _add_damaged(self, name: str, data: bytes | None) -> None:
        if data is not None:
            self.writer.add(f"{DAMAGED}/{name}", len(data), [data])

    def finish(self, counts: Counts, now_s: int) -> Contents:
        manifest = Manifest(
            format=FORMAT,
            made=datetime.fromtimestamp(now_s, UTC).isoformat(timespec="seconds"),
            events=counts.events,
            devices=counts.devices,
            photos=self.kept,
            sha256=self.sha256,
            damaged=self.damaged,
            missing=self.missing,
            problems=self.problems,
        )
        written = msgspec.json.format(msgspec.json.encode(manifest), indent=1)
        self.writer.add(MANIFEST, len(written), [written])
        self.writer.end()
        return Contents(
            manifest.made,
            counts.events,
            counts.devices,
            self.kept,
            self.writer.size_bytes,
            tuple(self.damaged),
            tuple(self.missing),
            tuple(self.problems),
            tuple(self.notes),
        )


def _pieces(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while piece := file.read(PIECE_BYTES):
            yield piece


def _unreadable(file: Path, error: OSError) -> str:
    return text("server-unreadable", file=str(file), why=str(error.strerror))


def described(file: Path, contents: Contents) -> str:
    """What a backup holds."""
    return text(
        "server-backup-holds",
        file=str(file),
        size=size_words(contents.size_bytes),
        **counts(events=contents.events, devices=contents.devices, photos=contents.photos),
    )


def listed(faults: Sequence[str], most: int = 50) -> list[str]:
    """Sentences for a terminal, at most so many."""
    more = len(faults) - most
    return [*faults[:most], *([text("access-backup-more", count=more)] if more > 0 else [])]
