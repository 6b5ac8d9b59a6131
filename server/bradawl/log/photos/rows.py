"""The rows of photos: those of uploads that end together are written in one commit.

Before it the names of their files are made durable: no row without its file. Both wait for the
disk. Whoever comes while another's wait is under way leaves its row and waits; the next to have
its turn does it for all that were left.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from threading import Lock
from typing import Any

from sqlalchemy import Engine, text

from bradawl.database.connection import Prepared, writing
from bradawl.log.format.tables import PHOTOS

_NAMES = [column.name for column in PHOTOS.columns]
# A statement of both databases: SQLAlchemy has one for each, and neither compiles for the other.
_ADD = text(
    f"INSERT INTO {PHOTOS.name} ({', '.join(_NAMES)}) "
    f"VALUES ({', '.join(f':{name}' for name in _NAMES)}) ON CONFLICT (sha256) DO NOTHING"
)


class _Row:
    """A row that waits to be written, and what became of it."""

    def __init__(self, values: dict[str, Any]) -> None:
        self.values = values
        self.new: bool | None = None
        self.error: BaseException | None = None


class PhotoRows:
    """Writes rows into `PHOTOS`; used by many threads at once."""

    def __init__(self, engine: Engine, settle: Callable[[Sequence[str]], None]) -> None:
        self._engine = engine
        self._settle = settle
        self._add = Prepared(engine, _ADD)
        self._waiting: deque[_Row] = deque()
        self._turn = Lock()

    def add(self, values: dict[str, Any]) -> bool:
        """Write a row by column name; False when the photo has one. On the disk when it returns.

        Raises what the database raised, for every row that it was asked to write together.
        """
        row = _Row(values)
        self._waiting.append(row)
        with self._turn:
            if row.new is None and row.error is None:
                self._write_waiting()
        if row.error is not None:
            raise row.error
        assert row.new is not None
        return row.new

    def _write_waiting(self) -> None:
        rows = [self._waiting.popleft() for _ in range(len(self._waiting))]
        try:
            self._settle([row.values["sha256"] for row in rows])
            with writing(self._engine) as connection:
                added = [self._add.run(connection, row.values).rowcount == 1 for row in rows]
        except BaseException as error:
            for row in rows:
                row.error = error
            return
        for row, new in zip(rows, added, strict=True):
            row.new = new
