"""The signed PDF of a visit, made when it is asked for."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Annotated, Any, BinaryIO

from fastapi import APIRouter, Depends, Query, Response
from fastapi.responses import StreamingResponse

from bradawl.common.display_text import for_file_name
from bradawl.common.errors import ApiError
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot, UnknownVisit
from bradawl.language import reading_as, text
from bradawl.report.model.editions.edition import Edition
from bradawl.report.printing import Printing, PrintingError

PIECE_BYTES = 2**20


def router(
    snapshots: Callable[[str], Snapshot],
    write: Callable[[Snapshot, Path, Edition, Printing], Any],
    person: Callable[..., Any],
) -> APIRouter:
    """`GET /desk/visits/VISIT/report.pdf`; `write` lays out and signs into a file.

    `language`, `units` and `paper` are the shop's usual where the request does not choose.
    """
    routes = APIRouter(prefix="/desk", include_in_schema=False, dependencies=[Depends(person)])

    # Not async: layout and signing run in a worker thread, so that sync goes on meanwhile.
    @routes.get("/visits/{visit}/report.pdf")
    def report(
        visit: str,
        edition: Annotated[Edition, Query()] = "condition",
        language: Annotated[str, Query(max_length=20)] = "",
        units: Annotated[str, Query(max_length=20)] = "",
        paper: Annotated[str, Query(max_length=20)] = "",
    ) -> Response:
        try:
            printing = Printing.of(language, units, paper)
        except PrintingError as refused:
            raise ApiError("choice", str(refused), 422) from refused
        try:
            snapshot = snapshots(visit)
        except UnknownVisit as unknown:
            raise ApiError("unknown_visit", str(unknown), 404) from unknown
        # Sent piece by piece from its file, which has lost its name by then: a report of many
        # photos is as large as they are. No ranges: each request makes and signs another file.
        with tempfile.TemporaryDirectory(
            prefix="bradawl-report-", ignore_cleanup_errors=True
        ) as folder:
            out = Path(folder) / "report.pdf"
            write(snapshot, out, edition, printing)
            file = out.open("rb")
        name = file_name(snapshot, edition, printing)
        return StreamingResponse(
            _pieces(file),
            media_type="application/pdf",
            headers={
                "Content-Disposition": f'inline; filename="{name}"',
                "Content-Length": str(os.fstat(file.fileno()).st_size),
                "Cache-Control": "no-store",
            },
        )

    return routes


def _pieces(file: BinaryIO) -> Iterator[bytes]:
    with file:
        while piece := file.read(PIECE_BYTES):
            yield piece


def file_name(snapshot: Snapshot, edition: Edition, printing: Printing) -> str:
    """A file name of ASCII letters, digits and dashes: car, date, edition in its language."""

    def value(path: str) -> Any:
        return cell_values.value(snapshot.cells, path)

    parts = [cell_values.words(value(f"car/{name}"))[:20] for name in ("make", "model", "year")]
    parts.append(cell_values.moment(value("about/started")).date[:10])
    with reading_as(printing.reader):
        parts.append(text("report-file-" + edition))
    return for_file_name(" ".join(parts), ".pdf")
