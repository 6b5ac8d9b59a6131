"""Rate limits and delays that outlive a restart: every counted attempt is a row.

Everything is counted by source: a client's address, a browser, a sign-in. Nothing is counted for
all sources together, because a few strangers could use such a count up and shut out those who
have a right to come in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine, delete
from sqlmodel import Session, col, select

from bradawl.access.core.tables import AttemptRow
from bradawl.access.core.tokens import digest
from bradawl.access.core.transactions import reading, writing
from bradawl.common.errors import ApiError
from bradawl.language import message

MINUTE_MS = 60_000
DAY_MS = 24 * 60 * MINUTE_MS
#: Every so many attempts, those of every source are looked through for what no longer counts.
SWEEP_EVERY = 256


@dataclass(frozen=True)
class Limit:
    """At most `each` attempts of one source within `window_ms`."""

    name: str
    each: int
    window_ms: int


@dataclass(frozen=True)
class Delay:
    """A wait before every attempt of a source that missed `free` times within `window_ms`.

    The first wait is `first_ms`, each further one twice as long, and none beyond `longest_ms`.
    """

    name: str
    free: int
    first_ms: int
    longest_ms: int
    window_ms: int

    def after_ms(self, misses: int) -> int:
        """How long after the last of so many misses the next attempt may be made."""
        if misses < self.free:
            return 0
        return min(self.longest_ms, self.first_ms << min(misses - self.free, 32))


PAIRING = Limit("pairing", each=10, window_ms=10 * MINUTE_MS)
POLL_MISS = Limit("poll-miss", each=20, window_ms=10 * MINUTE_MS)
CODE_MISS = Limit("code-miss", each=5, window_ms=5 * MINUTE_MS)
INVITATION_MISS = Limit("invitation-miss", each=10, window_ms=15 * MINUTE_MS)
#: Each opening lays a PDF out and signs it.
LINK_OPEN = Limit("link-open", each=20, window_ms=10 * MINUTE_MS)
LINK_MISS = Limit("link-miss", each=20, window_ms=10 * MINUTE_MS)
PASSPHRASE = Delay(
    "passphrase", free=5, first_ms=10_000, longest_ms=15 * MINUTE_MS, window_ms=DAY_MS
)
KINDS: tuple[Limit | Delay, ...] = (
    PAIRING,
    POLL_MISS,
    CODE_MISS,
    INVITATION_MISS,
    LINK_OPEN,
    LINK_MISS,
    PASSPHRASE,
)


@dataclass(frozen=True)
class Attempt:
    """An attempt that counts as a miss until it is taken back, and how many its source had."""

    id: int
    key: str
    misses: int


class Limits:
    """Counts attempts in the database. `clock` gives milliseconds since 1970.

    Attempts that lie in the future were made under a clock that stood wrong; they do not count.
    """

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def check(self, limit: Limit, source: str) -> None:
        """Raise ApiError 429 when the limit is used up; count nothing."""
        with reading(self._engine) as session:
            self._refuse_over(session, limit, source)

    def count(self, limit: Limit, source: str) -> None:
        """Count one attempt, or raise ApiError 429 when the limit is used up."""
        # On SQLite this is one step under the write lock. On PostgreSQL simultaneous requests
        # may overshoot by as many as run at once, which no limit here depends on.
        with writing(self._engine) as session:
            self._refuse_over(session, limit, source)
            self._add(session, limit, source)

    def used(self, limit: Limit, source: str) -> int:
        """How many attempts of a source count at present."""
        with reading(self._engine) as session:
            return len(self._times(session, limit, source))

    def begin(self, delay: Delay, source: str) -> Attempt:
        """Count an attempt as a miss before it is looked at, so that none runs beside another.

        Raises ApiError 429 while the source has to wait; that counts nothing.
        """
        # Read first: a source that has to wait must not take the write lock to be told so.
        with reading(self._engine) as session:
            self._refuse_early(session, delay, source)
        with writing(self._engine) as session:
            misses = self._refuse_early(session, delay, source)
            return Attempt(self._add(session, delay, source), _key(delay, source), misses)

    def take_back(self, attempt: Attempt) -> None:
        """What was begun was no miss."""
        with writing(self._engine) as session:
            # by its key, too: a row's number is given again once the row is gone
            session.exec(
                delete(AttemptRow).where(
                    col(AttemptRow.id) == attempt.id, col(AttemptRow.key) == attempt.key
                )
            )

    def forgive(self, delay: Delay, source: str) -> None:
        """The source has shown whose it is: none of its misses counts any more."""
        with writing(self._engine) as session:
            key = _key(delay, source)
            session.exec(delete(AttemptRow).where(col(AttemptRow.key) == key))

    def _refuse_over(self, session: Session, limit: Limit, source: str) -> None:
        times = self._times(session, limit, source)
        if len(times) >= limit.each:
            raise _too_many(times[-limit.each] + limit.window_ms - self._clock())

    def _refuse_early(self, session: Session, delay: Delay, source: str) -> int:
        times = self._times(session, delay, source)
        wait_ms = times[-1] + delay.after_ms(len(times)) - self._clock() if times else 0
        if wait_ms > 0:
            raise _too_many(wait_ms)
        return len(times)

    def _times(self, session: Session, what: Limit | Delay, source: str) -> list[int]:
        """When the attempts were made that count at present, in order."""
        now = self._clock()
        query = (
            select(AttemptRow.at_ms)
            .where(
                AttemptRow.key == _key(what, source),
                col(AttemptRow.at_ms) > now - what.window_ms,
                col(AttemptRow.at_ms) <= now,
            )
            .order_by(col(AttemptRow.at_ms))
        )
        return list(session.exec(query))

    def _add(self, session: Session, what: Limit | Delay, source: str) -> int:
        now = self._clock()
        row = AttemptRow(key=_key(what, source), at_ms=now)
        session.add(row)
        session.flush()
        assert row.id is not None
        if row.id % SWEEP_EVERY == 0:
            _sweep(session, now)
        return row.id


def _sweep(session: Session, now: int) -> None:
    """Delete what does not count any more, of every source."""
    for kind in KINDS:
        session.exec(
            delete(AttemptRow).where(
                col(AttemptRow.key).startswith(f"{kind.name}/"),
                (col(AttemptRow.at_ms) <= now - kind.window_ms) | (col(AttemptRow.at_ms) > now),
            )
        )


def _key(what: Limit | Delay, source: str) -> str:
    # Hashed: the table needs to tell sources apart, not to know them.
    return f"{what.name}/{digest(source)[:32]}"


def _too_many(wait_ms: int) -> ApiError:
    wait_s = max(1, -(-wait_ms // 1000))
    said = (
        message("access-wait-seconds", count=wait_s)
        if wait_s <= 90
        else message("access-wait-minutes", count=-(-wait_s // 60))
    )
    return ApiError(
        "too_many",
        said,
        429,
        headers={"Retry-After": str(wait_s)},
        seconds_left=wait_s,
    )
