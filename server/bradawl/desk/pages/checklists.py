"""Checklists at the desk: see, copy, adapt with checks as one types, try on a visit, keep."""

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Request, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model import findings
from bradawl.desk.model.checklists.trial import differences
from bradawl.desk.model.checklists.versions import ChecklistRefusal, ChecklistVersions
from bradawl.desk.web import forms
from bradawl.desk.web.context import DeskHere, Writer
from bradawl.desk.web.rendering import render
from bradawl.language import message, text

pages = APIRouter(prefix="/checklists")


def current_checklists(desk: DeskHere) -> ChecklistVersions:
    """The adapted checklists. Raises ApiError 404 on a desk without any."""
    if desk.checklists is None:
        raise ApiError("not_found", message("server-http-404"), 404)
    return desk.checklists


ChecklistsHere = Annotated[ChecklistVersions, Depends(current_checklists)]
OptionalText = Annotated[str, Form()]
Typed = Annotated[str, Form(alias="text")]


@pages.get("")
def list_checklists(request: Request, checklists: ChecklistsHere) -> Response:
    return render(
        request,
        "checklists/list.html",
        names=[(name, checklists.versions(name)) for name in checklists.names()],
        in_use=checklists.in_use(),
    )


@pages.post("")
def copy_checklist(
    checklists: ChecklistsHere, _writer: Writer, name: forms.Text, source: OptionalText = ""
) -> Response:
    checklists.copy(name.strip(), source)
    return forms.back(f"/desk/checklists/{name.strip()}")


@pages.post("/use")
def use_version(
    checklists: ChecklistsHere, _writer: Writer, name: OptionalText = "", version: OptionalText = ""
) -> Response:
    checklists.use(name, version)
    return forms.back("/desk/checklists")


@pages.get("/{name}")
def show_checklist(
    request: Request, desk: DeskHere, checklists: ChecklistsHere, name: str
) -> Response:
    bundle, faults = checklists.check(name)
    counts: dict[str, int] = {}
    for item in bundle["items"] if bundle is not None else ():
        counts[f"{item['area']}.yaml"] = counts.get(f"{item['area']}.yaml", 0) + 1
    return render(
        request,
        "checklists/show.html",
        name=name,
        bundle=bundle,
        faults=faults,
        files=checklists.files(name),
        counts=counts,
        versions=checklists.versions(name),
        in_use=checklists.in_use(),
        visits=[row.summary for row in desk.summaries.rows() if row.summary],
    )


@pages.post("/{name}/keep")
def keep_version(
    desk: DeskHere, checklists: ChecklistsHere, writer: Writer, name: str, note: OptionalText = ""
) -> Response:
    checklists.keep(name, desk.name_of(writer), note.strip())
    return forms.back(f"/desk/checklists/{name}")


@pages.post("/{name}/bring-back")
def bring_version_back(
    checklists: ChecklistsHere, _writer: Writer, name: str, version: forms.Text
) -> Response:
    checklists.bring_back(name, version)
    return forms.back(f"/desk/checklists/{name}")


@pages.get("/{name}/try")
def try_on_visit(
    request: Request, desk: DeskHere, checklists: ChecklistsHere, name: str, visit: str
) -> Response:
    bundle, _ = checklists.check(name)
    if bundle is None:
        raise ChecklistRefusal(message("desk-checklist-try-faults"))
    snapshot = desk.snapshot(visit)
    return render(
        request,
        "checklists/trial.html",
        name=name,
        visit=visit,
        head=findings.heading(snapshot),
        **differences(snapshot, bundle, desk.today()),
    )


# A file's path may hold slashes: what has a fixed ending stands before these.


@pages.get("/{name}/{file:path}")
def show_file(request: Request, checklists: ChecklistsHere, name: str, file: str) -> Response:
    return _editor(request, checklists, name, file, saved=False)


@pages.post("/{name}/check/{file:path}")
def check_text(
    checklists: ChecklistsHere, _writer: Writer, name: str, file: str, typed: Typed
) -> dict[str, Any]:
    """The faults of the draft as it would be with this text, said for the page."""
    _, faults = checklists.check(name, file, typed)
    return {
        "summary": text("desk-checklist-faults", count=len(faults))
        if faults
        else text("desk-checklist-fine"),
        "faults": [
            text("desk-checklist-fault", file=where, line=line, wrong=wrong)
            for where, line, wrong in faults
        ],
    }


@pages.post("/{name}/{file:path}")
def save_file(
    request: Request,
    checklists: ChecklistsHere,
    _writer: Writer,
    name: str,
    file: str,
    typed: Typed,
) -> Response:
    checklists.save(name, file, typed)
    return _editor(request, checklists, name, file, saved=True)


def _editor(
    request: Request, checklists: ChecklistVersions, name: str, file: str, *, saved: bool
) -> Response:
    content = checklists.read(name, file)
    _, faults = checklists.check(name)
    return render(
        request,
        "checklists/editor.html",
        name=name,
        file=file,
        text=content,
        faults=faults,
        saved=saved,
    )
