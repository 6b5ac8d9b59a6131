"""People of the desk: one-time invitations, passphrases, roles and what readers may fetch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from sqlalchemy import Engine, delete, func, update
from sqlalchemy import text as sql_text
from sqlmodel import Session, col, select

from bradawl.access.core import tokens
from bradawl.access.core.models import AN_OWNER_SIGNS_IN, ROLES, Person, Role
from bradawl.access.core.tables import (
    BrowserRow,
    DeviceRow,
    GrantRow,
    InvitationRow,
    PersonRow,
    SessionRow,
)
from bradawl.access.core.transactions import reading, writing
from bradawl.access.people import passphrases
from bradawl.common.errors import ApiError
from bradawl.database import connection as database
from bradawl.language import message

INVITATION_LIFE_MS = 24 * 3600 * 1000
EDITIONS = ("condition", "repaired", "partner")


@dataclass(frozen=True)
class Listed:
    """A person as the desk lists them."""

    id: str
    name: str
    role: Role
    can_sign_in: bool
    disabled: bool
    phones: int
    grants: tuple[tuple[str, str], ...]


def person_of(row: PersonRow) -> Person:
    return Person(row.id, row.name, cast(Role, row.role))


class People:
    """Persons in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    # Persons

    def anybody_can_sign_in(self) -> bool:
        """Whether some owner has set a passphrase."""
        with database.reading(self._engine) as connection:
            return connection.execute(sql_text(AN_OWNER_SIGNS_IN)).first() is not None

    def first_owner(self) -> Person:
        """The owner who has been here longest; made when there is none."""
        with reading(self._engine) as session:
            row = _oldest_owner(session)
        if row is None:
            with writing(self._engine) as session:
                row = _oldest_owner(session)
                if row is None:
                    row = PersonRow(
                        id=tokens.new_id(), name="Owner", role="owner", created_ms=self._clock()
                    )
                    session.add(row)
        return person_of(row)

    def person(self, person_id: str) -> Person:
        """The person with that id. Raises ApiError 404."""
        with reading(self._engine) as session:
            return person_of(_row(session, person_id))

    def everybody(self) -> list[Listed]:
        """All persons, by name; those who were shut out last."""
        with reading(self._engine) as session:
            rows = session.exec(select(PersonRow)).all()
            phones: dict[str, int] = dict(
                session.exec(
                    select(DeviceRow.person_id, func.count())
                    .where(col(DeviceRow.revoked_ms).is_(None))
                    .group_by(col(DeviceRow.person_id))
                ).all()
            )
            grants = session.exec(select(GrantRow)).all()
        listed = [
            Listed(
                id=row.id,
                name=row.name,
                role=cast(Role, row.role),
                can_sign_in=bool(row.passphrase),
                disabled=row.disabled_ms is not None,
                phones=phones.get(row.id, 0),
                grants=tuple(
                    sorted(
                        (grant.visit, grant.edition)
                        for grant in grants
                        if grant.person_id == row.id
                    )
                ),
            )
            for row in rows
        ]
        return sorted(
            listed, key=lambda person: (person.disabled, person.name.casefold(), person.id)
        )

    def add(self, name: str, role: str) -> Person:
        """A new person, who can sign in once an invitation was used. Raises ApiError."""
        if role not in ROLES:
            raise ApiError("role", message("access-unknown-role"), 422)
        with writing(self._engine) as session:
            row = PersonRow(
                id=tokens.new_id(),
                name=_free_name(session, name, ""),
                role=role,
                created_ms=self._clock(),
            )
            session.add(row)
        return person_of(row)

    def change_role(self, person_id: str, role: str) -> None:
        """Give a role. Raises ApiError when it would leave the server without an owner."""
        if role not in ROLES:
            raise ApiError("role", message("access-unknown-role"), 422)
        with writing(self._engine) as session:
            row = _row(session, person_id)
            if role != "owner":
                _require_another_owner(session, person_id)
            row.role = role
            session.add(row)
            # What a session or an open page was allowed before must not last.
            session.exec(delete(SessionRow).where(col(SessionRow.person_id) == person_id))

    def shut_out(self, person_id: str) -> None:
        """End a person's sessions, invitations and phones' tokens at once; nothing is deleted."""
        with writing(self._engine) as session:
            row = _row(session, person_id)
            _require_another_owner(session, person_id)
            now = self._clock()
            row.disabled_ms = now
            row.passphrase = ""
            session.add(row)
            session.exec(delete(SessionRow).where(col(SessionRow.person_id) == person_id))
            session.exec(delete(BrowserRow).where(col(BrowserRow.person_id) == person_id))
            session.exec(delete(InvitationRow).where(col(InvitationRow.person_id) == person_id))
            session.exec(
                update(DeviceRow)
                .where(col(DeviceRow.person_id) == person_id, col(DeviceRow.revoked_ms).is_(None))
                .values(revoked_ms=now, token_hash=None)
            )

    # Invitations

    def invite(self, person_id: str) -> str:
        """A new one-time code for a person; an earlier one of theirs stops working."""
        token = tokens.new_token()
        with writing(self._engine) as session:
            row = _row(session, person_id)
            if row.disabled_ms is not None:
                raise ApiError("shut_out", message("access-blocked", name=row.name), 409)
            session.exec(delete(InvitationRow).where(col(InvitationRow.person_id) == person_id))
            session.add(
                InvitationRow(
                    token_hash=tokens.digest(token),
                    person_id=person_id,
                    expires_ms=self._clock() + INVITATION_LIFE_MS,
                )
            )
        return token

    def invited(self, token: str) -> Person | None:
        """Whose unused, living invitation this is."""
        with reading(self._engine) as session:
            row = session.get(InvitationRow, tokens.digest(token))
            if row is None or row.used_ms is not None or row.expires_ms <= self._clock():
                return None
            return person_of(_row(session, row.person_id))

    def accept(self, token: str, name: str, passphrase: str, again: str) -> Person | None:
        """Set name and passphrase by an invitation, once; None when it is not (or no more) one.

        Ends the person's other sessions and forgets their browsers. Raises ApiError when name or
        passphrase will not do; the invitation then stays usable.
        """
        invited = self.invited(token)
        if invited is None:
            return None
        passphrases.require_good(passphrase, again, ("bradawl", "passphrase", "password", name))
        kept = passphrases.hash_of(passphrase)
        now = self._clock()
        with writing(self._engine) as session:
            used = session.exec(
                update(InvitationRow)
                .where(
                    col(InvitationRow.token_hash) == tokens.digest(token),
                    col(InvitationRow.used_ms).is_(None),
                    col(InvitationRow.expires_ms) > now,
                )
                .values(used_ms=now)
            )
            if used.rowcount != 1:
                return None
            row = _row(session, invited.id)
            row.name = _free_name(session, name, row.id)
            row.passphrase = kept
            session.add(row)
            session.exec(delete(SessionRow).where(col(SessionRow.person_id) == row.id))
            session.exec(delete(BrowserRow).where(col(BrowserRow.person_id) == row.id))
        return person_of(row)

    def check(self, name: str, passphrase: str) -> Person | None:
        """The person of that name and passphrase; takes as long whether the name exists or not."""
        row = self._named(name)
        good = passphrases.matches(passphrase, row.passphrase if row else "")
        return person_of(row) if row is not None and good else None

    def id_of(self, name: str) -> str:
        """The id of the person who signs in under that name; empty when nobody does."""
        row = self._named(name)
        return row.id if row else ""

    def _named(self, name: str) -> PersonRow | None:
        wanted = name.strip().casefold()
        with reading(self._engine) as session:
            rows = session.exec(select(PersonRow).where(col(PersonRow.disabled_ms).is_(None))).all()
        return next((row for row in rows if row.name.casefold() == wanted), None)

    # What readers may fetch

    def grant(self, person_id: str, visit: str, edition: str) -> None:
        """Let a reader fetch one edition of one visit's report."""
        if edition not in EDITIONS:
            raise ApiError("edition", message("access-bad-edition"), 422)
        with writing(self._engine) as session:
            _row(session, person_id)
            if session.get(GrantRow, (person_id, visit, edition)) is None:
                session.add(
                    GrantRow(
                        person_id=person_id,
                        visit=visit,
                        edition=edition,
                        created_ms=self._clock(),
                    )
                )

    def take_back(self, person_id: str, visit: str, edition: str) -> None:
        """End a grant."""
        with writing(self._engine) as session:
            row = session.get(GrantRow, (person_id, visit, edition))
            if row is not None:
                session.delete(row)

    def granted(self, person_id: str) -> list[tuple[str, str]]:
        """Visit and edition of every report that a reader may fetch."""
        with reading(self._engine) as session:
            rows = session.exec(select(GrantRow).where(GrantRow.person_id == person_id)).all()
        return sorted((row.visit, row.edition) for row in rows)


