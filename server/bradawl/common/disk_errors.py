"""Why a disk or a database fails, told apart, with the remedy of each; no library is loaded here.

`cause_of` names the cause of an error, `fault_of` says it in sentences. What an error alone cannot
tell (SQLite says "unable to open" of a missing file and of a forbidden one alike) is looked up at
the place that it is about.
"""

from __future__ import annotations

import errno
import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import Literal
from urllib.parse import quote

from bradawl.language import Message, decimal, message, text

Cause = Literal[
    "full", "read_only", "forbidden", "damaged", "locked", "missing", "failing", "no_answer"
]

#: Below this much free room nothing but a few entries fits any more.
LITTLE_ROOM_BYTES = 4_000_000
#: What SQLite takes beside a database that it opens for writing, and some more.
TO_OPEN_BYTES = 100_000

_BY_ERRNO: dict[int, Cause] = {
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EROFS: "read_only",
    errno.EACCES: "forbidden",
    errno.EPERM: "forbidden",
    errno.ENOENT: "missing",
    errno.ENOTDIR: "missing",
    errno.EIO: "failing",
}
#: By the primary result code of SQLite (sqlite.org/rescode.html).
_BY_SQLITE: dict[int, Cause] = {
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_READONLY: "read_only",
    sqlite3.SQLITE_PERM: "forbidden",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "damaged",
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_IOERR: "failing",
    sqlite3.SQLITE_CANTOPEN: "missing",
}
_BY_WORDS: tuple[tuple[str, Cause], ...] = (
    ("full", "full"),
    ("readonly", "read_only"),
    ("malformed", "damaged"),
    ("not a database", "damaged"),
    ("locked", "locked"),
    ("busy", "locked"),
    ("unable to open", "missing"),  # SQLite says so: not shown
    ("disk i/o", "failing"),
)


@dataclass(frozen=True)
class Fault:
    """A cause, what is wrong in a sentence, and what to do in one or two."""

    cause: Cause
    what: Message
    remedy: Message

    def __str__(self) -> str:
        return f"{self.what} {self.remedy}"


def cause_of(error: BaseException, place: Path | None = None) -> Cause | None:
    """The cause of an error of disk or database; None when it is another kind of error.

    `place` is the file that it is about. SQLAlchemy's errors are known by what they wrap.
    """
    wrapped = getattr(error, "orig", None)
    if isinstance(wrapped, sqlite3.Error):
        return cause_of(wrapped, place)
    if isinstance(wrapped, BaseException):  # another engine's
        gone = type(error).__name__ in ("OperationalError", "InterfaceError", "InternalError")
        return "no_answer" if gone else None
    if isinstance(error, sqlite3.Error):
        cause = _of_sqlite(error)
        return cause if cause is None or place is None else _looked_up(cause, place)
    if isinstance(error, OSError) and not isinstance(error, TimeoutError | ConnectionError):
        # without a number it is the sentence of a photo store that is not on this machine
        return "no_answer" if error.errno is None else _BY_ERRNO.get(error.errno)
    return None


def _of_sqlite(error: sqlite3.Error) -> Cause | None:
    code = getattr(error, "sqlite_errorcode", None)
    if code is not None:
        return _BY_SQLITE.get(code & 0xFF)
    words = str(error).lower()
    return next((cause for part, cause in _BY_WORDS if part in words), None)


def _looked_up(cause: Cause, place: Path) -> Cause:
    """What the place tells beyond the error."""
    if cause not in ("read_only", "missing", "failing"):
        return cause
    if cause != "failing" and not exists(place):
        return "missing"
    if on_read_only_disk(place):
        return "read_only"
    if free_bytes(place) < LITTLE_ROOM_BYTES:
        return "full"
    if not may_write(place):
        return "forbidden"
    return cause


def fault_of(error: BaseException, place: Path) -> Fault | None:
    """The fault behind an error at `place`; None when it is no error of disk or database."""
    cause = cause_of(error, place)
    if cause is None:
        return None
    if cause in ("failing", "no_answer"):
        why = str(getattr(error, "orig", None) or error).strip().splitlines() or [""]
        what = message("server-disk-unusable", place=str(place), why=why[0].rstrip("."))
        return Fault(cause, what, remedy_of(cause))
    return fault(cause, place)


def explained(error: BaseException, place: Path) -> str:
    """An error at `place` in sentences, whatever kind it is."""
    fault = fault_of(error, place)
    if fault is not None:
        return str(fault)
    why = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return f"{str(why).rstrip('.')}."


def fault(cause: Cause, place: Path) -> Fault:
    """The fault of a known cause at `place`."""
    what = message(
        "server-disk-" + cause.replace("_", "-"),
        place=str(place),
        free=size_words(free_bytes(place)),
        user=str(os.geteuid()),
        owner=_owner(place),
    )
    return Fault(cause, what, remedy_of(cause))


def remedy_of(cause: Cause) -> Message:
    """What helps."""
    return message("server-remedy-" + cause.replace("_", "-"))


def exists(place: Path) -> bool:
    """Whether a file is there, as far as this user may see."""
    try:
        place.stat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError:
        return True
    return True


def existing(place: Path) -> Path:
    """The place itself, or the nearest folder above it that exists."""
    for folder in (place, *place.parents):
        if exists(folder):
            return folder
    return Path("/")


def on_read_only_disk(place: Path) -> bool:
    """Whether the file system of `place` is mounted for reading only."""
    try:
        return bool(os.statvfs(existing(place)).f_flag & os.ST_RDONLY)
    except OSError:
        return False


def free_bytes(place: Path) -> int:
    """The room for this user on the disk of `place`; 0 when that cannot be told."""
    try:
        disk = os.statvfs(existing(place))
    except OSError:
        return 0
    # a part is often kept for the administrator
    return disk.f_frsize * (disk.f_bfree if os.geteuid() == 0 else disk.f_bavail)


def is_unchanging(database: Path) -> bool:
    """Whether nobody can write to an SQLite file just now, all of which is in this one file.

    SQLite cannot make the shared memory there that reading beside a writer takes; opened with
    `immutable=1` it does without.
    """
    log = database.with_name(f"{database.name}-wal")
    if on_read_only_disk(database):
        return not log.exists() or log.stat().st_size == 0
    # whoever has it open for writing has a log
    return exists(database) and free_bytes(database) < TO_OPEN_BYTES and not log.exists()


def uri_to_read(database: Path) -> str:
    """The URI with which SQLite reads a database file and changes nothing."""
    options = "immutable=1" if is_unchanging(database) else "mode=ro"
    return f"file:{quote(str(database))}?{options}"


def may_write(place: Path) -> bool:
    """Whether this user may change a file and what lies beside it, as its rights say."""
    here = existing(place)
    folder = here if here.is_dir() else here.parent
    return os.access(here, os.R_OK | os.W_OK) and os.access(folder, os.W_OK | os.X_OK)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable. Raises OSError."""
    descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def size_words(size_bytes: int) -> str:
    """A size for a person: `12.3 MB`."""
    for unit, factor in (("tb", 1e12), ("gb", 1e9), ("mb", 1e6), ("kb", 1e3)):
        if size_bytes >= factor:
            return text("server-size-" + unit, figure=decimal(f"{size_bytes / factor:.1f}"))
    return text("server-size-bytes", count=size_bytes)


def _owner(place: Path) -> str:
    try:
        return str(existing(place).stat().st_uid)
    except OSError:
        return "?"
