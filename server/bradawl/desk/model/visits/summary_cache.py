"""Summaries of visits in one SQLite file, so that a restart judges nothing anew.

Of each a page over all visits needs a word or two (`Entry`), which stand in columns of their own;
the rest is read for the few that are shown. Delete the file at any time. A summary is valid for
one code hash and one `Key`. Never raises: a file that cannot be read is begun again, and one that
cannot be written is kept in memory.
"""

from __future__ import annotations

import hashlib
import logging
import secrets
import sqlite3
import threading
from collections.abc import Callable, Collection, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any

import msgspec

from bradawl.desk.model.visits.summary import Summary

__all__ = ["Entry", "Key", "SummaryCache", "code_hash", "entry_of"]

logger = logging.getLogger(__name__)
Key = tuple[str, int, str, str]  # last stamp, events, what the shop ordered, day
AT_ONCE = 500
_PACKAGE = Path(__file__).resolve().parents[3]
#: Before 2026-12-01 the same stood in `line`, without columns to look through.
_OLD = "DROP TABLE IF EXISTS line"
_TABLE = """create table if not exists summary (
    visit text primary key, made_by text, last_at text, events int, ordered text, day text,
    car text, words text, state text, shelf text,
    counts int, teaches int, turned_out int, content blob
) without rowid"""


# no cycle can come of it, so that the collector need not look at 10,000 of them
class Entry(msgspec.Struct, frozen=True, gc=False):
    """What is looked through of a summary: its car, what a search finds it by, state, shelf.

    `counts`: whether the shop's sums take it in; `teaches`: whether it has finished jobs with an
    estimate; `turned_out`: whether it is known what a complaint of it came from.
    """

    key: Key
    car: str
    words: str
    state: str
    shelf: str
    counts: bool
    teaches: bool
    turned_out: bool


def entry_of(key: Key, summary: Summary) -> Entry:
    """What is looked through of a summary that was made for `key`."""
    return Entry(
        key=key,
        car=summary.car,
        words=summary.words,
        state=summary.board.state,
        shelf=summary.shelf,
        counts=summary.money.is_of_interest,
        teaches=bool(summary.lessons),
        turned_out=bool(summary.turned_out),
    )


def code_hash() -> str:
    """A hash of the code that makes summaries; it changes with every file of it."""
    digest = hashlib.sha256()
    files: Iterable[Path] = [
        *_PACKAGE.glob("judge/**/*.py"),
        *_PACKAGE.glob("desk/**/*.py"),
        *_PACKAGE.glob("inspection/*.py"),
    ]
    for path in sorted(files):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:32]


class SummaryCache:
    """Summaries by visit; `made_by` hashes the code that makes them; no `path`: in memory.

    Nothing here raises: a disk that fails costs time and no page.
    """

    def __init__(self, path: Path | None = None, made_by: Callable[[], str] = str) -> None:
        self._path = path
        self._encode = msgspec.json.Encoder().encode
        self._decode = msgspec.json.Decoder(Summary).decode
        self._code_hash = made_by
        self._made_by = ""
        self._run = secrets.token_hex(8)
        self._lock = threading.Lock()
        self._open: sqlite3.Connection | None = None

    def entries(self) -> dict[str, Entry]:
        """What is looked through, of every visit of which a summary is kept."""
        rows = self._ask(
            "select visit, last_at, events, ordered, day, car, words, state, shelf, counts, "
            "teaches, turned_out from summary where made_by in (?, ?)",
            self._makers(),
        )
        return {
            visit: Entry(
                (last_at, events, ordered, day),
                car, words, state, shelf, bool(counts), bool(teaches), bool(turned_out),
            )
            for visit, last_at, events, ordered, day,
            car, words, state, shelf, counts, teaches, turned_out in rows
        }  # fmt: skip

    def read(self, visits: Collection[str]) -> dict[str, tuple[Key, Summary]]:
        """What is kept of these visits, with the key under which each was kept."""
        stored: dict[str, tuple[Key, Summary]] = {}
        wanted = list(visits)
        for first in range(0, len(wanted), AT_ONCE):
            part = wanted[first : first + AT_ONCE]
            marks = ",".join("?" * len(part))
            rows = self._ask(
                "select visit, last_at, events, ordered, day, content from summary "
                f"where made_by in (?, ?) and visit in ({marks})",
                (*self._makers(), *part),
            )
            for visit, last_at, events, ordered, day, content in rows:
                with suppress(msgspec.DecodeError):  # of another version: made anew
                    stored[visit] = ((last_at, events, ordered, day), self._decode(content))
        return stored

    def keep(self, visit: str, key: Key, summary: Summary, *, lasting: bool = True) -> None:
        """Keep one summary instead of the visit's last; until the next start unless `lasting`."""
        entry = entry_of(key, summary)
        self._ask(
            "insert or replace into summary values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                visit, self._makers()[0 if lasting else 1], *key, entry.car, entry.words,
                entry.state, entry.shelf, entry.counts, entry.teaches, entry.turned_out,
                self._encode(summary),
            ),
        )  # fmt: skip

    def forget(self, visit: str) -> None:
        """Delete what is kept of a visit; nothing of it stays in the file."""
        if self._open is not None or (self._path is not None and self._path.exists()):
            self._ask("delete from summary where visit = ?", (visit,))

    def close(self) -> None:
        with self._lock:
            if self._open is not None:
                self._open.close()
                self._open = None

    def _makers(self) -> tuple[str, str]:
        """By whom a summary is that counts: this code, and this run of it."""
        if not self._made_by:
            self._made_by = self._code_hash()
        return self._made_by, self._run

    def _ask(self, statement: str, values: tuple[Any, ...]) -> list[tuple[Any, ...]]:
        with self._lock:
            for is_last in (False, True, True):  # as it is, begun again, in memory
                try:
                    return self._connection().execute(statement, values).fetchall()
                except (sqlite3.Error, OSError) as error:
                    logger.warning("%s is begun again: %s", self._path, error)
                    self._begin_again(in_memory=is_last)
        return []

    def _connection(self) -> sqlite3.Connection:
        if self._open is None:
            if self._path is not None:
                self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            place = self._path or ":memory:"
            connection = sqlite3.connect(place, check_same_thread=False, isolation_level=None)
            self._open = connection
            # lost at a power cut, it is made anew; what was forgotten must not stay in the file
            connection.execute("pragma synchronous = off")
            connection.execute("pragma secure_delete = on")
            connection.execute(_OLD)
            connection.execute(_TABLE)
        return self._open

    def _begin_again(self, *, in_memory: bool) -> None:
        if self._open is not None:
            with suppress(sqlite3.Error):
                self._open.close()
            self._open = None
        if self._path is not None:
            with suppress(OSError):
                self._path.unlink(missing_ok=True)
        if in_memory:
            self._path = None
