"""Checklists at the desk: see, copy, adapt with checks as one types, try on a visit, keep."""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Request, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model import findings
from bradawl.desk.model.checklist_versions import Shelf, ShelfError
from bradawl.desk.model.labels import item_title
from bradawl.desk.web import forms
from bradawl.desk.web.rendering import GRADE_WORDS, render
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import assess

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk


def add(pages: APIRouter, desk: "Desk", shelf: Shelf) -> None:
    """The pages of checklists and what they post to."""

    def refused(error: ShelfError) -> ApiError:
        return ApiError("checklist", str(error), 422)

    @pages.get("/checklists")
    def listed(request: Request) -> Response:
        in_use = shelf.in_use()
        return render(
            request,
            "checklists/list.html",
            names=[(name, shelf.versions(name)) for name in shelf.names()],
            in_use=in_use,
        )

    @pages.post("/checklists")
    def copy(
        name: Annotated[str, Form()],
        person: Annotated[Any, Depends(desk.writer)],
        source: Annotated[str, Form()] = "",
    ) -> Response:
        try:
            shelf.copy(name.strip(), source)
        except ShelfError as error:
            raise refused(error) from error
        return forms.back(f"/desk/checklists/{name.strip()}")

    @pages.post("/checklists/use")
    def use(
        person: Annotated[Any, Depends(desk.writer)],
        name: Annotated[str, Form()] = "",
        version: Annotated[str, Form()] = "",
    ) -> Response:
        try:
            shelf.use(name, version)
        except ShelfError as error:
            raise refused(error) from error
        return forms.back("/desk/checklists")

    @pages.get("/checklists/{name}")
    def one(request: Request, name: str) -> Response:
        try:
            bundle, faults = shelf.check(name)
            versions, files = shelf.versions(name), shelf.files(name)
        except ShelfError as error:
            raise ApiError("unknown_checklist", str(error), 404) from error
        counts: dict[str, int] = {}
        for item in (bundle or {}).get("items", ()):
            counts[f"{item['area']}.yaml"] = counts.get(f"{item['area']}.yaml", 0) + 1
        return render(
            request,
            "checklists/show.html",
            name=name,
            bundle=bundle,
            faults=faults,
            files=files,
            counts=counts,
            versions=versions,
            in_use=shelf.in_use(),
            visits=[row.summary for row in desk.summaries.rows() if row.summary],
        )

    @pages.post("/checklists/{name}/keep")
    def keep(
        name: str,
        person: Annotated[Any, Depends(desk.writer)],
        note: Annotated[str, Form()] = "",
    ) -> Response:
        try:
            shelf.keep(name, desk.name_of(desk.device_of(person)), note.strip())
        except ShelfError as error:
            raise refused(error) from error
        return forms.back(f"/desk/checklists/{name}")

    @pages.post("/checklists/{name}/bring-back")
    def bring_back(
        name: str, version: Annotated[str, Form()], person: Annotated[Any, Depends(desk.writer)]
    ) -> Response:
        try:
            shelf.bring_back(name, version)
        except ShelfError as error:
            raise refused(error) from error
        return forms.back(f"/desk/checklists/{name}")

    @pages.get("/checklists/{name}/try")
    def trial(request: Request, name: str, visit: str) -> Response:
        try:
            bundle, _ = shelf.check(name)
        except ShelfError as error:
            raise ApiError("unknown_checklist", str(error), 404) from error
        if bundle is None:
            raise refused(ShelfError("The draft has faults; mend them first, then try it."))
        snapshot = desk.snapshot(visit)
        return render(
            request,
            "checklists/trial.html",
            name=name,
            visit=visit,
            head=findings.heading(snapshot),
            grades=GRADE_WORDS,
            **differences(snapshot, bundle, desk.today()),
        )

    @pages.get("/checklists/{name}/{file:path}")
    def editor(request: Request, name: str, file: str) -> Response:
        try:
            text = shelf.read(name, file)
            _, faults = shelf.check(name)
        except ShelfError as error:
            raise ApiError("unknown_checklist", str(error), 404) from error
        return render(
            request,
            "checklists/editor.html",
            name=name,
            file=file,
            text=text,
            faults=faults,
            saved=False,
        )

    @pages.post("/checklists/{name}/check/{file:path}")
    def check(
        name: str,
        file: str,
        text: Annotated[str, Form()],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> dict[str, Any]:
        """The faults of the draft as it would be with this text."""
        try:
            bundle, faults = shelf.check(name, file, text)
        except ShelfError as error:
            raise refused(error) from error
        return {
            "items": None if bundle is None else len(bundle["items"]),
            "faults": [{"file": f, "line": line, "wrong": wrong} for f, line, wrong in faults],
        }

    @pages.post("/checklists/{name}/{file:path}")
    def save(
        request: Request,
        name: str,
        file: str,
        text: Annotated[str, Form()],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        try:
            shelf.save(name, file, text)
            _, faults = shelf.check(name)
        except ShelfError as error:
            raise refused(error) from error
        return render(
            request,
            "checklists/editor.html",
            name=name,
            file=file,
            text=shelf.read(name, file),
            faults=faults,
            saved=True,
        )


def differences(snapshot: Snapshot, bundle: dict[str, Any], today: str) -> dict[str, Any]:
    """What a visit would be judged with another checklist, beside its judgement now."""
    record = {"visit": snapshot.visit, "cells": snapshot.cells}
    other = assess(record, bundle["rules"], today)
    now = snapshot.assessment
    rows = []
    for item in sorted({*now["items"], *other["items"]}):
        before, after = state_of(now, item), state_of(other, item)
        if before != after:
            title = item_title(bundle, item)
            rows.append(
                {
                    "item": item,
                    "title": title if title != item else item_title(snapshot.bundle, item),
                    "before": before,
                    "after": after,
                    "why": [
                        str(one.get("text", ""))
                        for one in other["items"].get(item, {}).get("reasons", ())
                    ],
                }
            )
    return {
        "rows": rows,
        "answer_before": now.get("drive_home", {}).get("text", ""),
        "answer_after": other.get("drive_home", {}).get("text", ""),
        "same_bundle": bundle["hash"] == snapshot.bundle.get("hash"),
    }


def state_of(assessment: dict[str, Any], item: str) -> str:
    """An item's grade, or why it has none: `not asked`, `open`, `not in the checklist`."""
    judgement = assessment["items"].get(item)
    if judgement is None:
        return "not in the checklist"
    if not judgement.get("applies", True):
        return "not asked"
    return GRADE_WORDS.get(str(judgement.get("grade")), "open")
