"""Everything under /desk/: the collaborators that the wiring hands in, and the pages' routers."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from fastapi import APIRouter, Depends, Request, Response

from bradawl.desk import (
    briefs,
    candidates,
    chains,
    checklists,
    evidence,
    exports,
    history,
    planning,
    records,
    settling,
    troubles,
    visits,
    works,
)
from bradawl.desk.lines import Lines, code
from bradawl.desk.pages import STATIC
from bradawl.desk.shelf import Shelf
from bradawl.desk.summaries import DeskLog, Summaries, Summary
from bradawl.desk.waiting import Waiting
from bradawl.dossier import Dossier, UnknownVisit
from bradawl.errors import ApiError

STATIC_TYPES = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".json": "application/schema+json",
}


class Verdict(Protocol):
    """What the report's verification says of a PDF."""

    @property
    def whole(self) -> bool: ...
    @property
    def lines(self) -> list[str]: ...


#: Keeps in the trail that a person did something at the desk: (request, person, act, about).
Note = Callable[[Request, Any, str, str], None]


def _unnoted(_request: Request, _person: Any, _act: str, _about: str) -> None:
    return None


def _now_ms() -> int:
    return time.time_ns() // 1_000_000


def _today() -> str:
    return date.today().isoformat()  # noqa: DTZ011 - the workshop's own calendar day


@dataclass(frozen=True)
class Desk:
    """What every page may use.

    `person` is the dependency that admits somebody who signed in, `writer` the one for changes,
    `owner` the one for what only an owner may decide, and `is_owner` tells owners from others;
    `device_of` gives the device id under which that person's acts at the desk are logged, and
    `name_of` the name of any device. `photos_missing` names those photos that have not arrived,
    `backup_warnings` says why somebody should look at the backups.
    """

    dossiers: Callable[[str], Dossier]
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

    def dossier(self, visit: str) -> Dossier:
        """The dossier of a visit; a page that says so when there is none."""
        try:
            return self.dossiers(visit)
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


def router(
    dossiers: Callable[[str], Dossier],
    log: DeskLog,
    person: Callable[..., Any],
    *,
    device_of: Callable[[Any], str],
    name_of: Callable[[str], str],
    verify: Callable[[bytes], Verdict],
    photos_missing: Callable[[Sequence[str]], Collection[str]],
    shelf: Shelf | None = None,
    writer: Callable[..., Any] | None = None,
    owner: Callable[..., Any] | None = None,
    is_owner: Callable[[Any], bool] = lambda _person: True,
    note: Note = _unnoted,
    waiting: Waiting | None = None,
    clock: Callable[[], int] = _now_ms,
    today: Callable[[], str] = _today,
    backup_warnings: Callable[[], Sequence[str]] = tuple,
    patience_s: float = 0.05,
    on_erased: Callable[[Callable[[str], None]], None] = lambda _forget: None,
    lines: Path | None = None,
) -> APIRouter:
    """The desk. `person` guards every page but the style sheet, `writer` every change.

    `owner` guards what only an owner may decide, `note` keeps the trail of it; `waiting` holds
    files that an owner has to look at. `clock` gives Unix milliseconds.

    `shelf` holds the adapted checklists; without it the desk has no pages for them. A list waits
    `patience_s` for visits that were not read yet; `lines` is the file that keeps them over a
    restart. `on_erased` is given what is to be told each visit of which something was erased.
    """
    desk = Desk(
        dossiers=dossiers,
        log=log,
        person=person,
        writer=writer or person,
        owner=owner or person,
        is_owner=is_owner,
        note=note,
        device_of=device_of,
        name_of=name_of,
        verify=verify,
        photos_missing=photos_missing,
        today=today,
        backup_warnings=backup_warnings,
        clock=clock,
        waiting=waiting or Waiting(),
        summaries=Summaries(
            log,
            dossiers,
            today,
            photos_missing,
            patience_s=patience_s,
            lines=Lines(lines, Summary, code) if lines else None,
        ),
    )
    on_erased(desk.summaries.forget)
    routes = APIRouter(include_in_schema=False)

    @routes.get("/desk/static/{name}")
    def static(name: str) -> Response:
        """The desk's own style sheet and scripts; the sign-in page needs them too."""
        kept = {file.name: file for file in STATIC.iterdir()}
        file = kept.get(name)
        if file is None or file.suffix not in STATIC_TYPES:
            raise ApiError("not_found", "There is nothing at this address.", 404)
        return Response(
            file.read_bytes(),
            media_type=STATIC_TYPES[file.suffix],
            headers={"Cache-Control": "no-cache"},
        )

    guarded = APIRouter(prefix="/desk", dependencies=[Depends(person)], include_in_schema=False)
    for part in (
        visits,
        candidates,
        settling,
        briefs,
        evidence,
        planning,
        works,
        troubles,
        exports,
        records,
        chains,
        history,
    ):
        part.add(guarded, desk)
    if shelf is not None:
        checklists.add(guarded, desk, shelf)
    routes.include_router(guarded)
    return routes
