"""The audit trail: who did what to what, when and from where. It has no delete.

Because nothing is ever deleted, what somebody can have written by merely asking is listed line by
line only up to `LISTED_EACH_HOUR`: no stranger fills the disk, or pages between the lines that
matter.
"""

from __future__ import annotations

import logging
import threading
from collections import deque
from collections.abc import Callable, Collection
from typing import Any

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError
from sqlmodel import col, select

from bradawl.access.core.tables import AuditRow
from bradawl.access.core.transactions import reading, writing
from bradawl.common.disk_errors import cause_of
from bradawl.operations import note

logger = logging.getLogger(__name__)

#: Nobody signed in: a phone that asks, a wrong passphrase, an opened link.
NOBODY = "nobody"
#: Somebody with a shell on the server.
SHELL = "the command line"  # stored: not shown
HOUR_MS = 3_600_000
#: Of each act that anybody can cause by asking, for each server process.
LISTED_EACH_HOUR = 200
#: What the line after those is about: the others are not listed.
MORE = "…"
#: What the operational log has as a warning.
REFUSALS = frozenset(
    {
        "was refused",  # stored: not shown
        "sign-in failed",  # stored: not shown
        "one-time code failed",  # stored: not shown
        "passphrase not confirmed",  # stored: not shown
        "pairing code not known",  # stored: not shown
        "pairing closed after wrong codes",  # stored: not shown
        "pairing polled with an unknown secret",  # stored: not shown
        "report link did not open",  # stored: not shown
    }
)


class Audit:
    """Writes and reads the trail. `clock` gives milliseconds since 1970.

    An act is a code, kept as a short English phrase; `web/rendering.py` says it to a reader.
    """

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock
        self._lock = threading.Lock()
        self._lately: dict[str, deque[int]] = {}

    def record(self, who: str, act: str, about: str = "", address: str = "", **named: Any) -> None:
        """Add one line. Never pass a token, code or passphrase.

        The operational log gets who and act as well, and instead of `about`, which may be what
        somebody typed, the ids and names that are `named`.
        """
        row = AuditRow(
            at_ms=self._clock(), who=_plain(who), act=act, about=_plain(about), address=address
        )
        with writing(self._engine) as session:
            session.add(row)
        level = logging.WARNING if act in REFUSALS else logging.INFO
        note(logger, "access", act[:1].upper() + act[1:], level=level, who=who, **named)

    def record_if_possible(
        self, who: str, act: str, about: str = "", address: str = "", **named: Any
    ) -> None:
        """Add a line about what must go on where nothing can be written, such as a backup.

        The server's own log has it then.
        """
        try:
            self.record(who, act, about, address, **named)
        except (DBAPIError, OSError) as error:
            cause = cause_of(error)
            if cause is None:
                raise
            logger.warning("Not in the audit trail (%s): %s by %s", cause, act, _plain(who))

    def record_unasked(
        self, who: str, act: str, about: str = "", address: str = "", **named: Any
    ) -> None:
        """Add a line about what `who` tried, unless too many like it were added within the hour."""
        count = self._counted(act)
        if count < LISTED_EACH_HOUR:
            self.record(who, act, about, address, **named)
        elif count == LISTED_EACH_HOUR:
            self.record(NOBODY, act, MORE, why=f"> {LISTED_EACH_HOUR}/h")

    def _counted(self, act: str) -> int:
        """How many like this one there were within the hour, those that are not listed but one."""
        now = self._clock()
        with self._lock:
            times = self._lately.setdefault(act, deque())
            while times and not now - HOUR_MS < times[0] <= now:
                times.popleft()
            count = len(times)
            if count <= LISTED_EACH_HOUR:
                times.append(now)
            return count

    def lines(self, *, before: int | None = None, count: int = 200) -> list[AuditRow]:
        """The newest `count` lines, or those with an id below `before`."""
        query = select(AuditRow).order_by(col(AuditRow.id).desc()).limit(count)
        if before is not None:
            query = query.where(col(AuditRow.id) < before)
        with reading(self._engine) as session:
            return list(session.exec(query))

    def acts(self, names: Collection[str], count: int = 50) -> list[AuditRow]:
        """The newest `count` lines of some acts."""
        query = (
            select(AuditRow)
            .where(col(AuditRow.act).in_(list(names)))
            .order_by(col(AuditRow.id).desc())
            .limit(count)
        )
        with reading(self._engine) as session:
            return list(session.exec(query))


def _plain(text: str) -> str:
    """Without what cannot be seen: no name reverses a line or imitates another's."""
    return "".join(character for character in text if character.isprintable())
