"""The signed PDF of a visit, made when it is asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Query, Response

from bradawl.dossier import Dossier, UnknownVisit
from bradawl.errors import ApiError

Edition = Literal["condition", "partner"]
Page = Literal["A4", "Letter"]


def router(
    dossiers: Callable[[str], Dossier],
    build: Callable[[Dossier, Edition, Page], bytes],
    person: Callable[..., Any],
) -> APIRouter:
    """`GET /desk/visits/VISIT/report.pdf`; `build` lays out and signs."""
    routes = APIRouter(prefix="/desk", include_in_schema=False, dependencies=[Depends(person)])

    # Not async: layout and signing run in a worker thread, so that sync goes on meanwhile.
    @routes.get("/visits/{visit}/report.pdf")
    def report(
        visit: str,
        edition: Annotated[Edition, Query()] = "condition",
        page: Annotated[Page, Query()] = "A4",
    ) -> Response:
        try:
            dossier = dossiers(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", str(unknown), 404) from unknown
        return Response(
            build(dossier, edition, page),
            media_type="application/pdf",
            headers={
                "Content-Disposition": f'inline; filename="{file_name(dossier, edition)}"',
                "Cache-Control": "no-store",
            },
        )

    return routes


def file_name(dossier: Dossier, edition: Edition) -> str:
    """A file name of ASCII letters, digits and dashes that says car, date and edition."""

    def value(path: str) -> Any:
        return dossier.cells.get(path, {}).get("value")

    started = value("about/started")
    parts = [value("car/make"), value("car/model"), value("car/year")]
    parts.append(started.get("date") if isinstance(started, dict) else None)
    words = " ".join(str(part) for part in [*parts, edition] if part)
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in words.lower())
    return "-".join(filter(None, plain.split("-"))) + ".pdf"
