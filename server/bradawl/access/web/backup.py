"""The page about keeping: a backup to download, and what is missing after a restore."""

# No postponed annotations here: FastAPI reads them, and these name local values.
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import IO, Annotated, Protocol

from fastapi import APIRouter, Depends, Form, Request, Response
from fastapi.responses import StreamingResponse

from bradawl.access.core.client import address_of
from bradawl.access.core.models import Person
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError

_PIECE = 256 * 1024


class Made(Protocol):
    """What a backup holds; `faults` are sentences about what is not whole in it."""

    @property
    def photos(self) -> int: ...
    @property
    def faults(self) -> Sequence[str]: ...


def add(
    routes: APIRouter,
    access: Access,
    *,
    held: Callable[[], Mapping[str, int]],
    backup: Callable[[], tuple[IO[bytes], Made]],
    state: Callable[[], object],
) -> None:
    """`held` says up to which entry each device is here; `backup` makes one, in a file; `state`
    is what `keep.html` shows of those that the server makes by itself.
    """
    Owner = Annotated[Person, Depends(access.owner)]  # noqa: N806 - a type
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    def page(
        request: Request,
        me: Person,
        status: int = 200,
        problem: str = "",
        faults: Sequence[str] = (),
    ) -> Response:
        gaps = [(access.name_of_device(gap.device), gap) for gap in access.missing.gaps(held())]
        values = {"me": me, "gaps": gaps, "faults": faults, "daily": state(), "here": "/desk/keep"}
        return render(request, "backup.html", status, problem, **values)

    @routes.get("/desk/keep")
    def keep(request: Request, me: Owner) -> Response:
        return page(request, me)

    @routes.post("/desk/keep")
    def download(
        request: Request, me: Confirmed, anyway: Annotated[str, Form(max_length=3)] = ""
    ) -> Response:
        # Into a file first: an error then is a page, not half a download.
        try:
            file, contents = backup()
        except ApiError as error:
            return page(request, me, error.status, error.message)
        if contents.faults and not anyway:
            file.close()
            return page(request, me, 409, faults=contents.faults)
        access.audit.record_if_possible(
            me.name, "backup downloaded", f"{contents.photos} photos", address_of(request)
        )
        size = file.seek(0, io.SEEK_END)
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
