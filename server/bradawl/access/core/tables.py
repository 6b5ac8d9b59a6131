"""The tables of access, from people and phones to attempts and the audit trail.

All times are `*_ms`: milliseconds since 1970 by the server's clock. Of every token only the
SHA-256 is kept (`*_hash`); the token itself exists once, in the answer that hands it out.
"""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, Index, Integer
from sqlmodel import Field, SQLModel


def _ms(*, nullable: bool = False) -> Column[int]:
    return Column(BigInteger, nullable=nullable)


class PersonRow(SQLModel, table=True):
    """Somebody who may use the desk or own a phone; `passphrase` is an argon2 hash or empty."""

    __tablename__ = "access_person"
    id: str = Field(primary_key=True)
    name: str
    role: str
    passphrase: str = ""
    created_ms: int = Field(sa_column=_ms())
    disabled_ms: int | None = Field(default=None, sa_column=_ms(nullable=True))


class SessionRow(SQLModel, table=True):
    """A signed-in desk browser; `confirmed_ms` is when the passphrase was last typed.

    `browser` in words, `address` from where the sign-in was made.
    """

    __tablename__ = "access_session"
    token_hash: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="access_person.id", index=True)
    created_ms: int = Field(sa_column=_ms())
    seen_ms: int = Field(sa_column=_ms())
    confirmed_ms: int = Field(sa_column=_ms())
    browser: str = ""
    address: str = ""


class BrowserRow(SQLModel, table=True):
    """A browser in which a person signed in before; it opens nothing."""

    __tablename__ = "access_browser"
    token_hash: str = Field(primary_key=True)
    person_id: str = Field(primary_key=True, foreign_key="access_person.id", index=True)
    seen_ms: int = Field(sa_column=_ms())


class InvitationRow(SQLModel, table=True):
    """A one-time code with which a person sets a passphrase."""

    __tablename__ = "access_invitation"
    token_hash: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="access_person.id", index=True)
    expires_ms: int = Field(sa_column=_ms())
    used_ms: int | None = Field(default=None, sa_column=_ms(nullable=True))


class DeviceRow(SQLModel, table=True):
    """A phone that was paired; revoking empties `token_hash` and never touches its events."""

    __tablename__ = "access_device"
    id: str = Field(primary_key=True)
    name: str
    person_id: str = Field(foreign_key="access_person.id", index=True)
    token_hash: str | None = Field(default=None, unique=True)
    paired_ms: int = Field(sa_column=_ms())
    seen_ms: int = Field(sa_column=_ms())
    revoked_ms: int | None = Field(default=None, sa_column=_ms(nullable=True))


class PairingRow(SQLModel, table=True):
    """A phone that asks; `state` is waiting, approved, refused, expired or done."""

    __tablename__ = "access_pairing"
    secret_hash: str = Field(primary_key=True)
    code_hash: str = Field(index=True)
    words: str
    device: str
    name: str
    address: str
    state: str
    person_id: str | None = Field(default=None, foreign_key="access_person.id")
    expires_ms: int = Field(sa_column=_ms())


class LinkRow(SQLModel, table=True):
    """A link to one report; `id` stands in the address, the key only in its fragment."""

    __tablename__ = "access_link"
    id: str = Field(primary_key=True)
    token_hash: str
    visit: str = Field(index=True)
    edition: str
    label: str
    created_ms: int = Field(sa_column=_ms())
    expires_ms: int = Field(sa_column=_ms())
    revoked_ms: int | None = Field(default=None, sa_column=_ms(nullable=True))
    opened: int = Field(default=0, sa_column=Column(Integer, nullable=False))


class GrantRow(SQLModel, table=True):
    """One report that one reader may fetch."""

    __tablename__ = "access_grant"
    person_id: str = Field(primary_key=True, foreign_key="access_person.id")
    visit: str = Field(primary_key=True)
    edition: str = Field(primary_key=True)
    created_ms: int = Field(sa_column=_ms())


class AttemptRow(SQLModel, table=True):
    """One counted attempt, so that a rate limit outlives a restart."""

    __tablename__ = "access_attempt"
    __table_args__ = (Index("ix_access_attempt_key_at_ms", "key", "at_ms"),)
    id: int | None = Field(default=None, primary_key=True)
    key: str
    at_ms: int = Field(sa_column=_ms())


class AuditRow(SQLModel, table=True):
    """One act. The database itself refuses to change or delete a row."""

    __tablename__ = "access_audit"
    id: int | None = Field(default=None, primary_key=True)
    at_ms: int = Field(sa_column=_ms())
    who: str
    act: str
    about: str
    address: str


class SeenRow(SQLModel, table=True):
    """How far some phone has seen a device's entries, noted when that was beyond this server."""

    __tablename__ = "access_seen"
    device: str = Field(primary_key=True)
    seq: int = Field(sa_column=_ms())
    at_ms: int = Field(sa_column=_ms())
