"""Several files put in place as one step, which whoever comes next completes.

What is to come into place is prepared beside it, on the same disk. Then one small file, the
journal, is made durable: with it the exchange is decided. Its moves are renames that may be
repeated, so after a kill at any moment either there is no journal, and the old files are in place
untouched, or `complete` carries on where the other left off.

A lock beside the database says who uses it: whoever has it open holds it shared, whoever puts
another in its place holds it alone.
"""

from __future__ import annotations

import fcntl
import json
import os
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from bradawl.common.disk_errors import exists, sync_folder
from bradawl.language import message

WAIT_S = 15.0
_POLL_S = 0.05


class SwapError(Exception):
    """An exchange cannot be completed; the message says why and what would help."""


class InUseError(Exception):
    """Somebody else holds the lock."""


@dataclass(frozen=True)
class Move:
    """`fresh` comes to `place`, and what was there goes to `aside`.

    Without `fresh` the place is only emptied. All three are on one disk; `aside` is a name that
    nothing has yet.
    """

    fresh: Path | None
    place: Path
    aside: Path


def journal_of(database: Path) -> Path:
    """Where the journal of an exchange of this database lies."""
    return database.with_name(f"{database.name}-swap.json")


def decide(database: Path, moves: Sequence[Move], *, clear: Sequence[Path] = ()) -> None:
    """Write the journal: from here on the exchange will happen. Raises OSError.

    Everything in `fresh` must be durable already; the folders to `clear` are removed at the end.
    """
    journal = journal_of(database)
    home = journal.parent
    rows = [
        [
            None if move.fresh is None else os.path.relpath(move.fresh, home),
            os.path.relpath(move.place, home),
            os.path.relpath(move.aside, home),
        ]
        for move in moves
    ]
    draft = journal.with_name(f".{journal.name}.new")
    with draft.open("w", encoding="utf-8") as file:
        json.dump({"moves": rows, "clear": [os.path.relpath(path, home) for path in clear]}, file)
        file.flush()
        os.fsync(file.fileno())
    os.replace(draft, journal)
    sync_folder(home)


def complete(database: Path) -> bool:
    """Carry out the exchange that was decided for this database; False when there is none.

    Waits while another process does so. Raises SwapError, OSError.
    """
    if not exists(journal_of(database)):
        return False
    try:
        with held_alone(database, WAIT_S):
            return carry_out(database)
    except InUseError as error:
        raise SwapError(message("server-swap-busy")) from error


def carry_out(database: Path) -> bool:
    """As `complete`, for whoever holds the lock alone."""
    journal = journal_of(database)
    decided = _read(journal)
    if decided is None:
        return False
    moves, clear = decided
    for move in moves:
        _move(move)
    for folder in {move.place.parent for move in moves}:
        if exists(folder):
            sync_folder(folder)
    for folder in clear:
        shutil.rmtree(folder, ignore_errors=True)
    os.unlink(journal)
    sync_folder(journal.parent)
    return True


def _move(move: Move) -> None:
    # In this order, and each step only if it is still to do, so that it may be repeated.
    waiting = move.fresh is None or exists(move.fresh)
    if waiting and exists(move.place) and not exists(move.aside):
        os.replace(move.place, move.aside)
    if move.fresh is not None and exists(move.fresh):
        move.place.parent.mkdir(parents=True, exist_ok=True)
        os.replace(move.fresh, move.place)


def _read(journal: Path) -> tuple[list[Move], list[Path]] | None:
    try:
        written = json.loads(journal.read_bytes())
        home = journal.parent
        moves = [
            Move(None if fresh is None else home / fresh, home / place, home / aside)
            for fresh, place, aside in written["moves"]
        ]
        return moves, [home / folder for folder in written["clear"]]
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise SwapError(
            message("server-swap-unreadable", file=str(journal), name=journal.name)
        ) from error


class Use:
    """That a process uses a database, for as long as it has it open; used by many threads."""

    def __init__(self, database: Path) -> None:
        self._database = database
        self._descriptor: int | None = None
        self._beginning = Lock()

    def begin(self, wait_s: float = WAIT_S) -> None:
        """Say so, once; first an exchange that was decided is completed.

        Raises SwapError while another database is being put in place. Where no lock can be
        written, on a disk that may only be read, nothing can be exchanged either.
        """
        with self._beginning:
            if self._descriptor is not None:
                return
            complete(self._database)
            try:
                self._descriptor = _locked(self._database, fcntl.LOCK_SH, wait_s)
            except InUseError as error:
                raise SwapError(
                    message("server-swap-restoring", file=str(self._database))
                ) from error
            except OSError:
                self._descriptor = None

    def end(self) -> None:
        """Let go."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None


@contextmanager
def held_alone(database: Path, wait_s: float = 0.0) -> Iterator[None]:
    """The lock of a database, held by nobody else. Raises InUseError, OSError."""
    descriptor = _locked(database, fcntl.LOCK_EX, wait_s)
    try:
        yield
    finally:
        os.close(descriptor)


def _locked(database: Path, how: int, wait_s: float) -> int:
    """A descriptor that holds the lock; closing it lets go."""
    descriptor = os.open(
        database.with_name(f"{database.name}-lock"), os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600
    )
    limit = time.monotonic() + wait_s
    try:
        while True:
            with suppress(BlockingIOError):
                fcntl.flock(descriptor, how | fcntl.LOCK_NB)
                return descriptor
            if time.monotonic() >= limit:
                raise InUseError
            time.sleep(_POLL_S)
    except BaseException:
        os.close(descriptor)
        raise
