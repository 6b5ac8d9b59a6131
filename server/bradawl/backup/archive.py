"""Reads and writes the file of a backup: a plain tar, read without trust in what is in it.

`database.sqlite3` comes first, then the files that lie beside the database, then each original
photo under its hash, then what is damaged, below `damaged/`, as evidence; last `manifest.json`,
whose presence says that nothing was cut off. Any tar program unpacks it.

The reader takes single files with the names above and nothing else: no links, no folders, no
devices, no sparse files, no headers that change other headers. No name ever becomes a path.
"""

from __future__ import annotations

import hashlib
import re
import tarfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import IO, Annotated, Literal

import msgspec

from bradawl.language import message

__all__ = [
    "BESIDE",
    "CHECKLISTS",
    "DAMAGED",
    "DATABASE",
    "FORMAT",
    "MANIFEST",
    "MAX_MANIFEST_BYTES",
    "PIECE_BYTES",
    "BackupError",
    "CutOffError",
    "Entry",
    "Lack",
    "Manifest",
    "Reader",
    "Writer",
    "kind_of",
    "read_manifest",
]

FORMAT = 2
DATABASE = "database.sqlite3"
MANIFEST = "manifest.json"
#: Files of the data folder that belong to what was recorded: which reports were issued, and whose
#: signatures count as known.
BESIDE = ("reports.jsonl", "known-signers.json")
#: The folder of the data folder with the adapted checklists, their versions and which is in use.
CHECKLISTS = "checklists"
DAMAGED = "damaged"
MAX_MANIFEST_BYTES = 64_000_000
PIECE_BYTES = 1024 * 1024
_BLOCK = 512
_PHOTO = re.compile(r"photos/([0-9a-f]{64})")
_CHECKLIST = re.compile(r"checklists(/[A-Za-z0-9][A-Za-z0-9._-]*){1,5}")
_DAMAGED = re.compile(r"damaged/[A-Za-z0-9._/-]{1,90}")
_PLAIN = (tarfile.REGTYPE, tarfile.AREGTYPE)


class BackupError(Exception):
    """A backup that cannot be made or restored; the message says why and what would help."""


class CutOffError(BackupError):
    """The file ends before its manifest."""


class Lack(msgspec.Struct, frozen=True):
    """Something that a backup does not hold whole: its name in the archive, and a sentence."""

    name: str
    what: str


#: A count in a manifest: anything larger was not counted.
Count = Annotated[int, msgspec.Meta(ge=0, le=2**53)]


class Manifest(msgspec.Struct, frozen=True, kw_only=True):
    """What a backup holds and what it lacks. `made` is an ISO time in UTC.

    `sha256` has every file that is not named by its hash. `problems` are sentences about the
    database and whatever else is not one file.
    """

    format: int
    made: str
    events: Count
    devices: Count
    photos: Count
    sha256: dict[str, str]
    damaged: list[Lack] = []
    missing: list[Lack] = []
    problems: list[str] = []


def read_manifest(text: bytes) -> Manifest:
    """A manifest as it was written. Raises BackupError for any other bytes."""
    try:
        return msgspec.json.decode(text, type=Manifest)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise BackupError(message("server-archive-manifest", why=str(error)[:200])) from error


Kind = Literal["database", "beside", "checklist", "photo", "damaged", "manifest"]


@dataclass(frozen=True)
class Entry:
    """A file in the archive: `start` is where its bytes begin. `sha256` is a photo's name."""

    name: str
    kind: Kind
    start: int
    size_bytes: int
    sha256: str = ""


def kind_of(name: str) -> tuple[Kind, str] | None:
    """What a file of this name is, and a photo's hash; None for a name that no backup has."""
    if name == DATABASE:
        return "database", ""
    if name == MANIFEST:
        return "manifest", ""
    if name in BESIDE:
        return "beside", ""
    photo = _PHOTO.fullmatch(name)
    if photo is not None:
        return "photo", photo[1]
    if _CHECKLIST.fullmatch(name) and not is_unsafe(name):
        return "checklist", ""
    if _DAMAGED.fullmatch(name) and not is_unsafe(name):
        return "damaged", ""
    return None


