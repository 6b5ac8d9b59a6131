"""Lines of the list of visits kept on the disk, so that a restart judges nothing anew.

One small SQLite file below the data folder; it may be deleted at any time, and a file that cannot
be read is begun again. A line counts only for the code and checklist that made it.
"""

from __future__ import annotations

import hashlib
import logging
import sqlite3
import threading
from collections.abc import Callable, Collection, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

import msgspec

logger = logging.getLogger(__name__)
Line = TypeVar("Line")
Key = tuple[str, int, str, str]  # last stamp, events, what the shop ordered, day
_PACKAGE = Path(__file__).resolve().parents[2]
_TABLE = """create table if not exists line (
    visit text primary key, last_at text, events int, ordered text, day text, made_by text,
    line blob) without rowid"""


def code() -> str:
    """A name for the code that makes lines; it changes with every file of it."""
    digest = hashlib.sha256()
    files: Iterable[Path] = [
        *_PACKAGE.glob("judge/**/*.py"),
        *_PACKAGE.glob("desk/**/*.py"),
        *_PACKAGE.glob("inspection/*.py"),
    ]
    for path in sorted(files):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:32]


class Lines:
    """Lines by visit. `made_by` names what they were made with; `kind` is their dataclass.

    Nothing here raises: a disk that fails costs time and no page.
    """

    def __init__(self, path: Path, kind: type[Any], made_by: Callable[[], str]) -> None:
        self._path = path
        self._encode = msgspec.json.Encoder().encode
        self._decode = msgspec.json.Decoder(kind).decode
        self._name = made_by
        self._made_by = ""
        self._lock = threading.Lock()
        self._open: sqlite3.Connection | None = None
        self._broken = False

    def held(self, visits: Collection[str]) -> dict[str, tuple[Key, Any]]:
        """What is kept of these visits, with the key under which each was kept."""
        found: dict[str, tuple[Key, Any]] = {}
        asked = list(visits)
        for first in range(0, len(asked), 500):
            part = asked[first : first + 500]
            marks = ",".join("?" * len(part))
            rows = self._run(
                "select visit, last_at, events, ordered, day, line from line "
                f"where made_by = ? and visit in ({marks})",
                (self._maker(), *part),
            )
            for visit, last_at, events, ordered, day, line in rows:
                with suppress(msgspec.DecodeError):  # of another version: made anew
                    found[visit] = ((last_at, events, ordered, day), self._decode(line))
        return found

    def keep(self, visit: str, key: Key, line: Any) -> None:
        """Keep one line instead of the visit's last."""
        self._run(
            "insert or replace into line values (?, ?, ?, ?, ?, ?, ?)",
            (visit, *key, self._maker(), self._encode(line)),
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
            self._made_by = self._name()
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
            opened = sqlite3.connect(self._path, check_same_thread=False, isolation_level=None)
            self._open = opened
            # lost at a power cut, it is made anew; what was forgotten must not stay in the file
            opened.execute("pragma synchronous = off")
            opened.execute("pragma secure_delete = on")
            opened.execute(_TABLE)
        return self._open

    def _begin_again(self, last: bool) -> None:
        if self._open is not None:
            with suppress(sqlite3.Error):
                self._open.close()
            self._open = None
        self._broken = last
        with suppress(OSError):
            self._path.unlink(missing_ok=True)