def _row(session: Session, person_id: str) -> PersonRow:
    row = session.get(PersonRow, person_id)
    if row is None:
        raise ApiError("unknown_person", message("access-unknown-person"), 404)
    return row


def _oldest_owner(session: Session) -> PersonRow | None:
    return session.exec(
        select(PersonRow)
        .where(PersonRow.role == "owner", col(PersonRow.disabled_ms).is_(None))
        .order_by(col(PersonRow.created_ms), col(PersonRow.id))
    ).first()


def _require_another_owner(session: Session, person_id: str) -> None:
    other = session.exec(
        select(PersonRow.id).where(
            PersonRow.role == "owner",
            PersonRow.id != person_id,
            PersonRow.passphrase != "",
            col(PersonRow.disabled_ms).is_(None),
        )
    ).first()
    row = _row(session, person_id)
    if row.role == "owner" and other is None:
        raise ApiError("last_owner", message("access-last-owner", name=row.name), 409)


def _free_name(session: Session, name: str, own_id: str) -> str:
    tidy = " ".join(name.split())
    if not 1 <= len(tidy) <= 60 or not tidy.isprintable():
        raise ApiError("name", message("access-bad-name"), 422)
    rows = session.exec(select(PersonRow).where(col(PersonRow.disabled_ms).is_(None))).all()
    if any(row.name.casefold() == tidy.casefold() and row.id != own_id for row in rows):
        raise ApiError("name", message("access-name-taken", name=tidy), 422)
    return tidy
