"""The page about keeping: a backup to download, and what is missing after a restore."""

# No postponed annotations here: FastAPI reads them.
import io
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import IO, Annotated

from fastapi import APIRouter, Form, Response
from fastapi.responses import StreamingResponse

from bradawl.access.core.client import address_of
from bradawl.access.web.context import ConfirmedOwner, Owner, User
from bradawl.common.errors import ApiError

pages = APIRouter(prefix="/desk/keep")
_PIECE = 256 * 1024


def _page(user: User, problem: ApiError | None = None, faults: Sequence[str] = ()) -> Response:
    access, parts = user.access, user.parts
    gaps = [(access.name_of_device(gap.device), gap) for gap in access.missing.gaps(parts.held())]
    values = {
        "gaps": gaps,
        "faults": faults,
        "daily": parts.backup_state(),
        "health": parts.health(),
        "here": "/desk/keep",
    }
    return user.page("backup.html", problem, **values)


@pages.get("")
def show(owner: Owner) -> Response:
    return _page(owner)


@pages.post("")
def download(owner: ConfirmedOwner, anyway: Annotated[str, Form(max_length=3)] = "") -> Response:
    # Into a file first: an error then is a page, not half a download.
    try:
        file, contents = owner.parts.backup()
    except ApiError as problem:
        return _page(owner, problem)
    if contents.faults and not anyway:
        file.close()
        return _page(owner, ApiError("faults", "", 409), contents.faults)
    owner.access.audit.record_if_possible(
        *(owner.person.name, "backup downloaded", str(contents.photos)),
        address_of(owner.request),
    )
    size = file.seek(0, io.SEEK_END)
    file.seek(0)
    headers = {
        "Content-Disposition": (
            f'attachment; filename="bradawl-{datetime.now(UTC):%Y-%m-%d-%H%M}.tar"'
        ),
        "Content-Length": str(size),
        "Cache-Control": "no-store",
    }
    return StreamingResponse(_pieces(file), media_type="application/x-tar", headers=headers)


def _pieces(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while piece := file.read(_PIECE):
            yield piece
