"""What a backup needs of the rest of Bradawl; the wiring hands it in."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Literal, Protocol

from bradawl.backup.archive import BackupError
from bradawl.language import message

__all__ = ["Counts", "Records", "Store", "database_file"]


class Photos(Protocol):
    """What a backup needs of the photo store. OSError where the store cannot be used."""

    @property
    def incoming(self) -> Path: ...
    def names(self, kind: Literal["original"]) -> Iterator[str]: ...
    def read(self, sha256: str, kind: Literal["original"]) -> bytes | None: ...
    def keep(self, sha256: str, kind: Literal["original"], file: IO[bytes]) -> None: ...
    def settle(self, hashes: Sequence[str]) -> None: ...


@dataclass(frozen=True)
class Counts:
    """What a database holds; `photos` has the size in bytes of each by its SHA-256."""

    events: int
    devices: int
    photos: Mapping[str, int]


class Records(Protocol):
    """What a backup asks about a database file that nobody else uses.

    `count` raises BackupError for a database that is none of Bradawl's. `verify` reads everything
    and answers with a sentence for each fault. `close_chains` makes sure that a copy, once
    restored, does not go on under numbers that phones have seen with other events. `bring_up`
    makes a restored database ready for this version of Bradawl, signs everybody out and notes the
    restore; it answers with the names of the phones that may send. Raises BackupError.
    """

    def count(self, database: Path) -> Counts: ...
    def verify(self, database: Path) -> list[str]: ...
    def places(self, database: Path, hashes: Collection[str]) -> Mapping[str, str]: ...
    def close_chains(self, database: Path) -> None: ...
    def bring_up(self, database: Path, made: str) -> list[str]: ...


@dataclass(frozen=True)
class Store:
    """Everything that one server keeps: `data` is the folder with what lies beside the database."""

    database: Path
    data: Path
    photos: Photos
    records: Records


def database_file(database_url: str) -> Path:
    """The SQLite file of a database URL. Raises BackupError for another engine."""
    match = re.fullmatch(r"sqlite:///([^?]+)", database_url)
    if match is None:
        raise BackupError(message("server-backup-elsewhere-file"))
    return Path(match[1])
