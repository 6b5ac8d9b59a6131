"""Settling what two people wrote unseen, and what a reading meant. The decision is an event."""

from fastapi import APIRouter, Response

from bradawl.desk.model.typed_values import FieldError
from bradawl.desk.model.visits import conflicts, doubts
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere, Writer
from bradawl.language import message

pages = APIRouter()


WHY_LIMIT = 400


def _reason(why: str) -> str:
    """Why somebody decides so. Raises FieldError where nothing was typed."""
    tidy = why.strip()
    if not tidy:
        raise FieldError(message("desk-conflict-why-missing"))
    if len(tidy) > WHY_LIMIT:
        raise FieldError(message("desk-error-too-long", start=tidy[:30], most=WHY_LIMIT))
    return tidy


@pages.post("/visits/{visit}/settle")
def settle(
    desk: DeskHere,
    writer: Writer,
    visit: str,
    path: forms.Text,
    at: forms.Text,
    why: forms.Text = "",
) -> Response:
    """Keep the value with the stamp `at`; the event names every other value as seen."""
    puts = conflicts.settle(desk.snapshot(visit), path, at, _reason(why))
    desk.log.append(writer, visit, puts)
    return forms.back(f"/desk/visits/{visit}#conflicts")


@pages.post("/visits/{visit}/reopen")
def reopen(
    desk: DeskHere, writer: Writer, visit: str, path: forms.Text, why: forms.Text = ""
) -> Response:
    """Ask anew about what was settled; what was decided stays in the history."""
    desk.log.append(writer, visit, conflicts.reopen(desk.snapshot(visit), path, _reason(why)))
    return forms.back(f"/desk/visits/{visit}#conflicts")


@pages.post("/visits/{visit}/doubt")
def settle_doubt(
    desk: DeskHere,
    writer: Writer,
    visit: str,
    path: forms.Text,
    meaning: forms.Text,
    seen: forms.Text,
) -> Response:
    """Say which of its meanings a reading had, at all places where it is in doubt."""
    puts = doubts.settle_doubt(desk.snapshot(visit), path, meaning, seen)
    desk.log.append(writer, visit, puts)
    return forms.back(f"/desk/visits/{visit}#doubts")
