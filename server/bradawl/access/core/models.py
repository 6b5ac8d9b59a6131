"""Who somebody is: the values that the rest of the program sees."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal, get_args

Role = Literal["owner", "inspector", "reader"]
ROLES: tuple[Role, ...] = get_args(Role)

#: SQL that finds a row when some owner can sign in at the desk.
AN_OWNER_SIGNS_IN = (
    "SELECT id FROM access_person "
    "WHERE role = 'owner' AND passphrase <> '' AND disabled_ms IS NULL LIMIT 1"
)


@dataclass(frozen=True)
class Person:
    """Somebody signed in at the desk, or the person a phone belongs to."""

    id: str
    name: str
    role: Role


@dataclass(frozen=True)
class Device:
    """A paired phone: its id (32 hex characters), its name and the person it belongs to."""

    id: str
    name: str
    person: Person


def desk_device(person_id: str) -> str:
    """The device id under which what a person does at the desk is logged."""
    return hashlib.sha256(f"desk of {person_id}".encode()).hexdigest()[:32]  # hashed: not shown
