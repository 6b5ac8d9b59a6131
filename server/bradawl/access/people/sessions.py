"""Sign-ins at the desk: begun with a passphrase, listed, ended one by one or all at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine, delete, update
from sqlmodel import col, select

from bradawl.access.core import tokens
from bradawl.access.core.models import Person
from bradawl.access.core.tables import InvitationRow, PersonRow, SessionRow
from bradawl.access.core.transactions import note, reading, writing
from bradawl.access.people import passphrases
from bradawl.access.people.directory import person_of

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
#: A session ends after this long without a request, and in any case after the second.
SESSION_IDLE_MS = 12 * HOUR_MS
SESSION_LIFE_MS = 7 * 24 * HOUR_MS
#: For how long a typed passphrase allows what asks for it again.
CONFIRMED_MS = 10 * MINUTE_MS
SEEN_EVERY_MS = MINUTE_MS


@dataclass(frozen=True)
class SignedIn:
    """A session: whose it is, whether the passphrase was typed a moment ago, and its id.

    The id is empty where nobody had to sign in.
    """

    person: Person
    confirmed: bool
    session: str = ""


@dataclass(frozen=True)
class ListedSession:
    """A living sign-in as the desk lists it; times are milliseconds since 1970."""

    id: str
    person_id: str
    person: str
    browser: str
    address: str
    since_ms: int
    seen_ms: int


class Sessions:
    """Sessions in the database, each under the hash of its token.

    `clock` gives milliseconds since 1970.
    """

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def begin(self, person: Person, browser: str = "", address: str = "") -> str:
        """A new session; the token for the cookie. `browser` in words, such as Safari on iPhone."""
        token = tokens.new_token()
        now = self._clock()
        with writing(self._engine) as session:
            session.exec(
                delete(SessionRow).where(
                    (col(SessionRow.created_ms) <= now - SESSION_LIFE_MS)
                    | (col(SessionRow.seen_ms) <= now - SESSION_IDLE_MS)
                )
            )
            session.add(
                SessionRow(
                    token_hash=tokens.digest(token),
                    person_id=person.id,
                    created_ms=now,
                    seen_ms=now,
                    confirmed_ms=now,
                    browser=browser,
                    address=address,
                )
            )
        return token

    def signed_in(self, token: str) -> SignedIn | None:
        """The living session of a token."""
        now = self._clock()
        wanted = tokens.digest(token)
        with reading(self._engine) as session:
            row = session.get(SessionRow, wanted)
            if row is None:
                return None
            owner = session.get(PersonRow, row.person_id)
        if owner is None or owner.disabled_ms is not None or not _lives(row, now):
            return None
        if row.seen_ms + SEEN_EVERY_MS <= now:
            seen = update(SessionRow).where(col(SessionRow.token_hash) == wanted)
            note(self._engine, seen.values(seen_ms=now))
        return SignedIn(person_of(owner), row.confirmed_ms + CONFIRMED_MS > now, wanted)

    def person_of(self, token: str) -> str | None:
        """Whose session it is or was, as long as that is remembered; None for an unknown token."""
        with reading(self._engine) as session:
            row = session.get(SessionRow, tokens.digest(token))
            return None if row is None else row.person_id

    def confirm(self, token: str, passphrase: str) -> bool:
        """Note that the session's person typed the passphrase again, if it is right."""
        wanted = tokens.digest(token)
        with reading(self._engine) as session:
            row = session.get(SessionRow, wanted)
            owner = session.get(PersonRow, row.person_id) if row else None
        if owner is None or not passphrases.matches(passphrase, owner.passphrase):
            return False
        with writing(self._engine) as session:
            session.exec(
                update(SessionRow)
                .where(col(SessionRow.token_hash) == wanted)
                .values(confirmed_ms=self._clock())
            )
        return True

    def living(self, person_id: str | None = None) -> list[ListedSession]:
        """Every sign-in that still holds, of one person or of all, the last used first."""
        now = self._clock()
        query = select(SessionRow, PersonRow.name).join(
            PersonRow, col(PersonRow.id) == col(SessionRow.person_id)
        )
        if person_id is not None:
            query = query.where(SessionRow.person_id == person_id)
        with reading(self._engine) as session:
            rows = session.exec(query).all()
        listed = [
            ListedSession(
                row.token_hash,
                row.person_id,
                name,
                row.browser,
                row.address,
                row.created_ms,
                row.seen_ms,
            )
            for row, name in rows
            if _lives(row, now)
        ]
        return sorted(listed, key=lambda session: (-session.seen_ms, session.id))

    def end(self, token: str) -> None:
        """Sign out."""
        with writing(self._engine) as session:
            session.exec(
                delete(SessionRow).where(col(SessionRow.token_hash) == tokens.digest(token))
            )

    def end_listed(self, session_id: str, of: str | None = None) -> ListedSession | None:
        """End a listed sign-in at once, only of the person `of` if given; None when it is over."""
        listed = next((session for session in self.living(of) if session.id == session_id), None)
        if listed is not None:
            with writing(self._engine) as session:
                session.exec(delete(SessionRow).where(col(SessionRow.token_hash) == session_id))
        return listed

    def end_others(self, person_id: str, token: str) -> int:
        """Sign a person out everywhere but here; how many sign-ins ended."""
        with writing(self._engine) as session:
            ended = session.exec(
                delete(SessionRow).where(
                    col(SessionRow.person_id) == person_id,
                    col(SessionRow.token_hash) != tokens.digest(token),
                )
            )
            return ended.rowcount

    def end_all(self) -> None:
        """Sign everybody out and end every one-time code, as after a restore."""
        with writing(self._engine) as session:
            session.exec(delete(SessionRow))
            session.exec(delete(InvitationRow))


def _lives(row: SessionRow, now: int) -> bool:
    return row.created_ms + SESSION_LIFE_MS > now and row.seen_ms + SESSION_IDLE_MS > now