def is_unsafe(name: str) -> bool:
    """Whether a name, as a path, would leave the folder it is put in."""
    path = PurePosixPath(name)
    return path.is_absolute() or ".." in path.parts or str(path) != name


class Writer:
    """Writes an archive to an open file, one whole entry after the other. Raises OSError."""

    def __init__(self, file: IO[bytes], mtime_s: int) -> None:
        self._file = file
        self._mtime_s = mtime_s
        self.size_bytes = 0

    def add(self, name: str, size_bytes: int, pieces: Iterable[bytes]) -> str:
        """Write an entry of exactly that size; its SHA-256."""
        entry = tarfile.TarInfo(name)
        entry.size, entry.mtime, entry.mode = size_bytes, self._mtime_s, 0o600
        self._write(entry.tobuf(tarfile.GNU_FORMAT))
        digest = hashlib.sha256()
        left = size_bytes
        for piece in pieces:
            left -= len(piece)
            if left < 0:
                raise BackupError(message("server-archive-grew", file=name))
            digest.update(piece)
            self._write(piece)
        if left:
            raise BackupError(message("server-archive-shrank", file=name))
        self._write(bytes(-size_bytes % _BLOCK))
        return digest.hexdigest()

    def end(self) -> None:
        """Two empty blocks, as every tar ends."""
        self._write(bytes(2 * _BLOCK))

    def _write(self, data: bytes) -> None:
        self._file.write(data)
        self.size_bytes += len(data)


class Reader:
    """The entries of an archive in an open, seekable file of `size_bytes`.

    `unreadable` counts the places where a header is damaged; reading goes on behind each.
    """

    def __init__(self, file: IO[bytes], size_bytes: int) -> None:
        self._file = file
        self._size_bytes = size_bytes
        self.unreadable = 0

    def entries(self) -> Iterator[Entry]:
        """Each entry; its bytes may be read with `pieces` before the next is asked for.

        Raises BackupError for what is no backup, CutOffError where it ends too early.
        """
        at = 0
        while True:
            header = self._header(at)
            if header is None:
                self._require_end(at)
                return
            start, info = header
            entry = self._entry(info, start)
            yield entry
            at = start + entry.size_bytes + (-entry.size_bytes % _BLOCK)

    def pieces(self, entry: Entry) -> Iterator[bytes]:
        """An entry's bytes. Raises OSError, CutOffError."""
        at, left = entry.start, entry.size_bytes
        while left:
            self._file.seek(at)
            piece = self._file.read(min(PIECE_BYTES, left))
            if not piece:
                raise CutOffError
            yield piece
            at += len(piece)
            left -= len(piece)

    def _header(self, at: int) -> tuple[int, tarfile.TarInfo] | None:
        """The next header from `at` on and where its entry's bytes begin; None at the end."""
        damaged = False
        while True:
            self._file.seek(at)
            block = self._file.read(_BLOCK)
            at += len(block)
            if len(block) == _BLOCK and not block.strip(b"\0"):
                if damaged:
                    continue
                return None
            try:
                info = tarfile.TarInfo.frombuf(block, "ascii", "strict")
            except (tarfile.HeaderError, UnicodeDecodeError, ValueError) as error:
                if len(block) < _BLOCK:
                    raise CutOffError from error
                if at == _BLOCK:
                    raise BackupError(message("server-archive-start")) from error
                if not damaged:
                    damaged = True
                    self.unreadable += 1
            else:
                # behind a damaged header lie a photo's bytes, which may look like anything
                if not damaged or (info.type in _PLAIN and kind_of(info.name) is not None):
                    return at, info

    def _entry(self, info: tarfile.TarInfo, start: int) -> Entry:
        kind = kind_of(info.name)
        if info.type not in _PLAIN or kind is None or info.size < 0:
            raise BackupError(message("server-archive-foreign", name=repr(info.name[:100])))
        if start + info.size > self._size_bytes:
            raise CutOffError
        return Entry(info.name, kind[0], start, info.size, kind[1])

    def _require_end(self, at: int) -> None:
        """Nothing but empty blocks may follow."""
        self._file.seek(at)
        while piece := self._file.read(PIECE_BYTES):
            if piece.strip(b"\0"):
                raise BackupError(message("server-archive-end"))
