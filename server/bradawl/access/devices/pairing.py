"""Pairing a phone: it asks, shows a code, and a person with the right to do so approves.

The code alone is worthless: the token goes only to who holds the 256-bit secret that the asking
phone was given. The code is what ties the approval to the phone in the hand, the four words are
what a person compares. Until an approved phone has fetched its token, nothing changes for a phone
that is paired already, whatever was asked under its id.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, cast

from sqlalchemy import ColumnElement, Engine, delete, update
from sqlalchemy import text as sql_text
from sqlmodel import Session, col, select

from bradawl.access.core import tokens
from bradawl.access.core.client import address_group
from bradawl.access.core.models import AN_OWNER_SIGNS_IN
from bradawl.access.core.tables import DeviceRow, PairingRow, PersonRow
from bradawl.access.core.transactions import reading, writing
from bradawl.common.errors import ApiError
from bradawl.language import message

LIFE_MS = 5 * 60_000
#: How many requests may wait, of one address and of all. They take a row each and no more.
WAITING_EACH = 5
WAITING = 500
#: A phone asks every two seconds how it stands; one that did within this time is not given up.
LIVING_MS = 15_000

State = Literal["waiting", "approved", "refused", "expired", "done"]


def pairing_text(device: str) -> str:
    """What a phone signs to show that an id is its own."""
    return f"bradawl-pair-2\n{device}"


@dataclass(frozen=True)
class Asked:
    """What the asking phone is told."""

    code: str
    words: str
    secret: str
    seconds_left: int


@dataclass(frozen=True)
class Waiting:
    """A waiting phone as the desk shows it; `rivals` are addresses that ask under the same id."""

    ticket: str
    device: str
    name: str
    words: str
    address: str
    seconds_left: int
    rivals: tuple[str, ...]


class Pairing:
    """Pairing requests in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock
        self._lock = threading.Lock()
        #: When each request was last asked about, by its secret's hash; lost with the process.
        self._polled_ms: dict[str, int] = {}

    def ask(self, device: str, name: str, address: str) -> Asked:
        """Note a phone's wish. Raises ApiError 429 where no request can make room for it."""
        now = self._clock()
        secret = tokens.new_token()
        code = tokens.new_code()
        words = tokens.words_for(secret, device, name)
        with writing(self._engine) as session:
            # Those far ahead were made under a clock that stood wrong.
            session.exec(
                delete(PairingRow).where(
                    (col(PairingRow.expires_ms) <= now - LIFE_MS)
                    | (col(PairingRow.expires_ms) > now + LIFE_MS)
                )
            )
            rows = session.exec(
                select(PairingRow.secret_hash, PairingRow.address)
                .where(PairingRow.state == "waiting", col(PairingRow.expires_ms) > now)
                .order_by(col(PairingRow.expires_ms), col(PairingRow.secret_hash))
            ).all()
            gone = _who_makes_room(rows, address, self._living(rows, now))
            session.exec(delete(PairingRow).where(col(PairingRow.secret_hash) == gone))
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
        waits = (col(PairingRow.state) == "waiting") & (col(PairingRow.expires_ms) > now)
        with reading(self._engine) as session:
            row = session.exec(select(PairingRow).where(condition, waits)).first()
            if row is None:
                return None
            rivals = session.exec(
                select(PairingRow.address).where(
                    waits,
                    PairingRow.device == row.device,
                    PairingRow.secret_hash != row.secret_hash,
                )
            ).all()
        return Waiting(
            ticket=row.secret_hash,
            device=row.device,
            name=row.name,
            words=row.words,
            address=row.address,
            seconds_left=max(1, (row.expires_ms - now) // 1000),
            rivals=tuple(sorted(set(rivals))),
        )

    def state_of(self, ticket: str) -> State | None:
        """How the request of a ticket stands, or None when nothing is known of it any more."""
        with reading(self._engine) as session:
            row = session.get(PairingRow, ticket)
        return None if row is None else _state(row, self._clock())

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
        """Approve for a person's id, or refuse with None; False when it no longer waits.

        An approval ends every other request under the same id: one approval, one phone.
        """
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
            row = session.get(PairingRow, ticket)
            if changed.rowcount == 1 and row is not None and approve_for is not None:
                session.exec(
                    update(PairingRow)
                    .where(
                        col(PairingRow.device) == row.device,
                        col(PairingRow.state).in_(("waiting", "approved")),
                        col(PairingRow.secret_hash) != ticket,
                    )
                    .values(state="expired")
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
        with reading(self._engine) as session:
            row = session.get(PairingRow, wanted)
        if row is None:
            return None
        state = _state(row, now)
        if state == "waiting":
            with self._lock:
                self._polled_ms[wanted] = now
        if state != "approved" or row.person_id is None:
            return ("expired" if state == "done" else state), None
        with writing(self._engine) as session:
            # The one change that only one of two simultaneous polls can make.
            taken = session.exec(
                update(PairingRow)
                .where(col(PairingRow.secret_hash) == wanted, col(PairingRow.state) == "approved")
                .values(state="done")
            )
            if taken.rowcount != 1 or not _may_have_a_phone(session, row.person_id):
                return "expired", None
            return "approved", _pair(session, row.device, row.name, row.person_id, now)

    def pair_new(self, device: str, name: str, person: str) -> str | None:
        """Pair without asking; the new token.

        None, and nothing is changed, once an owner can sign in, and for an id that was paired
        before or is being asked for.
        """
        with writing(self._engine) as session:
            rows = session.exec(
                select(PairingRow.secret_hash).where(
                    PairingRow.device == device,
                    col(PairingRow.state).in_(("waiting", "approved")),
                    col(PairingRow.expires_ms) > self._clock(),
                )
            ).first()
            shut = session.connection().execute(sql_text(AN_OWNER_SIGNS_IN)).first()
            if rows or shut or session.get(DeviceRow, device) is not None:
                return None
            return _pair(session, device, name, person, self._clock())

    def pair_at_once(self, device: str, name: str, person: str) -> str:
        """Pair whatever is known of the id; the new token.

        For a command on the machine that holds the data, never for what comes over the network.
        """
        with writing(self._engine) as session:
            token = _pair(session, device, name, person, self._clock())
            return token

    def _living(self, rows: Sequence[tuple[str, str]], now: int) -> set[str]:
        """Those of the requests (ticket, address) whose phones are still asking."""
        with self._lock:
            waiting = {ticket for ticket, _ in rows}
            self._polled_ms = {
                key: at for key, at in self._polled_ms.items() if key in waiting and at <= now
            }
            return {key for key, at in self._polled_ms.items() if now - at <= LIVING_MS}


def end_approved(session: Session, device: str) -> None:
    """End approvals under a device's id that have not led to a token yet."""
    session.exec(
        update(PairingRow)
        .where(col(PairingRow.device) == device, col(PairingRow.state) == "approved")
        .values(state="expired")
    )


def _who_makes_room(rows: Sequence[tuple[str, str]], address: str, living: set[str]) -> str:
    """Which request ends for one more from `address`: its ticket, or "" where there is room.

    `rows` are those that wait (ticket, address), the oldest first. One whose phone still asks is
    never ended by another's: so strangers get one another's places, and those of the largest
    crowd go first. Raises ApiError.
    """
    candidates = [ticket for ticket, other in rows if other == address]
    if len(candidates) < WAITING_EACH:
        if len(rows) < WAITING:
            return ""
        groups = [address_group(other) for _, other in rows]
        crowd = Counter(groups)
        ranked = sorted(zip(groups, rows, strict=True), key=lambda pair: -crowd[pair[0]])
        candidates = [ticket for _, (ticket, _) in ranked]
    for ticket in candidates:
        if ticket not in living:
            return ticket
    raise ApiError(
        "too_many",
        message("access-wait-phones"),
        429,
        headers={"Retry-After": str(LIFE_MS // 1000)},
    )


def _state(row: PairingRow, now: int) -> State:
    if row.state in ("waiting", "approved") and row.expires_ms <= now:
        return "expired"
    return cast(State, row.state)


def _may_have_a_phone(session: Session, person: str) -> bool:
    """Whether the person is still here: much can happen between an approval and its token."""
    row = session.get(PersonRow, person)
    return row is not None and row.disabled_ms is None and row.role != "reader"


def _pair(session: Session, device: str, name: str, person: str, now: int) -> str:
    """Give a device a new token; one that is known keeps the name by which the desk knows it."""
    token = tokens.new_token()
    row = session.get(DeviceRow, device)
    if row is None:
        row = DeviceRow(id=device, name=name, person_id=person, paired_ms=now, seen_ms=now)
    row.person_id = person
    row.token_hash = tokens.digest(token)
    row.paired_ms = now
    row.seen_ms = now
    row.revoked_ms = None
    session.add(row)
    return token
