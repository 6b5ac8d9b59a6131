"""Paired phones as the desk lists, names and revokes them."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine
from sqlmodel import col, select

from bradawl.access.core.models import desk_device
from bradawl.access.core.tables import DeviceRow, PersonRow
from bradawl.access.core.transactions import reading, writing
from bradawl.access.devices.pairing import end_approved
from bradawl.common.errors import ApiError
from bradawl.language import message, text

LONGEST_NAME = 60
#: From which similarity (0 to 1) two names count as alike: one letter of four, two of nine.
ALIKE_FROM = 0.75


@dataclass(frozen=True)
class ListedDevice:
    """A phone as the desk lists it; times are milliseconds since 1970."""

    id: str
    name: str
    person_id: str
    person: str
    paired_ms: int
    seen_ms: int
    revoked_ms: int | None


class Devices:
    """Phones in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def all(self) -> list[ListedDevice]:
        """Every phone that was ever paired, those in use first, the last seen on top."""
        with reading(self._engine) as session:
            rows = session.exec(
                select(DeviceRow, PersonRow.name).join(
                    PersonRow, col(PersonRow.id) == col(DeviceRow.person_id)
                )
            ).all()
        listed = [
            ListedDevice(
                row.id,
                row.name,
                row.person_id,
                person,
                row.paired_ms,
                row.seen_ms,
                row.revoked_ms,
            )
            for row, person in rows
        ]
        return sorted(
            listed, key=lambda device: (device.revoked_ms is not None, -device.seen_ms, device.id)
        )

    def is_paired(self, device: str) -> bool:
        """Whether a phone of this id was ever paired here."""
        with reading(self._engine) as session:
            return session.get(DeviceRow, device) is not None

    def find(self, device: str) -> ListedDevice | None:
        """The phone that was paired under an id, revoked or not."""
        return next((listed for listed in self.all() if listed.id == device), None)

    def alike(self, name: str, device: str) -> list[ListedDevice]:
        """Other phones whose names a person could take for `name`."""
        others = (listed for listed in self.all() if listed.id != device)
        return [other for other in others if look_alike(other.name, name)]

    def rename(self, device: str, name: str) -> None:
        """Give a phone another name. Raises ApiError."""
        tidy = tidy_name(name)
        with writing(self._engine) as session:
            row = session.get(DeviceRow, device)
            if row is None:
                raise ApiError("unknown_device", message("access-unknown-phone"), 404)
            row.name = tidy
            session.add(row)

    def revoke(self, device: str) -> str:
        """End a phone's token at once; its name. What it holds and what it sent stays."""
        with writing(self._engine) as session:
            row = session.get(DeviceRow, device)
            if row is None:
                raise ApiError("unknown_device", message("access-unknown-phone"), 404)
            if row.revoked_ms is None:
                row.revoked_ms = self._clock()
                row.token_hash = None
                session.add(row)
            end_approved(session, device)
            return row.name

    def name_of(self, device: str) -> str:
        """What to call a device in a page: a phone's name, or a person at the desk."""
        with reading(self._engine) as session:
            row = session.get(DeviceRow, device)
            if row is not None:
                return row.name
            people = session.exec(select(PersonRow)).all()
        for person in people:
            if desk_device(person.id) == device:
                return text("access-device-desk", name=person.name)
        return text("access-device-unknown", id=device[:8])


def tidy_name(name: str) -> str:
    """A phone's name as it is kept: one line, nothing that cannot be seen. Raises ApiError."""
    composed = unicodedata.normalize("NFC", " ".join(name.split()))
    tidy = " ".join("".join(character for character in composed if character.isprintable()).split())
    if not 1 <= len(tidy) <= LONGEST_NAME:
        raise ApiError("name", message("access-phone-name", most=LONGEST_NAME), 422)
    return tidy


def look_alike(name: str, other: str) -> bool:
    """Whether a person in a hurry could take one name for the other.

    A letter of another script that looks the same is one letter that differs, so names with few
    differences count as alike, whatever differs.
    """
    first, second = _bare(name), _bare(other)
    if first == second:
        return True
    ratio = difflib.SequenceMatcher(None, first, second, autojunk=False).ratio()
    return ratio >= ALIKE_FROM


def _bare(name: str) -> str:
    """A name without accents, case, spaces and signs, and with digits as the letters they mimic."""
    apart = unicodedata.normalize("NFKD", name).casefold()
    letters = "".join(character for character in apart if character.isalnum()) or apart
    return letters.translate(str.maketrans("015", "ols"))
