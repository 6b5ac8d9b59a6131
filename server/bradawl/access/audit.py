"""The audit trail: who did what to what, when and from where. It has no delete."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Engine
from sqlmodel import col, select

from bradawl.access.store import reading, writing
from bradawl.access.tables import AuditRow

#: Nobody signed in: a phone that asks, a wrong passphrase, an opened link.
NOBODY = "nobody"
#: Somebody with a shell on the server.
SHELL = "the command line"


class Audit:
    """Writes and reads the trail. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def record(self, who: str, act: str, about: str = "", address: str = "") -> None:
        """Add one line. Never pass a token, code or passphrase."""
        row = AuditRow(at_ms=self._clock(), who=who, act=act, about=about, address=address)
        with writing(self._engine) as session:
            session.add(row)

    def lines(self, *, before: int | None = None, count: int = 200) -> list[AuditRow]:
        """The newest `count` lines, or those with an id below `before`."""
        query = select(AuditRow).order_by(col(AuditRow.id).desc()).limit(count)
        if before is not None:
            query = query.where(col(AuditRow.id) < before)
        with reading(self._engine) as session:
            return list(session.exec(query))
