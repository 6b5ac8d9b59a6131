"""Browsers in which somebody signed in before: known by a token that opens nothing.

All that it does is to tell a person's own browser from strangers: what strangers try does not
hold up a sign-in from there, and what is tried there is counted apart
(`people/passphrase_checks.py`).
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Engine, delete, update
from sqlmodel import Session, col, select

from bradawl.access.core import tokens
from bradawl.access.core.tables import BrowserRow
from bradawl.access.core.transactions import reading, writing

DAY_MS = 24 * 3600 * 1000
#: Browsers keep a cookie for at most about 400 days; every sign-in renews it.
BROWSER_LIFE_MS = 400 * DAY_MS
#: How many browsers are remembered of a person, the last used ones. Each is one more source of
#: guesses at that person's passphrase, for whoever gets hold of its token.
MOST = 20


class Browsers:
    """Known browsers in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def remember(self, person_id: str, token: str) -> str:
        """Note that a person signed in where `token` is kept; the new token in its place.

        Every sign-in gives a new one, so that a token which somebody else planted or copied ends.
        """
        now = self._clock()
        new = tokens.new_token()
        kept = tokens.digest(new)
        with writing(self._engine) as session:
            session.exec(delete(BrowserRow).where(col(BrowserRow.seen_ms) <= now - BROWSER_LIFE_MS))
            # Others who use the same browser stay known there.
            session.exec(
                update(BrowserRow)
                .where(col(BrowserRow.token_hash) == tokens.digest(token))
                .values(token_hash=kept)
            )
            row = session.get(BrowserRow, (kept, person_id))
            row = row or BrowserRow(token_hash=kept, person_id=person_id, seen_ms=now)
            row.seen_ms = now
            session.add(row)
            session.flush()
            for old in _of(session, person_id)[MOST:]:
                session.delete(old)
        return new

    def is_known(self, token: str, person_id: str) -> bool:
        """Whether the person signed in where `token` is kept."""
        with reading(self._engine) as session:
            row = session.get(BrowserRow, (tokens.digest(token), person_id))
        return row is not None and row.seen_ms + BROWSER_LIFE_MS > self._clock()

    def people(self, token: str) -> list[str]:
        """The ids of those who signed in where `token` is kept."""
        since = self._clock() - BROWSER_LIFE_MS
        query = select(BrowserRow.person_id).where(
            BrowserRow.token_hash == tokens.digest(token), col(BrowserRow.seen_ms) > since
        )
        with reading(self._engine) as session:
            return list(session.exec(query.order_by(col(BrowserRow.person_id))))

    def forget(self, person_id: str, but: str = "") -> None:
        """Forget a person's browsers, except the one that keeps the token `but`."""
        with writing(self._engine) as session:
            session.exec(
                delete(BrowserRow).where(
                    col(BrowserRow.person_id) == person_id,
                    col(BrowserRow.token_hash) != tokens.digest(but),
                )
            )


def _of(session: Session, person_id: str) -> list[BrowserRow]:
    """A person's browsers, the last used first."""
    query = select(BrowserRow).where(BrowserRow.person_id == person_id)
    return list(
        session.exec(query.order_by(col(BrowserRow.seen_ms).desc(), col(BrowserRow.token_hash)))
    )
