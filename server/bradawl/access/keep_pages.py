"""The page about keeping: a backup to download, and what is missing after a restore."""

# No postponed annotations here: FastAPI reads them, and these name local values.
import tempfile
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime
from typing import IO, Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import StreamingResponse

from bradawl.access.access import Access
from bradawl.access.backup import BackupError, Contents
from bradawl.access.pages import render
from bradawl.access.people import Person
from bradawl.access.requests import address_of

_PIECE = 256 * 1024


def add(
    routes: APIRouter,
    access: Access,
    *,
    held: Callable[[], Mapping[str, int]],
    backup: Callable[[IO[bytes]], Contents],
) -> None:
    """`held` says up to which entry each device is here; `backup` writes one into a file."""
    Owner = Annotated[Person, Depends(access.owner)]  # noqa: N806 - a type
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    def page(request: Request, me: Person, status: int = 200, problem: str = "") -> Response:
        gaps = [(access.name_of_device(gap.device), gap) for gap in access.missing.gaps(held())]
        return render(request, "keep.html", status, problem, me=me, gaps=gaps, here="/desk/keep")

    @routes.get("/desk/keep")
    def keep(request: Request, me: Owner) -> Response:
        return page(request, me)

    @routes.post("/desk/keep")
    def download(request: Request, me: Confirmed) -> Response:
        # Into a file first: an error then is a page, not half a download.
        file = tempfile.TemporaryFile(prefix="bradawl-backup-")  # noqa: SIM115 - closed when sent
        try:
            contents = backup(file)
        except (BackupError, OSError) as error:
            file.close()
            return page(request, me, 503, f"No backup was made. {error}")
        access.audit.record(
            me.name, "backup downloaded", f"{contents.photos} photos", address_of(request)
        )
        size = file.tell()
        file.seek(0)
        name = f"bradawl-{datetime.now(UTC):%Y-%m-%d-%H%M}.tar"
        return StreamingResponse(
            _pieces(file),
            media_type="application/x-tar",
            headers={
                "Content-Disposition": f'attachment; filename="{name}"',
                "Content-Length": str(size),
                "Cache-Control": "no-store",
            },
        )


def _pieces(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while piece := file.read(_PIECE):
            yield piece
