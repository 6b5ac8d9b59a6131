"""Cache of visit summaries in one SQLite file, so that a restart judges nothing anew.

Delete the file at any time. A summary is valid for one code hash and one `Key`. Never raises: a
file that cannot be read is begun again.
"""

from __future__ import annotations

import hashlib
import logging
import sqlite3
import threading
from collections.abc import Callable, Collection, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any

import msgspec

__all__ = ["Key", "SummaryCache", "code_hash"]

logger = logging.getLogger(__name__)
Key = tuple[str, int, str, str]  # last stamp, events, what the shop ordered, day
_PACKAGE = Path(__file__).resolve().parents[3]
_TABLE = """create table if not exists line (
    visit text primary key, last_at text, events int, ordered text, day text, made_by text,
    line blob) without rowid"""


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
    """Summaries by visit; `kind` is their dataclass, `made_by` hashes the code that makes them.

    Nothing here raises: a disk that fails costs time and no page.
    """

    def __init__(self, path: Path, kind: type[Any], made_by: Callable[[], str]) -> None:
        self._path = path
        self._encode = msgspec.json.Encoder().encode
        self._decode = msgspec.json.Decoder(kind).decode
        self._code_hash = made_by
        self._made_by = ""
        self._lock = threading.Lock()
        self._open: sqlite3.Connection | None = None
        self._broken = False

    def read(self, visits: Collection[str]) -> dict[str, tuple[Key, Any]]:
        """What is kept of these visits, with the key under which each was kept."""
        stored: dict[str, tuple[Key, Any]] = {}
        wanted = list(visits)
        for first in range(0, len(wanted), 500):
            part = wanted[first : first + 500]
            marks = ",".join("?" * len(part))
            rows = self._run(
                "select visit, last_at, events, ordered, day, line from line "
                f"where made_by = ? and visit in ({marks})",
                (self._maker(), *part),
            )
            for visit, last_at, events, ordered, day, line in rows:
                with suppress(msgspec.DecodeError):  # of another version: made anew
                    stored[visit] = ((last_at, events, ordered, day), self._decode(line))
        return stored

    def keep(self, visit: str, key: Key, summary: Any) -> None:
        """Keep one summary instead of the visit's last."""
        self._run(
            "insert or replace into line values (?, ?, ?, ?, ?, ?, ?)",
            (visit, *key, self._maker(), self._encode(summary)),
        )

    def forget(self, visit: str) -> None:
        """Delete what is kept of a visit; nothing of it stays in the file."""
        if self._path.exists():
            self._run("delete from line where visit = ?", (visit,))

    def close(self) -> None:
        with self._lock:
            if self._open is not None:
                self._open.close()
                self._open = None

    def _maker(self) -> str:
        if not self._made_by:
            self._made_by = self._code_hash()
        return self._made_by

    def _run(self, statement: str, values: tuple[Any, ...]) -> list[tuple[Any, ...]]:
        with self._lock:
            for last in (False, True):
                if self._broken:
                    break
                try:
                    return self._connection().execute(statement, values).fetchall()
                except (sqlite3.Error, OSError) as error:
                    logger.warning("%s is begun again: %s", self._path, error)
                    self._begin_again(last)
        return []

    def _connection(self) -> sqlite3.Connection:
        if self._open is None:
            self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            connection = sqlite3.connect(self._path, check_same_thread=False, isolation_level=None)
            self._open = connection
            # lost at a power cut, it is made anew; what was forgotten must not stay in the file
            connection.execute("pragma synchronous = off")
            connection.execute("pragma secure_delete = on")
            connection.execute(_TABLE)
        return self._open

    def _begin_again(self, last: bool) -> None:
        if self._open is not None:
            with suppress(sqlite3.Error):
                self._open.close()
            self._open = None
        self._broken = last
        with suppress(OSError):
            self._path.unlink(missing_ok=True)
