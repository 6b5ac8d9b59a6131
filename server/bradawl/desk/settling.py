"""Settling what two people wrote without seeing each other. The decision is an event."""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Response

from bradawl.desk import forms

if TYPE_CHECKING:
    from bradawl.desk.routes import Desk


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
        cell = desk.dossier(visit).cells.get(path)
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
        desk.log.append(desk.device_of(person), visit, [(path, held[at])])
        return forms.back(f"/desk/visits/{visit}#conflicts")
