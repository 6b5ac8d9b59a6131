"""The list of visits, one visit with everything found in it, its photos, and a dropped PDF."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, File, Query, Request, Response, UploadFile

from bradawl.common.errors import ApiError
from bradawl.desk.model import findings
from bradawl.desk.model.summaries import ON_A_PAGE
from bradawl.desk.web.rendering import ANSWER_WORDS, render
from bradawl.desk.web.visit_page import Asked, asked_of, render_visit
from bradawl.imaging.errors import PictureError
from bradawl.imaging.placeholder import placeholder

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

PDF_LIMIT_BYTES = 200 * 2**20


def add(pages: APIRouter, desk: "Desk") -> None:
    """The pages of this module."""

    @pages.get("/")
    def visits(
        request: Request,
        person: Annotated[Any, Depends(desk.person)],
        page: Annotated[int, Query(ge=1, le=100_000)] = 1,
        words: Annotated[str, Query(max_length=80)] = "",
    ) -> Response:
        words = words.strip()
        if words:
            rows, waiting = desk.summaries.find(words)
        else:
            rows = desk.summaries.rows((page - 1) * ON_A_PAGE)
            waiting = sum(
                row.summary is None and not desk.summaries.unreadable(row) for row in rows
            )
        return render(
            request,
            "visits/list.html",
            rows=rows,
            words=words,
            page=page,
            pages=max(1, -(-desk.summaries.count() // ON_A_PAGE)),
            answers=ANSWER_WORDS,
            waiting=waiting,
            backup_warnings=desk.backup_warnings(),
            owns=desk.is_owner(person),
            unreadable={row.visit for row in rows if desk.summaries.unreadable(row)},
            chains=len(desk.log.marked()) if desk.is_owner(person) else 0,
            ordered=desk.is_owner(person) and any_orders(desk.log.orders()),
        )

    @pages.get("/visits/{visit}")
    def visit_page(
        asked: Annotated[Asked, Depends(asked_of(desk))],
        person: Annotated[Any, Depends(desk.person)],
    ) -> Response:
        snapshot = asked.snapshot
        photos = findings.photos_of(snapshot)
        return render_visit(
            asked,
            "visits/show.html",
            tab="findings",
            answers=ANSWER_WORDS,
            drive=snapshot.assessment.get("drive_home", {}),
            tally=findings.tally(snapshot),
            coverage=snapshot.assessment.get("coverage", {}),
            areas=findings.areas(snapshot),
            unseen=findings.not_inspected(snapshot),
            conflicts=findings.conflicts(snapshot, desk.name_of),
            amendments=findings.amendments(snapshot, desk.name_of),
            seals=findings.seals(snapshot, desk.name_of),
            zone=findings.zone_of(snapshot),
            unconfirmed=findings.unconfirmed(snapshot, desk.name_of),
            owner=desk.is_owner(person),
            photos_total=len(photos),
            missing=set(desk.photos_missing(photos)),
        )

    @pages.get("/photos/{sha256}")
    def photo(sha256: str) -> Response:
        try:
            data = desk.log.photo(sha256) if findings.SHA256.fullmatch(sha256) else None
        except PictureError as error:
            drawn, kept = placeholder(error.message), {"Cache-Control": "no-store"}
            return Response(drawn, error.status, kept, media_type="image/svg+xml")
        if data is None:
            raise ApiError("no_photo", "This photo has not arrived on this server.", 404)
        # named by its content, so it never changes; private, because it is the owner's
        keep = {"Cache-Control": "private, max-age=31536000, immutable"}
        return Response(data, media_type="image/jpeg", headers=keep)

    @pages.get("/verify")
    def verify_page(request: Request) -> Response:
        return render(request, "records/verify.html", name="", verdict=None, problem="")

    @pages.post("/verify")
    def verify(
        request: Request,
        pdf: Annotated[UploadFile, File()],
    ) -> Response:
        data = pdf.file.read(PDF_LIMIT_BYTES + 1)
        problem, verdict = "", None
        if not data:
            problem = "No file arrived. Choose a PDF, then press “Check”."
        elif len(data) > PDF_LIMIT_BYTES:
            problem = "The file is larger than 200 MB; no report of ours is."
        elif b"%PDF-" not in data[:1024]:
            problem = f"“{pdf.filename}” is not a PDF: it does not begin as one."
        else:
            verdict = desk.verify(data)
        return render(
            request,
            "records/verify.html",
            status=422 if problem else 200,
            name=pdf.filename or "the file",
            verdict=verdict,
            problem=problem,
        )


def any_orders(orders: Mapping[str, Any]) -> bool:
    """Whether a fence stands or a clock was corrected, so that there is something to look at."""
    return bool(orders["fence"] or orders["clock"])
