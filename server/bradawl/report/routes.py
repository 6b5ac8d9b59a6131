"""The desk's pages about reports: choose and make one, watch its progress, add a signature.

The pages are laid out in the desk's own frame (`base.html`); what they need of the rest of the
server is handed in as a `ReportDesk`.
"""

import io
import logging
from collections.abc import AsyncIterator, Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any, Protocol, cast

from fastapi import APIRouter, Depends, Request
from fastapi.responses import FileResponse, RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from bradawl.common.display_text import for_file_name, for_line
from bradawl.common.errors import ApiError
from bradawl.common.templating import Pages
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot, UnknownVisit
from bradawl.language import language_name, locales, text
from bradawl.operations import note
from bradawl.report.checking.verification import Verdict
from bradawl.report.issue import Issued, Progress
from bradawl.report.jobs import ReportJob, ReportJobs
from bradawl.report.model.editions.edition import DEFAULT_CHOICE, EDITIONS, Choice, Edition
from bradawl.report.printing import PAPERS, UNITS, Printing, PrintingError
from bradawl.report.review import Review, review_of
from bradawl.report.sale_forms import FORMS, sale_form
from bradawl.report.signing.keys import Signer, SigningError
from bradawl.report.signing.signatures import countersign

__all__ = ["ReportDesk", "router"]

logger = logging.getLogger(__name__)

PDF_LIMIT_BYTES = 200_000_000
FIELDS_LIMIT = 10_000  # one for each entry that is reviewed
_CHOICE_FIELDS = (
    "edition", "language", "units", "paper", "place", "seller", "photos", "amendments",
)  # fmt: skip
_FOLDER = Path(__file__).parent

_render = Pages(_FOLDER / "templates").render


class Write(Protocol):
    """Writes the signed report of a snapshot to a file."""

    def __call__(
        self,
        snapshot: Snapshot,
        out: Path,
        edition: Edition,
        printing: Printing,
        choice: Choice,
        progress: Progress,
    ) -> Issued: ...


