"""Rate limits that outlive a restart: every counted attempt is a row."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine, delete, func
from sqlmodel import Session, col, select

from bradawl.access.store import reading, writing
from bradawl.access.tables import AttemptRow
from bradawl.access.tokens import digest
from bradawl.errors import ApiError

MINUTE_MS = 60_000


@dataclass(frozen=True)
class Limit:
    """At most `each` attempts per address and `all` together within `window_ms`."""

    name: str
    each: int
    all: int
    window_ms: int


PAIRING = Limit("pairing", each=10, all=60, window_ms=10 * MINUTE_MS)
POLL_MISS = Limit("poll-miss", each=20, all=200, window_ms=10 * MINUTE_MS)
CODE_MISS = Limit("code-miss", each=5, all=5, window_ms=5 * MINUTE_MS)
SIGN_IN_MISS = Limit("sign-in-miss", each=10, all=60, window_ms=15 * MINUTE_MS)
INVITATION_MISS = Limit("invitation-miss", each=10, all=60, window_ms=15 * MINUTE_MS)
#: Each opening lays a PDF out and signs it.
LINK_OPEN = Limit("link-open", each=20, all=60, window_ms=10 * MINUTE_MS)
LINK_MISS = Limit("link-miss", each=20, all=200, window_ms=10 * MINUTE_MS)


def address_group(address: str) -> str:
    """What counts as one client: an IPv4 address, or the /64 of an IPv6 address."""
    try:
        parsed = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(parsed, ipaddress.IPv6Address):
        if parsed.ipv4_mapped is not None:
            return str(parsed.ipv4_mapped)
        return str(ipaddress.ip_network((parsed, 64), strict=False))
    return str(parsed)


class Limits:
    """Counts attempts in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def check(self, limit: Limit, address: str) -> None:
        """Raise ApiError 429 when the limit is used up; count nothing."""
        with reading(self._engine) as session:
            self._refuse_over(session, limit, address)

    def count(self, limit: Limit, address: str) -> None:
        """Count one attempt, or raise ApiError 429 when the limit is used up."""
        now = self._clock()
        # On SQLite this is one step under the write lock. On PostgreSQL simultaneous requests
        # may overshoot by as many as run at once, which no limit here depends on.
        with writing(self._engine) as session:
            self._refuse_over(session, limit, address)
            session.exec(
                delete(AttemptRow).where(
                    col(AttemptRow.key).startswith(limit.name + "/"),
                    col(AttemptRow.at_ms) <= now - limit.window_ms,
                )
            )
            session.add(AttemptRow(key=self._key(limit, address), at_ms=now))

    def used(self, limit: Limit) -> int:
        """How many attempts of all addresses count at present."""
        since = self._clock() - limit.window_ms
        with reading(self._engine) as session:
            return self._used(session, limit.name + "/", since, whole=False)[0]

    def _refuse_over(self, session: Session, limit: Limit, address: str) -> None:
        now = self._clock()
        since = now - limit.window_ms
        for key, allowed, whole in (
            (self._key(limit, address), limit.each, True),
            (limit.name + "/", limit.all, False),
        ):
            used, oldest = self._used(session, key, since, whole=whole)
            if used >= allowed:
                wait_s = max(1, (oldest + limit.window_ms - now + 999) // 1000)
                minutes = -(-wait_s // 60)
                raise ApiError(
                    "too_many",
                    f"Too many attempts. Try again in {minutes} "
                    f"minute{'' if minutes == 1 else 's'}.",
                    429,
                    headers={"Retry-After": str(wait_s)},
                    seconds_left=wait_s,
                )

    @staticmethod
    def _used(session: Session, key: str, since: int, *, whole: bool) -> tuple[int, int]:
        same_key = col(AttemptRow.key) == key if whole else col(AttemptRow.key).startswith(key)
        query = select(func.count(), func.min(AttemptRow.at_ms)).where(
            same_key, col(AttemptRow.at_ms) > since
        )
        used, oldest = session.exec(query).one()
        return int(used), int(oldest or 0)

    @staticmethod
    def _key(limit: Limit, address: str) -> str:
        # Hashed: the table needs to tell addresses apart, not to know them.
        return f"{limit.name}/{digest(address_group(address))[:32]}"
