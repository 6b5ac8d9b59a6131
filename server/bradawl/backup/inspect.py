"""Inspects a backup from end to end: what in it is whole, what is damaged, what it lacks."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

from bradawl.backup.archive import (
    DATABASE,
    FORMAT,
    MAX_MANIFEST_BYTES,
    BackupError,
    CutOffError,
    Entry,
    Manifest,
    Reader,
    read_manifest,
)
from bradawl.backup.room import require_room
from bradawl.common.disk_errors import explained
from bradawl.language import message, text

__all__ = ["DATABASE_ROOM", "Inspection", "inspect", "opened", "stored_whole"]

#: So many times a database's size are needed to bring it up to this version.
DATABASE_ROOM = 3


@dataclass
class Inspection:
    """What an archive holds. `photos` are whole; `faults` are sentences about all that is not.

    `files` has, by name, whatever else was unpacked into a folder. `cut_off` when it ends too
    early, and `manifest` is None then.
    """

    photos: dict[str, Entry] = field(default_factory=dict)
    files: dict[str, Path] = field(default_factory=dict)
    sha256: dict[str, str] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    damaged_photos: set[str] = field(default_factory=set)
    manifest: Manifest | None = None
    cut_off: bool = False

    @property
    def made(self) -> str:
        return printable(self.manifest.made) if self.manifest else text("server-unknown-time")


@contextmanager
def opened(source: Path) -> Iterator[tuple[IO[bytes], int]]:
    """A backup's file and its size. Raises BackupError for what is no file."""
    try:
        # without O_NONBLOCK a pipe would be waited for
        descriptor = os.open(source, os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK)
    except FileNotFoundError as error:
        raise BackupError(message("server-disk-missing", place=str(source))) from error
    except OSError as error:
        raise BackupError(
            message("server-unreadable", file=str(source), why=str(error.strerror))
        ) from error
    state = os.fstat(descriptor)
    if not stat.S_ISREG(state.st_mode):
        os.close(descriptor)
        raise BackupError(message("server-archive-no-file", file=str(source)))
    with os.fdopen(descriptor, "rb") as file:
        yield file, state.st_size


def inspect(source: Path, file: IO[bytes], size_bytes: int, folder: Path) -> Inspection:
    """Read a whole archive; all but the photos is unpacked into `folder`.

    Raises BackupError for what is no backup, and where there is no room.
    """
    inspection = Inspection()
    reader = Reader(file, size_bytes)
    names: set[str] = set()
    try:
        for entry in reader.entries():
            if entry.name in names:
                raise BackupError(message("server-archive-twice", name=entry.name))
            if inspection.manifest is not None:
                raise BackupError(message("server-archive-end"))
            names.add(entry.name)
            _take(reader, entry, inspection, folder)
    except CutOffError:
        pass  # behind the manifest nothing can be lost
    except BackupError as error:
        raise BackupError(
            message("server-archive-none", file=str(source), why=error.args[0])
        ) from error
    except OSError as error:
        raise BackupError(
            message("server-archive-unpacked", file=str(source), why=explained(error, folder))
        ) from error
    inspection.cut_off = inspection.manifest is None
    if reader.unreadable:
        inspection.faults.append(text("server-archive-places", count=reader.unreadable))
    _compare(inspection)
    return inspection


def _take(reader: Reader, entry: Entry, inspection: Inspection, folder: Path) -> None:
    if entry.kind == "manifest":
        if entry.size_bytes > MAX_MANIFEST_BYTES:
            raise BackupError(message("server-archive-large"))
        inspection.manifest = read_manifest(b"".join(reader.pieces(entry)))
        if inspection.manifest.format != FORMAT:
            raise BackupError(message("server-archive-version"))
    elif entry.kind == "photo":
        if _digest(reader, entry) == entry.sha256:
            inspection.photos[entry.sha256] = entry
        else:
            inspection.damaged_photos.add(entry.sha256)
            inspection.faults.append(text("server-archive-photo", photo=entry.sha256[:12]))
    elif entry.kind == "damaged":
        if _digest(reader, entry) == "":
            inspection.faults.append(text("server-archive-entry", name=entry.name))
    else:
        _unpack(reader, entry, inspection, folder)


def _digest(reader: Reader, entry: Entry, copy: IO[bytes] | None = None) -> str:
    """The SHA-256 of an entry that is whole as far as the disk gives it; "" where it does not."""
    digest = hashlib.sha256()
    pieces = reader.pieces(entry)
    while True:
        try:
            piece = next(pieces, None)
        except OSError:
            return ""
        if piece is None:
            return digest.hexdigest()
        digest.update(piece)
        if copy is not None:
            copy.write(piece)


def _unpack(reader: Reader, entry: Entry, inspection: Inspection, folder: Path) -> None:
    factor = DATABASE_ROOM if entry.kind == "database" else 1
    require_room(factor * entry.size_bytes, folder, text("server-room-unpacking", name=entry.name))
    # the names of an archive are of one shape, and no path leads out of the folder (kind_of)
    path = folder / entry.name
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    except (FileExistsError, NotADirectoryError) as error:
        raise BackupError(message("server-archive-both", name=entry.name)) from error
    if path.is_dir():
        raise BackupError(message("server-archive-both", name=entry.name))
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as out:
        inspection.sha256[entry.name] = _digest(reader, entry, out)
        out.flush()
        os.fsync(out.fileno())
    inspection.files[entry.name] = path


def _compare(inspection: Inspection) -> None:
    """What the manifest says against what was found."""
    manifest = inspection.manifest
    if manifest is None:
        return
    for name in sorted({*manifest.sha256, *inspection.sha256}):
        if name not in inspection.sha256:
            inspection.faults.append(text("server-archive-missing", name=name))
        elif manifest.sha256.get(name) != inspection.sha256[name]:
            inspection.faults.append(text("server-archive-changed", name=name))
            if name != DATABASE:
                # a database is looked over by itself; of any other file only the whole one counts
                del inspection.files[name]
    lost = manifest.photos - len(inspection.photos) - len(inspection.damaged_photos)
    if lost > 0:
        inspection.faults.append(text("server-archive-photos", count=lost, all=manifest.photos))
    for what in (
        *manifest.problems,
        *(lack.what for lack in (*manifest.damaged, *manifest.missing)),
    ):
        inspection.faults.append(text("server-backup-then", what=printable(what)))


def printable(sentence: str) -> str:
    """A sentence from an archive, without what could steer a terminal."""
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in sentence[:500])


def stored_whole(data: bytes | None, sha256: str) -> bool:
    """Whether a store holds exactly the photo of this name."""
    return data is not None and hashlib.sha256(data).hexdigest() == sha256
