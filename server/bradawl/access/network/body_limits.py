"""How large a request may be, by the bytes that arrive and not by what it says of itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from anyio import to_thread
from starlette.datastructures import Headers
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from bradawl.common.errors import ApiError
from bradawl.language import message

KIB = 1024
MIB = 1024 * KIB

SMALL = 64 * KIB
#: Path prefix and bytes; the first that fits counts.
LIMITS: tuple[tuple[str, int], ...] = (
    ("/api/v1/sync/", 8 * MIB),
    ("/api/v1/blobs/missing", 1 * MIB),
    ("/api/v1/blobs/", 70 * MIB),
    ("/desk/import", 512 * MIB),
    ("/desk/verify", 256 * MIB),
    ("/desk/keys/look", 256 * MIB),  # a report may stand for its signer's certificate
    ("/desk/visits/", 200 * MIB),  # photos of work and receipts; the sheet of remedies
    ("/desk/checklists/", 2 * MIB),  # a file of a checklist, typed
    ("/", 64 * KIB),
)


def limit_for(path: str, limits: Sequence[tuple[str, int]] = LIMITS) -> int:
    """The bytes that a request to `path` may carry."""
    return next(size for prefix, size in limits if path.startswith(prefix))


class BodyLimit:
    """ASGI middleware: each path its own limit, answered with 413 and a sentence.

    Counting is Starlette's; what is added is the choice by path and the refusal of a body that
    announces too much before any of it is read. A form is read before anybody asks who sent it,
    so at the desk `known` is asked first and strangers may send little.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        known: Callable[[Request], bool],
        limits: Sequence[tuple[str, int]] = LIMITS,
    ) -> None:
        self._limits = tuple(limits)
        self._known = known
        self._counted = {
            size: RequestBodyLimitMiddleware(app, max_body_size=size) for _, size in limits
        }

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        path = scope.get("path", "/")
        limit = limit_for(path, self._limits)
        if scope["type"] == "http":
            if limit > SMALL and path.startswith("/desk/") and scope["method"] == "POST":
                known = await to_thread.run_sync(self._known, Request(scope))
                limit = limit if known else SMALL
            announced = Headers(scope=scope).get("content-length", "")
            if announced.isdigit() and int(announced) > limit:
                await too_large(limit).response()(scope, receive, send)
                return
        await self._counted[limit](scope, receive, send)


def too_large(limit: int) -> ApiError:
    """The refusal of a body beyond `limit` bytes."""
    size = (
        message("access-size-mb", count=limit // MIB)
        if limit >= MIB
        else message("access-size-kb", count=limit // KIB)
    )
    return ApiError(
        "too_large",
        message("access-too-large", size=size),
        413,
        headers={"Connection": "close"},
        limit_bytes=limit,
    )
