"""Settling what two people wrote without seeing each other. The decision is an event."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Response

from bradawl.desk.model.findings import author_of
from bradawl.desk.pages.plan import Puts
from bradawl.desk.web import forms

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk


def add(pages: APIRouter, desk: "Desk") -> None:
    """The address that a conflict's buttons post to."""

    @pages.post("/visits/{visit}/settle")
    def settle(
        visit: str,
        path: Annotated[str, Form()],
        at: Annotated[str, Form()],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        """Keep the value with the stamp `at`; the event names every other value as seen."""
        cells = desk.snapshot(visit).cells
        cell = cells.get(path)
        if cell is None or not cell["others"]:
            raise forms.stale(
                "Somebody has settled this entry in the meantime; nothing was changed."
            )
        held = {one["at"]: one["value"] for one in (cell, *cell["others"])}
        if at not in held:
            raise forms.stale(
                "The values of this entry have changed since the page was made; look again and "
                "choose anew."
            )
        puts = [(path, held[at]), *_reason_along(cells, path, at)]
        desk.log.append(desk.device_of(person), visit, puts)
        return forms.back(f"/desk/visits/{visit}#conflicts")


def _reason_along(cells: Mapping[str, Any], path: str, at: str) -> Puts:
    """With a settled grade, the reason of who gave it: a reason older than its grade is none."""
    if not (path.startswith("items/") and path.endswith("/grade")):
        return []
    reason = path.removesuffix("grade") + "why"
    cell = cells.get(reason)
    if cell is None:
        return []
    own = [
        one["value"]
        for one in (cell, *cell["others"])
        if author_of(one["at"]) == author_of(at) and one["at"] >= at
    ]
    given = own[0] if own else None
    stands = cell["value"] is not None or cell["others"]
    return [(reason, given)] if given is not None or stands else []
