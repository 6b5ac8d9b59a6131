"""The pages that read files in, and an owner's word about those that no phone has signed."""

# No postponed annotations here: FastAPI reads them.
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response

from bradawl.desk.model.records.hand_over import BEGINS, HAND_OVER
from bradawl.desk.model.records.intake import (
    ImportResult,
    hand_over_view,
    keep_hand_over,
    take_file,
    take_hand_over,
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
        by = desk.name_of(writer)
        name, file = forms.opened_upload(form, "file")
        begins = file.read(len(BEGINS))
        file.seek(0)
        if begins == BEGINS:
            result = keep_hand_over(desk.log, desk.waiting, name, file, by)
        else:
            name, data = forms.uploaded(form, "file", FILE_LIMIT_BYTES)
            result = take_file(desk.log, desk.waiting, name, data, by, desk.clock())
    if result.waits:
        return forms.back(f"/desk/import/{result.waits}")
    return _import_page(request, desk, person, problems, result)


@pages.get("/{digest}")
def show_waiting(request: Request, desk: DeskHere, digest: str, person: Person) -> Response:
    file = waiting_file(desk.log, desk.waiting, digest)
    if file.kind == HAND_OVER:
        view = hand_over_view(desk.log, file, desk.snapshots)
        view["phone"] = desk.name_of(file.device)
        return render(request, "records/import_hand_over.html", **view, owner=desk.is_owner(person))
    view = waiting_view(desk.log, file, desk.snapshots)
    return render(request, "records/import_waiting.html", **view, owner=desk.is_owner(person))


@pages.post("/{digest}/take")
def take(
    request: Request,
    desk: DeskHere,
    digest: str,
    person: Person,
    _writer: Writer,
    ours: Annotated[bool, Form()] = False,
) -> Response:
    """Take in what a phone handed over; an owner may vouch for the phone at once."""
    file = waiting_file(desk.log, desk.waiting, digest)
    problems, result = Problems(), ImportResult()
    with problems.of("file"):
        result = take_hand_over(desk.log, file, desk.clock())
        desk.waiting.drop(digest)
        desk.note(request, person, "took in a phone's file", digest[:16])  # stored: not shown
        if ours and desk.is_owner(person):
            desk.log.confirm(file.device)
            desk.note(request, person, "confirmed entries", file.device[:8])  # stored: not shown
        elif file.device in desk.log.marked():
            result.sentences.append(text("desk-hand-over-marked"))
    return _import_page(request, desk, person, problems, result)


@pages.post("/{digest}")
def decide(
    request: Request, desk: DeskHere, digest: str, decision: forms.Text, owner: Owner
) -> Response:
    """An owner's second word about a file that its phone has not signed."""
    file = waiting_file(desk.log, desk.waiting, digest)
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
