"""The data folder is its owner's alone, whatever modes it came with: made right at every start.

A folder that existed before, one that was copied back and an ordinary umask all leave modes by
which other users of the machine read the sellers' names. Files get 0600, folders 0700. What others
put into the data folder keeps its own modes, behind a folder that only its owner can enter.

Photos may be many thousands, so they are looked at only in those folders that are not private
themselves: a folder is made private after what is in it, so one that is private holds no photo
that is not; and the store keeps every photo under 0600 (`log/photos/storage.py`).
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from bradawl.common.settings import Settings
from bradawl.language import text

FILE = 0o600
FOLDER = 0o700
#: What lies in a data folder, as patterns; beside the photos and the database.
OWN = (
    "*-restoring",
    "backups",
    "before-restore-*",
    "bradawl-backup-*",
    "checklists",
    "incoming",
    "keys",
    "known-signers.json",
    "logs",
    "prepared",
    "reports",
    "reports.jsonl",
    "sample",
    "served-at",
    "settings.json",
    "waiting",
)
KINDS = ("original", "served")
_SQLITE = "sqlite:///"
_ENDS = ("", "-journal", "-lock", "-shm", "-swap.json", "-wal")


@dataclass
class _Open:
    """A path that others can read and whose mode could not be changed."""

    path: Path
    mode: int
    owner: int
    error: int


def make_private(settings: Settings) -> list[str]:
    """Make the modes of a data folder right, quickly where they are.

    What cannot be made right comes back as sentences for whoever started the server. Raises
    nothing: a folder that others can read is served all the same.
    """
    if os.name != "posix" or not settings.data.is_dir():
        return []
    data = settings.data.resolve()
    problems: list[_Open] = []
    sentences: list[str] = []
    if _is_shared(data):
        sentences.append(text("access-private-shared", folder=str(data)))
    else:
        # First, so that nobody can put anything in the way of what follows.
        _set(data, FOLDER, problems)
    for pattern in OWN:
        for path in sorted(data.glob(pattern)):
            _tidy(path, problems)
    for path in _database_files(settings):
        _tidy(path, problems)
    if not settings.photo_store.startswith("s3://"):
        _tidy_photos(Path(settings.photo_store).resolve(), problems)
    sentences += _explained(data, problems)
    return sentences


def _is_shared(folder: Path) -> bool:
    """Whether a folder cannot be meant for Bradawl alone: the root, a home, or one like /tmp."""
    with_others = folder.stat().st_mode & stat.S_ISVTX
    home = Path(os.path.expanduser("~"))  # Path's own raises where there is none
    return bool(with_others) or folder in (home, folder.parent)


def _database_files(settings: Settings) -> Iterator[Path]:
    if settings.database_url.startswith(_SQLITE):
        named = settings.database_url.removeprefix(_SQLITE).partition("?")[0]
        database = Path(named).resolve()
        for end in _ENDS:
            yield database.with_name(database.name + end)


def _tidy(path: Path, problems: list[_Open]) -> None:
    """Make a file or a folder with all that is in it private. Links are not followed."""
    mode = _mode_of(path)
    if stat.S_ISREG(mode):
        _set(path, FILE, problems)
    elif stat.S_ISDIR(mode):
        _tidy_within(path, mode, problems)
        _set(path, FOLDER, problems)


def _tidy_within(folder: Path, mode: int, problems: list[_Open]) -> None:
    if mode & FOLDER != FOLDER:
        _set(folder, stat.S_IMODE(mode) | FOLDER, problems)  # else it cannot be looked through
    try:
        entries = [Path(entry.path) for entry in os.scandir(folder)]
    except OSError as error:
        _note(folder, error, problems)
        return
    for path in entries:
        _tidy(path, problems)


def _tidy_photos(root: Path, problems: list[_Open]) -> None:
    leaves = [root / kind / f"{number:02x}" for kind in KINDS for number in range(256)]
    for folder in (*leaves, root / "incoming", *(root / kind for kind in KINDS)):
        mode = _mode_of(folder)
        if not stat.S_ISDIR(mode) or stat.S_IMODE(mode) == FOLDER:
            continue
        if folder.name not in KINDS:
            _tidy_within(folder, mode, problems)
        _set(folder, FOLDER, problems)
    try:
        alone = {path.name for path in root.iterdir()} <= {*KINDS, "incoming"}
    except OSError:
        return  # not there yet, or said above of what is in it
    if alone:
        _set(root, FOLDER, problems)


def _mode_of(path: Path) -> int:
    """Kind and mode of a path itself; 0 where there is none."""
    try:
        return path.lstat().st_mode
    except OSError:
        return 0


def _set(path: Path, mode: int, problems: list[_Open]) -> None:
    if stat.S_IMODE(_mode_of(path)) == mode:
        return
    try:
        path.chmod(mode)
    except FileNotFoundError:
        return  # gone meanwhile, as the files beside a database are
    except OSError as error:
        _note(path, error, problems)
        return
    if stat.S_IMODE(_mode_of(path)) & 0o077:
        # a file system that knows no such rights says yes and does nothing
        _note(path, OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP)), problems)


def _note(path: Path, error: OSError, problems: list[_Open]) -> None:
    try:
        status = path.lstat()
    except OSError:
        return
    problems.append(_Open(path, stat.S_IMODE(status.st_mode), status.st_uid, error.errno or 0))


def _explained(data: Path, problems: list[_Open]) -> list[str]:
    """What to do about all that could not be made right, by the first of it."""
    open_to_others = [problem for problem in problems if problem.mode & 0o077]
    if not open_to_others:
        return []
    first = open_to_others[0]
    us = _user(os.geteuid())
    why = "other"
    if first.error == errno.EROFS:
        why = "read-only"
    elif first.error in (errno.EPERM, errno.EACCES):
        why = "owner"
    said = text(
        "access-private-" + why,
        file=str(first.path), mode=f"{first.mode:03o}", more=len(open_to_others) - 1,
        owner=_user(first.owner), us=us, folder=str(data),
    )  # fmt: skip
    return [said]


def _user(number: int) -> str:
    import pwd

    try:
        return pwd.getpwuid(number).pw_name
    except KeyError:
        return str(number)
