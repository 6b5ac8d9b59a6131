"""What every page of the desk may use, handed in by the wiring."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from fastapi import Request

from bradawl.common.errors import ApiError
from bradawl.desk.model.summaries import DeskLog, Summaries
from bradawl.desk.model.waiting_files import Waiting
from bradawl.inspection.snapshot import Snapshot, UnknownVisit


class Verdict(Protocol):
    """What the report's verification says of a PDF."""

    @property
    def whole(self) -> bool: ...
    @property
    def lines(self) -> list[str]: ...


#: Keeps in the trail that a person did something at the desk: (request, person, act, about).
Note = Callable[[Request, Any, str, str], None]


@dataclass(frozen=True)
class Desk:
    """What every page may use.

    `person` is the dependency that admits somebody who signed in, `writer` the one for changes,
    `owner` the one for what only an owner may decide, and `is_owner` tells owners from others;
    `device_of` gives the device id under which that person's acts at the desk are logged, and
    `name_of` the name of any device. `photos_missing` names those photos that have not arrived,
    `backup_warnings` says why somebody should look at the backups.
    """

    snapshots: Callable[[str], Snapshot]
    log: DeskLog
    person: Callable[..., Any]
    writer: Callable[..., Any]
    owner: Callable[..., Any]
    is_owner: Callable[[Any], bool]
    note: Note
    device_of: Callable[[Any], str]
    name_of: Callable[[str], str]
    verify: Callable[[bytes], Verdict]
    photos_missing: Callable[[Sequence[str]], Collection[str]]
    today: Callable[[], str]
    clock: Callable[[], int]
    backup_warnings: Callable[[], Sequence[str]]
    waiting: Waiting
    summaries: Summaries

    def snapshot(self, visit: str) -> Snapshot:
        """The snapshot of a visit; a page that says so when there is none."""
        try:
            return self.snapshots(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", str(unknown), 404) from unknown

    def keep_photo(self, data: bytes, device: str, kind: str = "") -> str:
        """Keep a photo or recording (of media type `kind`); its hash.

        Raises ApiError for what is neither.
        """
        sha256 = hashlib.sha256(data).hexdigest()
        with self.log.photos.arriving(sha256, kind) as arrival:
            arrival.add(data)
            self.log.photos.keep(arrival, device)
        return sha256
