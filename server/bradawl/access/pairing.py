"""Pairing a phone: it asks, shows a code, and a person with the right to do so approves.

The code alone is worthless: the token goes only to who holds the 256-bit secret that the asking
phone was given. The code is what ties the approval to the phone in the hand, the four words are
what a person compares.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from sqlalchemy import ColumnElement, Engine, delete, update
from sqlmodel import Session, col, select

from bradawl.access import tokens
from bradawl.access.store import reading, writing
from bradawl.access.tables import DeviceRow, PairingRow
from bradawl.errors import ApiError

LIFE_MS = 5 * 60_000
#: How many phones may wait at once; more would only help somebody who floods.
WAITING = 20

State = Literal["waiting", "approved", "refused", "expired", "done"]


@dataclass(frozen=True)
class Asked:
    """What the asking phone is told."""

    code: str
    words: str
    secret: str
    seconds_left: int


@dataclass(frozen=True)
class Waiting:
    """A waiting phone as the desk shows it; `known` is the name under which it was paired."""

    ticket: str
    device: str
    name: str
    words: str
    address: str
    seconds_left: int
    known: str


class Pairing:
    """Pairing requests in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def ask(self, device: str, name: str, address: str) -> Asked:
        """Note a phone's wish. A second wish of the same device replaces the first."""
        now = self._clock()
        secret = tokens.new_token()
        code = tokens.new_code()
        words = tokens.words_for(secret, device, name)
        with writing(self._engine) as session:
            session.exec(
                delete(PairingRow).where(
                    (col(PairingRow.expires_ms) <= now - LIFE_MS)
                    | (
                        (col(PairingRow.device) == device)
                        & (col(PairingRow.address) == address)
                        & (col(PairingRow.state) == "waiting")
                    )
                )
            )
            waiting = session.exec(
                select(PairingRow.secret_hash).where(
                    PairingRow.state == "waiting", col(PairingRow.expires_ms) > now
                )
            ).all()
            if len(waiting) >= WAITING:
                raise ApiError(
                    "too_many",
                    "Too many phones are waiting to be paired. Try again in five minutes.",
                    429,
                    headers={"Retry-After": str(LIFE_MS // 1000)},
                )
            session.add(
                PairingRow(
                    secret_hash=tokens.digest(secret),
                    code_hash=tokens.digest(tokens.plain_code(code)),
                    words=words,
                    device=device,
                    name=name,
                    address=address,
                    state="waiting",
                    expires_ms=now + LIFE_MS,
                )
            )
        return Asked(code, words, secret, LIFE_MS // 1000)

    def find(self, code: str) -> Waiting | None:
        """The waiting phone that shows `code`, or None."""
        wanted = tokens.digest(tokens.plain_code(code))
        return self._waiting(col(PairingRow.code_hash) == wanted)

    def waiting(self, ticket: str) -> Waiting | None:
        """The waiting phone of a ticket that `find` gave, or None when its time is over."""
        return self._waiting(col(PairingRow.secret_hash) == ticket)

    def _waiting(self, condition: ColumnElement[bool]) -> Waiting | None:
        now = self._clock()
        with reading(self._engine) as session:
            row = session.exec(
                select(PairingRow).where(
                    condition,
                    PairingRow.state == "waiting",
                    col(PairingRow.expires_ms) > now,
                )
            ).first()
            if row is None:
                return None
            known = session.get(DeviceRow, row.device)
            return Waiting(
                ticket=row.secret_hash,
                device=row.device,
                name=row.name,
                words=row.words,
                address=row.address,
                seconds_left=max(1, (row.expires_ms - now) // 1000),
                known=known.name if known else "",
            )

    def approved(self) -> list[str]:
        """Names of phones that were approved and have not fetched their token yet."""
        with reading(self._engine) as session:
            return list(
                session.exec(
                    select(PairingRow.name).where(
                        PairingRow.state == "approved", col(PairingRow.expires_ms) > self._clock()
                    )
                )
            )

    def answer(self, ticket: str, *, approve_for: str | None) -> bool:
        """Approve for a person's id, or refuse with None; False when it no longer waits."""
        with writing(self._engine) as session:
            changed = session.exec(
                update(PairingRow)
                .where(
                    col(PairingRow.secret_hash) == ticket,
                    col(PairingRow.state) == "waiting",
                    col(PairingRow.expires_ms) > self._clock(),
                )
                .values(
                    state="refused" if approve_for is None else "approved", person_id=approve_for
                )
            )
            return changed.rowcount == 1

    def close_all(self) -> int:
        """End every waiting request, as after too many wrong codes; how many there were."""
        with writing(self._engine) as session:
            changed = session.exec(
                update(PairingRow).where(col(PairingRow.state) == "waiting").values(state="expired")
            )
            return changed.rowcount

    def poll(self, secret: str) -> tuple[State, str | None] | None:
        """The state for the phone with `secret`, with a new token the one time it is approved.

        None when no request has that secret.
        """
        now = self._clock()
        wanted = tokens.digest(secret)
        with writing(self._engine) as session:
            row = session.get(PairingRow, wanted)
            if row is None:
                return None
            if row.state == "refused":
                return "refused", None
            if row.state == "done" or row.expires_ms <= now or row.state == "expired":
                return "expired", None
            if row.state == "waiting" or row.person_id is None:
                return "waiting", None
            device, name, person = row.device, row.name, row.person_id
            # The one change that only one of two simultaneous polls can make.
            taken = session.exec(
                update(PairingRow)
                .where(col(PairingRow.secret_hash) == wanted, col(PairingRow.state) == "approved")
                .values(state="done")
            )
            if taken.rowcount != 1:
                return "expired", None
            token = _pair(session, device, name, person, now)
            return "approved", token

    def pair_at_once(self, device: str, name: str, person: str) -> str:
        """Pair without asking (this machine only); the new token."""
        with writing(self._engine) as session:
            token = _pair(session, device, name, person, self._clock())
            return token


def _pair(session: Session, device: str, name: str, person: str, now: int) -> str:
    token = tokens.new_token()
    row = session.get(DeviceRow, device)
    if row is None:
        row = DeviceRow(id=device, name=name, person_id=person, paired_ms=now, seen_ms=now)
    row.name = name
    row.person_id = person
    row.token_hash = tokens.digest(token)
    row.paired_ms = now
    row.seen_ms = now
    row.revoked_ms = None
    session.add(row)
    return token
