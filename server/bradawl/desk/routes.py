"""Everything under /desk/: the collaborators that the wiring hands in, and the pages' routers."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from fastapi import APIRouter, Depends, Response

from bradawl.desk import (
    briefs,
    candidates,
    checklists,
    evidence,
    exports,
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


def _today() -> str:
    return date.today().isoformat()  # noqa: DTZ011 - the workshop's own calendar day


@dataclass(frozen=True)
class Desk:
    """What every page may use.

    `person` is the dependency that admits somebody who signed in, `writer` the one for changes;
    `device_of` gives the device id under which that person's acts at the desk are logged, and
    `name_of` the name of any device. `photos_missing` names those photos that have not arrived.
    """

    dossiers: Callable[[str], Dossier]
    log: DeskLog
    person: Callable[..., Any]
    writer: Callable[..., Any]
    device_of: Callable[[Any], str]
    name_of: Callable[[str], str]
    verify: Callable[[bytes], Verdict]
    photos_missing: Callable[[Sequence[str]], Collection[str]]
    today: Callable[[], str]
    summaries: Summaries

    def dossier(self, visit: str) -> Dossier:
        """The dossier of a visit; a page that says so when there is none."""
        try:
            return self.dossiers(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", str(unknown), 404) from unknown

    def keep_photo(self, data: bytes, device: str) -> str:
        """Keep a photo that was chosen at the desk; its hash. Raises ApiError for what is none."""
        sha256 = hashlib.sha256(data).hexdigest()
        with self.log.photos.arriving(sha256) as arrival:
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
    today: Callable[[], str] = _today,
    patience_s: float = 0.05,
    withheld: Callable[[], str] = str,
    lines: Path | None = None,
) -> APIRouter:
    """The desk. `person` guards every page but the style sheet, `writer` every change.

    `shelf` holds the adapted checklists; without it the desk has no pages for them. A list waits
    `patience_s` for visits that were not read yet; `lines` is the file that keeps them over a
    restart, and `withheld` a text that changes whenever anything more is shown to nobody.
    """
    desk = Desk(
        dossiers=dossiers,
        log=log,
        person=person,
        writer=writer or person,
        device_of=device_of,
        name_of=name_of,
        verify=verify,
        photos_missing=photos_missing,
        today=today,
        summaries=Summaries(
            log,
            dossiers,
            today,
            photos_missing,
            patience_s=patience_s,
            withheld=withheld,
            lines=Lines(lines, Summary, code) if lines else None,
        ),
    )
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
    ):
        part.add(guarded, desk)
    if shelf is not None:
        checklists.add(guarded, desk, shelf)
    routes.include_router(guarded)
    return routes
