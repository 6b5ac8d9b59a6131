"""Settling what two people wrote unseen, and what a reading meant. The decision is an event."""

from fastapi import APIRouter, Response

from bradawl.desk.model.visits import conflicts, doubts
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere, Writer

pages = APIRouter()


@pages.post("/visits/{visit}/settle")
def settle(
    desk: DeskHere, writer: Writer, visit: str, path: forms.Text, at: forms.Text
) -> Response:
    """Keep the value with the stamp `at`; the event names every other value as seen."""
    puts = conflicts.settle(desk.snapshot(visit).cells, path, at)
    desk.log.append(writer, visit, puts)
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
