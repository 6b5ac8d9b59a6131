"""Paired phones as the desk lists, names and revokes them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine
from sqlmodel import col, select

from bradawl.access.people import desk_device
from bradawl.access.store import reading, writing
from bradawl.access.tables import DeviceRow, PersonRow
from bradawl.errors import ApiError


@dataclass(frozen=True)
class ListedDevice:
    """A phone as the desk lists it; times are milliseconds since 1970."""

    id: str
    name: str
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
            ListedDevice(row.id, row.name, person, row.paired_ms, row.seen_ms, row.revoked_ms)
            for row, person in rows
        ]
        return sorted(listed, key=lambda one: (one.revoked_ms is not None, -one.seen_ms, one.id))

    def is_paired(self, device: str) -> bool:
        """Whether a phone of this id was ever paired here."""
        with reading(self._engine) as session:
            return session.get(DeviceRow, device) is not None

    def rename(self, device: str, name: str) -> None:
        """Give a phone another name. Raises ApiError."""
        tidy = " ".join(name.split())
        if not 1 <= len(tidy) <= 60 or not tidy.isprintable():
            raise ApiError("name", "A phone's name has 1 to 60 letters.", 422)
        with writing(self._engine) as session:
            row = session.get(DeviceRow, device)
            if row is None:
                raise ApiError("unknown_device", "No phone with that id was ever paired.", 404)
            row.name = tidy
            session.add(row)

    def revoke(self, device: str) -> str:
        """End a phone's token at once; its name. What it holds and what it sent stays."""
        with writing(self._engine) as session:
            row = session.get(DeviceRow, device)
            if row is None:
                raise ApiError("unknown_device", "No phone with that id was ever paired.", 404)
            if row.revoked_ms is None:
                row.revoked_ms = self._clock()
                row.token_hash = None
                session.add(row)
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
                return f"{person.name}, at the desk"
        return f"Device {device[:8]}"
