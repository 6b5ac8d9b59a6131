"""The pages that read files in, and an owner's word about those that no phone has signed."""

from typing import Any

from fastapi import APIRouter, Request, Response

from bradawl.desk.model.records.intake import (
    ImportResult,
    take_file,
    take_unsigned,
    waiting_file,
    waiting_view,
)
from bradawl.desk.model.typed_values import Problems
from bradawl.desk.web import forms
from bradawl.desk.web.context import Desk, DeskHere, Owner, Person, Writer
from bradawl.desk.web.rendering import render
from bradawl.language import text

pages = APIRouter(prefix="/import")
FILE_LIMIT_BYTES = 500 * 2**20


@pages.get("")
def show_import(request: Request, desk: DeskHere, person: Person) -> Response:
    return _import_page(request, desk, person, Problems(), ImportResult())


@pages.post("")
def read_in(
    request: Request, desk: DeskHere, form: forms.Posted, person: Person, writer: Writer
) -> Response:
    problems, result = Problems(), ImportResult()
    with problems.of("file"):
        name, data = forms.uploaded(form, "file", FILE_LIMIT_BYTES)
        result = take_file(desk.log, desk.waiting, name, data, desk.name_of(writer), desk.clock())
    if result.waits:
        return forms.back(f"/desk/import/{result.waits}")
    return _import_page(request, desk, person, problems, result)


@pages.get("/{digest}")
def show_waiting(request: Request, desk: DeskHere, digest: str, person: Person) -> Response:
    view = waiting_view(desk.log, waiting_file(desk.waiting, digest), desk.snapshots)
    return render(request, "records/import_waiting.html", **view, owner=desk.is_owner(person))


@pages.post("/{digest}")
def decide(
    request: Request, desk: DeskHere, digest: str, decision: forms.Text, owner: Owner
) -> Response:
    """An owner's second word about a file that its phone has not signed."""
    file = waiting_file(desk.waiting, digest)
    problems, result = Problems(), ImportResult()
    if decision != "take":
        desk.waiting.drop(digest)
        result.sentences.append(text("desk-import-left-out", name=file.name))
        return _import_page(request, desk, owner, problems, result)
    with problems.of("file"):
        result = take_unsigned(desk.log, file)
        desk.waiting.drop(digest)
        act = "took in a file that is not signed"  # stored: not shown
        desk.note(request, owner, act, digest[:16])
    return _import_page(request, desk, owner, problems, result)


def _import_page(
    request: Request, desk: Desk, person: Any, problems: Problems, result: ImportResult
) -> Response:
    return render(
        request,
        "records/import.html",
        status=422 if problems else 200,
        problems=problems,
        done=result,
        waiting=desk.waiting.all(),
        owner=desk.is_owner(person),
    )
