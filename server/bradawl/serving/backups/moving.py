"""A whole workshop in one file, for another machine: the records and the keys, sealed.

A backup has no keys in it, so that whoever finds one cannot sign for the shop. This file has them,
so that the other machine signs with the same key and phones trust it as they did; a passphrase
closes it. What is not moved: the daily backups, the log of what the server did, and what can be
made again.
"""

from __future__ import annotations

import os
import re
import secrets
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

import msgspec

from bradawl import __version__
from bradawl.backup import sealed
from bradawl.backup.archive import BackupError
from bradawl.backup.create import Contents, stream_backup
from bradawl.backup.parts import database_file
from bradawl.backup.restore import Restored, restore
from bradawl.backup.room import require_room
from bradawl.common import file_swap
from bradawl.common.disk_errors import exists, explained, sync_folder
from bradawl.common.installation import choices
from bradawl.language import message, text
from bradawl.log.erasure.erased_list import ErasedList, Named
from bradawl.serving.backups import health
from bradawl.serving.backups.records import ServerRecords, store_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import IO

    from bradawl.common.settings import Settings

#: Of the data folder: phones know the server by its port, too.
PORT = "port"
#: What goes along beside the keys.
BESIDE = (PORT, choices.FILE)
_MOST_KEY_BYTES = 1_000_000
_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)?")
_LENGTH_BYTES = 8


class Belongings(msgspec.Struct, frozen=True):
    """What goes along beside the backup.

    `files` are of the data folder by their names in it; `erased` are device, number and commitment
    of each erased value.
    """

    files: dict[str, bytes]
    erased: list[Named]


@dataclass(frozen=True)
class MovedIn:
    """What was put in place, and whose version wrote it."""

    restored: Restored
    written_by: str


def move_out(settings: Settings, target: Path, passphrase: str) -> Contents:
    """Write everything to `target`, at once or not at all. The server must not run.

    What is damaged does not stop it: see `Contents.faults`. Raises BackupError.
    """
    store = store_of(settings)
    if exists(target):
        raise BackupError(message("server-backup-exists", file=str(target)))
    if not exists(store.database):
        raise BackupError(message("server-backup-nothing", file=str(store.database)))
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        with file_swap.held_alone(store.database):
            target.parent.mkdir(parents=True, exist_ok=True)
            descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            try:
                with os.fdopen(descriptor, "wb") as file:
                    made = datetime.now(UTC).isoformat(timespec="seconds")
                    sealing = sealed.Sealing(file, passphrase, version=__version__, made=made)
                    belongings = msgspec.json.encode(_belongings(settings))
                    sealing.write(len(belongings).to_bytes(_LENGTH_BYTES, "big") + belongings)
                    stream = cast("IO[bytes]", sealing)
                    # its copy of the database is in the clear: not on a stick that is handed around
                    contents = stream_backup(store, stream, target.parent, working=settings.data)
                    sealing.finish()
                    file.flush()
                    os.fsync(file.fileno())
                part.replace(target)
                sync_folder(target.parent)
            finally:
                part.unlink(missing_ok=True)
            health.note_moved(settings.data)
    except file_swap.InUseError as error:
        raise BackupError(message("server-move-running")) from error
    except OSError as error:
        why = explained(error, target.parent)
        raise BackupError(message("server-move-unwritten", why=why)) from error
    return contents


def move_in(settings: Settings, source: Path, passphrase: str, *, aside: bool) -> MovedIn:
    """Put a moved workshop in place, at once or not at all. The server must not run.

    Records that are here already are set aside only with `aside`, or where nobody recorded
    anything and nobody chose a passphrase. Raises BackupError when nothing was changed.
    """
    database = database_file(settings.database_url)
    if exists(database) and not aside and not _untouched(database):
        raise BackupError(message("server-move-there", folder=str(settings.data)))
    copy = settings.data / f"bradawl-backup-{secrets.token_hex(4)}"
    try:
        settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
        with source.open("rb") as file:
            head, _ = sealed.head_of(file, str(source))
            require_room(source.stat().st_size, settings.data, text("server-room-move"))
            file.seek(0)
            belongings = _unpacked(sealed.opened_pieces(file, passphrase, str(source)), copy)
        # first: a kill then leaves a list that is too long, which does no harm
        ErasedList(settings.erased_list).add(belongings.erased)
        store = store_of(settings)
        done = restore(copy, store, replace=exists(database), also=belongings.files)
        (settings.data / health.MOVED).unlink(missing_ok=True)
        return MovedIn(done, head.bradawl)
    except OSError as error:
        why = explained(error, settings.data)
        raise BackupError(message("server-restore-nothing", why=why)) from error
    finally:
        copy.unlink(missing_ok=True)


def _belongings(settings: Settings) -> Belongings:
    """Keys but those of the server's own chains, which the copy ends, and what lies beside."""
    files: dict[str, bytes] = {}
    for path in sorted(settings.keys.rglob("*")):
        name = path.relative_to(settings.keys).as_posix()
        chain = path.is_relative_to(settings.chain_keys)
        if path.is_file() and not path.is_symlink() and not chain and _KEY.fullmatch(name):
            files[f"{settings.keys.name}/{name}"] = path.read_bytes()[:_MOST_KEY_BYTES]
    port = settings.data / PORT
    if port.is_file():
        files[PORT] = port.read_bytes()[:_MOST_KEY_BYTES]
    # a folder for backups is one of this machine's disks
    chosen = replace(choices.read(settings.data), backups="")
    if chosen != choices.Choices():
        files[choices.FILE] = msgspec.json.encode(chosen)
    return Belongings(files, ErasedList(settings.erased_list).entries())


def _untouched(database: Path) -> bool:
    """Whether a database is as a first start makes it. Raises BackupError."""
    from bradawl.access.web.auth import Access
    from bradawl.database.connection import open_engine

    if ServerRecords().count(database).events:
        return False
    engine = open_engine(f"sqlite:///{database}")
    try:
        return not Access(engine).people.anybody_can_sign_in()
    finally:
        engine.dispose()


def _unpacked(pieces: Iterator[bytes], copy: Path) -> Belongings:
    """The belongings; the backup behind them into `copy`. Raises BackupError, OSError."""
    waiting = bytearray()
    belongings: Belongings | None = None
    descriptor = os.open(copy, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as out:
        for piece in pieces:
            waiting += piece
            end = _LENGTH_BYTES + int.from_bytes(waiting[:_LENGTH_BYTES], "big")
            if belongings is None and len(waiting) >= end:
                belongings = _checked(bytes(waiting[_LENGTH_BYTES:end]))
                del waiting[:end]
            if belongings is not None:
                out.write(waiting)
                waiting.clear()
    if belongings is None:
        raise BackupError(message("server-move-empty"))
    return belongings


def _checked(written: bytes) -> Belongings:
    """Raises BackupError for anything that this version would not have written."""
    try:
        belongings = msgspec.json.decode(written, type=Belongings)
    except msgspec.MsgspecError as error:
        raise BackupError(message("server-move-empty")) from error
    for name in belongings.files:
        top, _, inside = name.partition("/")
        if not (_KEY.fullmatch(inside) if top == "keys" else name in BESIDE):
            raise BackupError(message("server-move-empty"))
    return belongings