@dataclass(frozen=True)
class ReportDesk:
    """What every page may use.

    `snapshots` raises UnknownVisit; `file_name` names a report's file; `signer` gives the shop's
    key, `verify` what a PDF is; `person` is the dependency that admits whoever signed in.
    """

    snapshots: Callable[[str], Snapshot]
    write: Write
    file_name: Callable[[Snapshot, Edition, Printing], str]
    signer: Callable[[], Signer]
    verify: Callable[[bytes], Verdict]
    jobs: ReportJobs
    person: Callable[..., Any]

    def snapshot(self, visit: str) -> Snapshot:
        """One visit as of today; a page that says so when there is none."""
        try:
            return self.snapshots(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", str(unknown), 404) from unknown

    def job(self, key: str) -> ReportJob:
        """A report that is being made, or whose file is still kept."""
        job = self.jobs.get(key)
        if job is None:
            raise ApiError("no_report", text("report-not-kept"), 404)
        return job


def router(desk: ReportDesk) -> APIRouter:
    """All pages, below /desk."""

    def provide(request: Request, person: Annotated[Any, Depends(desk.person)]) -> None:
        request.state.report_desk, request.state.person = desk, person

    routes = APIRouter(prefix="/desk", include_in_schema=False, dependencies=[Depends(provide)])
    routes.include_router(_pages)
    return routes


def _current_desk(request: Request) -> ReportDesk:
    return cast(ReportDesk, request.state.report_desk)


async def _posted_form(request: Request) -> AsyncIterator[FormData]:
    async with request.form(max_fields=FIELDS_LIMIT, max_files=1) as form:
        yield form


_DeskHere = Annotated[ReportDesk, Depends(_current_desk)]
_Form = Annotated[FormData, Depends(_posted_form)]
_pages = APIRouter()


@_pages.get("/visits/{visit}/forms/{form}.pdf")
def blank_form(desk: _DeskHere, visit: str, form: str) -> Response:
    """A blank bill of sale or odometer statement, with what is known of the car."""
    known = next((one for one in FORMS if one == form), None)
    if known is None:
        raise ApiError("not_found", text("server-http-404"), 404)
    now = datetime.now(UTC).replace(microsecond=0)
    made = now.isoformat()
    data = sale_form(desk.snapshot(visit), known, today=made[:10], made=made)
    headers = {"Content-Disposition": f'inline; filename="{form}.pdf"'}
    headers["Cache-Control"] = "no-store"
    return Response(data, media_type="application/pdf", headers=headers)


@_pages.get("/visits/{visit}/report")
def choose(request: Request, desk: _DeskHere, visit: str, edition: str = "condition") -> Response:
    snapshot = desk.snapshot(visit)
    chosen: Edition = edition if edition in EDITIONS else "condition"
    return _render(
        request,
        "choose.html",
        visit=visit,
        car=_car(snapshot),
        edition=chosen,
        choice=DEFAULT_CHOICE[chosen],
        printing=Printing.of(),
        languages={locale: language_name(locale) for locale in locales()},
        units=UNITS,
        papers=PAPERS,
        sealed=bool(snapshot.seals),
        amended=len(snapshot.amendments),
    )


@_pages.post("/visits/{visit}/report")
def make(request: Request, desk: _DeskHere, visit: str, form: _Form) -> Response:
    """Begin the report, once somebody has read whatever it may give away."""
    snapshot = desk.snapshot(visit)
    if form.get("edition") not in EDITIONS:
        raise ApiError("choice", text("report-make-refused"), 422)
    try:
        printing = Printing.of(
            *(str(form.get(name) or "") for name in ("language", "units", "paper"))
        )
    except PrintingError as refused:
        raise ApiError("choice", str(refused), 422) from refused
    edition = cast("Edition", form.get("edition"))
    choice = Choice(
        place="place" in form,
        seller="seller" in form,
        photos="photos" in form,
        amendments="amendments" in form,
    )
    posted = {name: value for name, value in form.items() if isinstance(value, str)}
    read = review_of(snapshot, edition, choice, posted)
    if read.pending:
        return _review_page(request, visit, snapshot, edition, posted, read)
    choice = replace(choice, reviewed=read.let_out)
    job = desk.jobs.start(
        visit,
        desk.file_name(snapshot, edition, printing),
        lambda out, progress: desk.write(snapshot, out, edition, printing, choice, progress),
    )
    return RedirectResponse(f"/desk/reports/{job.id}", status_code=303)


def _review_page(
    request: Request,
    visit: str,
    snapshot: Snapshot,
    edition: Edition,
    posted: Mapping[str, str],
    read: Review,
) -> Response:
    """What this report may give away, to be read before it is made."""
    answered = any(entry.answer for entry in read.flagged) or "rest" in posted
    problem = text("report-review-pending", count=len(read.pending)) if answered else ""
    return _render(
        request,
        "review.html",
        422 if problem else 200,
        visit=visit,
        car=_car(snapshot),
        edition=edition,
        kept=[(name, posted[name]) for name in _CHOICE_FIELDS if name in posted],
        flagged=read.flagged,
        others=read.others,
        pending=read.pending,
        problem=problem,
    )


@_pages.get("/reports/{key}")
def watch(request: Request, desk: _DeskHere, key: str) -> Response:
    return _render(request, "progress.html", job=desk.job(key))


@_pages.get("/reports/{key}/file")
def fetch(desk: _DeskHere, key: str) -> Response:
    job = desk.job(key)
    if job.issued is None:
        raise ApiError("not_ready", text("report-not-ready"), 409)
    return FileResponse(
        job.file,
        media_type="application/pdf",
        filename=job.name,
        content_disposition_type="inline",
        headers={"Cache-Control": "no-store"},
    )


@_pages.get("/verify/sign")
def sign_page(request: Request) -> Response:
    return _render(request, "sign.html", problem="", verdict=None)


@_pages.post("/verify/sign")
def sign(request: Request, desk: _DeskHere, form: _Form) -> Response:
    upload = form.get("pdf")
    if not isinstance(upload, UploadFile):
        return _refused(request, text("report-sign-no-file"))
    data = upload.file.read(PDF_LIMIT_BYTES + 1)
    if not data or len(data) > PDF_LIMIT_BYTES:
        return _refused(request, text("report-sign-too-large"))
    verdict = desk.verify(data)
    if verdict.kind != "genuine":
        return _refused(request, text("report-sign-not-genuine"), verdict)
    file = io.BytesIO(data)
    try:
        countersign(file, desk.signer())
    except SigningError as problem:
        return _refused(request, str(problem))
    note(logger, "report.countersigned", number=verdict.report)
    name = _signed_name(upload.filename)
    disposition = f'attachment; filename="{name}"'  # a header: not shown
    return Response(
        file.getvalue(),
        media_type="application/pdf",
        headers={
            "Content-Disposition": disposition,
            "Cache-Control": "no-store",
        },
    )


def _refused(request: Request, problem: str, verdict: Verdict | None = None) -> Response:
    return _render(request, "sign.html", 422, problem=problem, verdict=verdict)


def _signed_name(name: str | None) -> str:
    """The file's own name and that it was signed, of ASCII letters, digits and dashes."""
    stem = (name or "").rsplit("/", 1)[-1].removesuffix(".pdf")
    signed = for_file_name(text("report-file-suffix"), "")
    return for_file_name(stem or text("report-file-condition"), f"-{signed}.pdf")


def _car(snapshot: Snapshot) -> str:
    parts = [
        for_line(cell_values.words(cell_values.value(snapshot.cells, f"car/{name}")), 60)
        for name in ("year", "make", "model")
    ]
    return " ".join(part for part in parts if part) or text("report-make-this-car")
