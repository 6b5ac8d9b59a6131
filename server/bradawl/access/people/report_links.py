"""Links by which somebody without a login fetches one report.

The address is `/r/ID#KEY`. What follows `#` never leaves the browser by itself: it is in no log,
no `Referer` and no preview robot's request. The page posts it, and the answer is the file.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine, update
from sqlmodel import col, select

from bradawl.access.core import tokens
from bradawl.access.core.tables import LinkRow
from bradawl.access.core.transactions import reading, writing
from bradawl.access.people.directory import EDITIONS
from bradawl.common.errors import ApiError
from bradawl.language import listed, message

DAY_MS = 24 * 3600 * 1000
LIVES_DAYS = (7, 30, 90)


@dataclass(frozen=True)
class NewLink:
    """A link that was just made: `path` with the key, shown once and kept nowhere."""

    id: str
    path: str


class Links:
    """Links in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def make(self, visit: str, edition: str, label: str, days: int) -> NewLink:
        """A link to one edition of one visit's report. Raises ApiError."""
        if edition not in EDITIONS:
            raise ApiError("edition", message("access-bad-edition"), 422)
        if days not in LIVES_DAYS:
            lives = listed([str(days) for days in LIVES_DAYS], last="or")
            raise ApiError("days", message("access-bad-days", days=lives), 422)
        tidy = " ".join(label.split())
        if not 1 <= len(tidy) <= 60 or not tidy.isprintable():
            raise ApiError("label", message("access-bad-label"), 422)
        now = self._clock()
        key = tokens.new_token()
        row = LinkRow(
            id=tokens.new_id(),
            token_hash=tokens.digest(key),
            visit=visit,
            edition=edition,
            label=tidy,
            created_ms=now,
            expires_ms=now + days * DAY_MS,
        )
        with writing(self._engine) as session:
            session.add(row)
        return NewLink(row.id, f"/r/{row.id}#{key}")

    def of(self, visit: str) -> list[LinkRow]:
        """Every link that was made to a visit's report, the newest first."""
        with reading(self._engine) as session:
            query = select(LinkRow).where(LinkRow.visit == visit)
            return list(session.exec(query.order_by(col(LinkRow.created_ms).desc())))

    def alive(self, row: LinkRow) -> bool:
        """Whether the link still opens."""
        return row.revoked_ms is None and row.expires_ms > self._clock()

    def open(self, link: str, key: str) -> LinkRow | None:
        """The link, when the key is its own and it still opens."""
        with reading(self._engine) as session:
            row = session.get(LinkRow, link)
        # Compared even for an unknown link, so that both take as long.
        right = tokens.same(tokens.digest(key), row.token_hash if row else "")
        return row if row is not None and right and self.alive(row) else None

    def count_opened(self, link: str) -> None:
        """Note that the file was handed out."""
        with writing(self._engine) as session:
            session.exec(
                update(LinkRow).where(col(LinkRow.id) == link).values(opened=LinkRow.opened + 1)
            )

    def revoke(self, link: str) -> LinkRow:
        """Close a link at once. Raises ApiError 404."""
        with writing(self._engine) as session:
            row = session.get(LinkRow, link)
            if row is None:
                raise ApiError("unknown_link", message("access-unknown-link"), 404)
            if row.revoked_ms is None:
                row.revoked_ms = self._clock()
                session.add(row)
        return row
