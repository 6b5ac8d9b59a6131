"""Everything under /desk/: the collaborators that the wiring hands in, and the pages' routers."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from fastapi import APIRouter, Depends, Request, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model.checklist_versions import Shelf
from bradawl.desk.model.summaries import DeskLog, Summaries, Summary
from bradawl.desk.model.summary_cache import Lines, code
from bradawl.desk.model.waiting_files import Waiting
from bradawl.desk.pages import (
    briefs,
    candidates,
    chains,
    checklists,
    conflicts,
    diagnosis,
    evidence,
    exports,
    history,
    plan,
    records,
    visits,
    work_log,
)
from bradawl.desk.web.context import Desk, Note, Verdict
from bradawl.desk.web.rendering import STATIC
from bradawl.inspection.snapshot import Snapshot

STATIC_TYPES = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".json": "application/schema+json",
}


def _unnoted(_request: Request, _person: Any, _act: str, _about: str) -> None:
    return None


def _now_ms() -> int:
    return time.time_ns() // 1_000_000


def _today() -> str:
    return date.today().isoformat()  # noqa: DTZ011 - the workshop's own calendar day


def router(
    snapshots: Callable[[str], Snapshot],
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
        snapshots=snapshots,
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
            snapshots,
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
        conflicts,
        briefs,
        evidence,
        plan,
        work_log,
        diagnosis,
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
