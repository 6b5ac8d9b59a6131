"""One file with everything that people recorded, made while the server runs; and the way back.

The file is a plain tar: `database.sqlite3`, the ledger of reports and the list of known signers,
each original photo under its hash, then `manifest.json`, whose presence at the end says that
nothing is missing. Private keys are not in it: whoever gets hold of a backup must not be able to
sign reports or to vouch for addresses.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import re
import secrets
import sqlite3
import tarfile
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Literal, Protocol

FORMAT = 1
DATABASE = "database.sqlite3"
#: Files of the data folder that belong to what was recorded: which reports were issued, and whose
#: signatures count as known.
BESIDE = ("reports.jsonl", "known-signers.json")
MANIFEST = "manifest.json"
MAX_MANIFEST_BYTES = 64_000_000
_PHOTO = re.compile(r"photos/([0-9a-f]{64})")
_PIECE = 1024 * 1024


class BackupError(Exception):
    """A backup that cannot be made or restored; the message says why and what would help."""


class Photos(Protocol):
    """What a backup needs of the photo store."""

    def names(self, kind: Literal["original"]) -> Iterator[str]: ...
    def read(self, sha256: str, kind: Literal["original"]) -> bytes | None: ...
    def keep(self, sha256: str, kind: Literal["original"], file: IO[bytes]) -> None: ...
    def settle(self, hashes: Sequence[str]) -> None: ...


@dataclass(frozen=True)
class Contents:
    """What a backup holds. `made` is an ISO time in UTC."""

    made: str
    events: int
    devices: int
    photos: int
    bytes: int


def database_file(database_url: str) -> Path:
    """The SQLite file of a database URL. Raises BackupError for another engine."""
    found = re.fullmatch(r"sqlite:///(.+)", database_url)
    if found is None:
        raise BackupError(
            "This server keeps its data in another database than SQLite. Use that database's own "
            "backup (for PostgreSQL: pg_dump and pg_restore) and that of the photo store."
        )
    return Path(found[1])


def write_backup(database: Path, data: Path, photos: Photos, target: Path) -> Contents:
    """Write a backup to `target`, whole or not at all. Raises BackupError, OSError.

    `data` is the folder with the files that lie beside the database.
    """
    if target.exists():
        raise BackupError(f"{target} exists already. Choose another name; nothing was written.")
    target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            contents = stream_backup(database, data, photos, file)
            file.flush()
            os.fsync(file.fileno())
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
    return contents


def stream_backup(database: Path, data: Path, photos: Photos, file: IO[bytes]) -> Contents:
    """Write a backup into an open file. Raises BackupError when there is nothing to keep."""
    if not database.is_file():
        raise BackupError(f"There is no database at {database}; nothing was written.")
    now = time.time()
    with (
        tempfile.TemporaryDirectory(prefix="bradawl-backup-", dir=database.parent) as folder,
        tarfile.open(fileobj=file, mode="w|", format=tarfile.PAX_FORMAT) as tar,
    ):
        # The database first: whatever it names is in the photo store by then.
        copy = Path(folder) / DATABASE
        _snapshot(database, copy)
        events, devices = _count(copy)
        hashes = {DATABASE: _add_file(tar, DATABASE, copy, now)}
        for name in BESIDE:
            if (data / name).is_file():
                hashes[name] = _add_bytes(tar, name, (data / name).read_bytes(), now)
        count = 0
        for sha256 in sorted(photos.names("original")):
            original = photos.read(sha256, "original")
            if original is not None:
                _add_bytes(tar, f"photos/{sha256}", original, now)
                count += 1
        manifest = {
            "format": FORMAT,
            "made": datetime.fromtimestamp(now, UTC).isoformat(timespec="seconds"),
            "events": events,
            "devices": devices,
            "photos": count,
            "sha256": hashes,
        }
        _add_bytes(tar, MANIFEST, json.dumps(manifest, indent=1).encode(), now)
        size = tar.offset
    return Contents(str(manifest["made"]), events, devices, count, size)


def restore(
    source: Path, database: Path, data: Path, photos: Photos, *, replace: bool = False
) -> Contents:
    """Put a backup in place of the data. The server must not run.

    With `replace` a database that is here already is kept beside it under another name; without
    it, nothing is touched. Everything is checked before anything changes. Raises BackupError.
    """
    if database.exists() and not replace:
        raise BackupError(
            f"There is a database here already ({database}). With --replace it is set aside, not "
            "deleted; nothing was changed."
        )
    database.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with tempfile.TemporaryDirectory(prefix="restoring-", dir=database.parent) as folder:
        contents = _unpack(source, Path(folder))
        _require_whole(Path(folder) / DATABASE)
        with _nobody_uses(database):
            _set_aside(database, data)
        originals = sorted((Path(folder) / "photos").glob("*"))
        for path in originals:
            with path.open("rb") as file:
                photos.keep(path.name, "original", file)
        photos.settle([path.name for path in originals])
        for name in BESIDE:
            if (Path(folder) / name).is_file():
                (Path(folder) / name).replace(data / name)
        # Last: with the database in place, the restore is complete.
        (Path(folder) / DATABASE).replace(database)
        database.chmod(0o600)
    return contents


def _snapshot(database: Path, copy: Path) -> None:
    # SQLite's own online copy: one consistent state, writers are not held up for its length.
    with (
        closing(sqlite3.connect(f"file:{database}?mode=ro", uri=True)) as source,
        closing(sqlite3.connect(copy)) as target,
    ):
        source.backup(target, pages=-1)
        # The server's own chains end here: restored, they would go on under numbers that phones
        # may have seen with other events. What the desk writes then begins a new chain.
        with suppress(sqlite3.OperationalError):
            target.execute("UPDATE log_device SET closed = 1 WHERE stands_for <> ''")
            target.execute("PRAGMA user_version = 1")
            target.commit()
        # Without a write-ahead log beside it the copy is one file.
        target.execute("PRAGMA journal_mode=DELETE")


def _count(database: Path) -> tuple[int, int]:
    with closing(sqlite3.connect(database)) as connection:
        try:
            row = connection.execute("SELECT coalesce(sum(held), 0), count(*) FROM log_device")
            events, devices = row.fetchone()
        except sqlite3.OperationalError as error:
            raise BackupError(f"{database} is not a database of Bradawl ({error}).") from error
    return int(events), int(devices)


def _add_file(tar: tarfile.TarFile, name: str, path: Path, now: float) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(_PIECE):
            digest.update(piece)
        file.seek(0)
        tar.addfile(_entry(name, path.stat().st_size, now), file)
    return digest.hexdigest()


def _add_bytes(tar: tarfile.TarFile, name: str, data: bytes, now: float) -> str:
    tar.addfile(_entry(name, len(data), now), io.BytesIO(data))
    return hashlib.sha256(data).hexdigest()


def _entry(name: str, size: int, now: float) -> tarfile.TarInfo:
    entry = tarfile.TarInfo(name)
    entry.size = size
    entry.mtime = int(now)
    entry.mode = 0o600
    return entry


def _unpack(source: Path, folder: Path) -> Contents:
    """Unpack and check everything. No path of the archive is used as a path."""
    (folder / "photos").mkdir()
    digests: dict[str, str] = {}
    manifest: dict[str, object] | None = None
    photos = 0
    try:
        with tarfile.open(source, mode="r|") as tar:
            for entry in tar:
                photo = _PHOTO.fullmatch(entry.name)
                file = tar.extractfile(entry) if entry.isfile() else None
                if file is None or manifest is not None:
                    raise BackupError(f"{source} holds something that no backup holds.")
                if entry.name == MANIFEST:
                    manifest = json.loads(file.read(MAX_MANIFEST_BYTES))
                elif entry.name in (DATABASE, *BESIDE):
                    digests[entry.name] = _write(file, folder / entry.name)
                elif photo is not None:
                    photos += 1
                    if _write(file, folder / "photos" / photo[1]) != photo[1]:
                        raise BackupError(f"A photo in {source} is damaged ({photo[1][:12]}…).")
                else:
                    raise BackupError(f"{source} holds something that no backup holds.")
    except FileNotFoundError as error:
        raise BackupError(f"There is no file {source}.") from error
    except (tarfile.TarError, json.JSONDecodeError, EOFError, OSError) as error:
        raise BackupError(f"{source} is not a backup, or only part of one ({error}).") from error
    if manifest is None or manifest.get("format") != FORMAT:
        raise BackupError(f"{source} is cut off or was made by another version of Bradawl.")
    if manifest.get("sha256") != digests or manifest.get("photos") != photos:
        raise BackupError(f"{source} is damaged: its contents are not those it was made with.")
    return Contents(
        str(manifest.get("made")),
        int(str(manifest.get("events"))),
        int(str(manifest.get("devices"))),
        photos,
        source.stat().st_size,
    )


def _write(file: IO[bytes], path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("xb") as target:
        while piece := file.read(_PIECE):
            digest.update(piece)
            target.write(piece)
        target.flush()
        os.fsync(target.fileno())
    return digest.hexdigest()


def _require_whole(database: Path) -> None:
    with closing(sqlite3.connect(database)) as connection:
        said = [row[0] for row in connection.execute("PRAGMA integrity_check")]
    if said != ["ok"]:
        raise BackupError(f"The database in the backup is damaged: {'; '.join(said[:3])}.")
    _count(database)


@contextmanager
def _nobody_uses(database: Path) -> Iterator[None]:
    """Hold the database alone while it is set aside. Raises BackupError when a server runs."""
    if not database.exists():
        yield
        return
    with closing(sqlite3.connect(database, timeout=0.5, isolation_level=None)) as connection:
        try:
            # In WAL mode this succeeds only when no other process has the file open.
            connection.execute("PRAGMA locking_mode=EXCLUSIVE")
            connection.execute("BEGIN IMMEDIATE")
        except sqlite3.DatabaseError as error:
            if "lock" in str(error):
                raise BackupError(
                    "The server is running. Stop it, then restore; nothing was changed."
                ) from error
        yield


def _set_aside(database: Path, data: Path) -> None:
    stamp = f"{datetime.now(UTC):%Y%m%d-%H%M%S}"
    beside = [database.with_name(database.name + end) for end in ("", "-wal", "-shm")]
    for path in [*beside, *(data / name for name in BESIDE)]:
        if path.exists():
            path.replace(path.with_name(f"before-restore-{stamp}-{path.name}"))
