"""The desk's pages about reports: choose and make one, watch it grow, add a signature.

The frame is the desk's own (`base.html`); the collaborators come from the wiring.
"""

import io
import json
import logging
from collections.abc import AsyncIterator, Callable
from pathlib import Path
from typing import Annotated, Any, Protocol

from fastapi import APIRouter, Depends, Request
from fastapi.responses import FileResponse, RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from bradawl.common.display_text import for_file_name, for_line
from bradawl.common.errors import ApiError
from bradawl.common.templating import Pages
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot, UnknownVisit
from bradawl.operations import note
from bradawl.report.issue import Issued, Progress
from bradawl.report.jobs import Job, Jobs
from bradawl.report.model.edition import DEFAULT_CHOICE, EDITIONS, Choice, Edition
from bradawl.report.signing.signatures import Signer, SigningError, countersign, free_place

logger = logging.getLogger(__name__)

PDF_LIMIT_BYTES = 200_000_000
NAME_LIMIT = 60
STROKES_LIMIT = 200_000
PAGES = ("A4", "Letter")


_render = Pages(Path(__file__).parent / "templates").render


class Write(Protocol):
    """Writes the signed report of a snapshot to a file."""

    def __call__(
        self,
        snapshot: Snapshot,
        out: Path,
        edition: Edition,
        page: str,
        choice: Choice,
        progress: Progress,
    ) -> Issued: ...


async def _posted(request: Request) -> AsyncIterator[FormData]:
    async with request.form(max_fields=50, max_files=1) as form:
        yield form


def router(
    snapshots: Callable[[str], Snapshot],
    write: Write,
    file_name: Callable[[Snapshot, Edition], str],
    signer_of: Callable[[str], Signer],
    jobs: Jobs,
    person: Callable[..., Any],
) -> APIRouter:
    """Pages below /desk. `person` admits whoever signed in; `signer_of` a name's signing key."""
    routes = APIRouter(prefix="/desk", include_in_schema=False, dependencies=[Depends(person)])

    def find(visit: str) -> Snapshot:
        try:
            return snapshots(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", str(unknown), 404) from unknown

    def job_of(key: str) -> Job:
        job = jobs.get(key)
        if job is None:
            raise ApiError("no_report", "This report is not kept any longer: make it again.", 404)
        return job

    @routes.get("/visits/{visit}/report")
    def choose(request: Request, visit: str, edition: str = "condition") -> Response:
        snapshot = find(visit)
        chosen: Edition = "partner" if edition == "partner" else "condition"
        return _render(
            request,
            "choose.html",
            visit=visit,
            car=_car(snapshot),
            edition=chosen,
            choice=DEFAULT_CHOICE[chosen],
            sealed=bool(snapshot.seals),
            amended=len(snapshot.amendments),
        )

    @routes.post("/visits/{visit}/report")
    def make(visit: str, form: Annotated[FormData, Depends(_posted)]) -> Response:
        snapshot = find(visit)
        edition, page = form.get("edition"), form.get("page")
        if edition not in EDITIONS or page not in PAGES:
            raise ApiError("choice", "Choose an edition and a page size of those offered.", 422)
        choice = Choice(
            place="place" in form,
            seller="seller" in form,
            photos="photos" in form,
            amendments="amendments" in form,
        )
        named: Edition = "partner" if edition == "partner" else "condition"
        job = jobs.start(
            visit,
            file_name(snapshot, named),
            lambda out, progress: write(snapshot, out, named, str(page), choice, progress),
        )
        return RedirectResponse(f"/desk/reports/{job.id}", status_code=303)

    @routes.get("/reports/{key}")
    def watch(request: Request, key: str) -> Response:
        return _render(request, "progress.html", job=job_of(key))

    @routes.get("/reports/{key}/file")
    def fetch(key: str) -> Response:
        job = job_of(key)
        if job.issued is None:
            raise ApiError("not_ready", "This report is not ready yet.", 409)
        return FileResponse(
            job.file,
            media_type="application/pdf",
            filename=job.name,
            content_disposition_type="inline",
            headers={"Cache-Control": "no-store"},
        )

    @routes.get("/verify/sign")
    def sign_page(request: Request) -> Response:
        return _render(request, "sign.html", problem="", name="")

    @routes.post("/verify/sign")
    def sign(
        request: Request,
        form: Annotated[FormData, Depends(_posted)],
        signed_in: Annotated[Any, Depends(person)],
    ) -> Response:
        upload, name = form.get("pdf"), str(form.get("name") or "").strip()
        if not name or len(name) > NAME_LIMIT or not name.isprintable():
            return _refused(request, "Write the name of whoever signs, at most 60 letters.", name)
        if not isinstance(upload, UploadFile):
            return _refused(request, "No file arrived. Choose the report to be signed.", name)
        data = upload.file.read(PDF_LIMIT_BYTES + 1)
        if not data or len(data) > PDF_LIMIT_BYTES:
            return _refused(request, "Choose the report to be signed, at most 200 MB.", name)
        file = io.BytesIO(data)
        try:
            free_place(file)  # before a key is made for the name
            countersign(
                file,
                signer_of(name),
                reason=f"Signed by {name} at the desk, in the presence of {signed_in.name}",
                strokes=_strokes(form.get("strokes")),
            )
        except SigningError as wrong:
            return _refused(request, str(wrong), name)
        note(logger, "report.countersigned")  # by whom is in the file: it may be the seller
        return Response(
            file.getvalue(),
            media_type="application/pdf",
            headers={
                "Content-Disposition": f'attachment; filename="{_signed_name(upload.filename)}"',
                "Cache-Control": "no-store",
            },
        )

    @routes.get("/report-static/sign.js")
    def script() -> Response:
        return FileResponse(
            Path(__file__).parent / "static" / "sign.js", media_type="text/javascript"
        )

    return routes


def _refused(request: Request, problem: str, name: str) -> Response:
    return _render(request, "sign.html", 422, problem=problem, name=name[:NAME_LIMIT])


def _strokes(sent: object) -> list[list[float]]:
    """The drawn lines as the page sent them; none when they are not what they should be."""
    if not isinstance(sent, str) or len(sent) > STROKES_LIMIT:
        return []
    try:
        return cell_values.strokes(json.loads(sent))
    except (ValueError, RecursionError):
        return []


def _signed_name(name: str | None) -> str:
    """The file's own name with `-signed`, of ASCII letters, digits and dashes."""
    stem = (name or "").rsplit("/", 1)[-1].removesuffix(".pdf")
    return for_file_name(stem or "report", "-signed.pdf")


def _car(snapshot: Snapshot) -> str:
    parts = [
        for_line(cell_values.words(cell_values.value(snapshot.cells, f"car/{name}")), 60)
        for name in ("year", "make", "model")
    ]
    return " ".join(part for part in parts if part) or "This car"
