"""What a phone needs to work with no network: the judge's sources and the checklists.

Both are named by the hash of their content, so a phone keeps what it has until it chooses to
change, and a visit keeps the checklist it began with.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter, Request, Response

from bradawl import __version__
from bradawl.common.errors import ApiError, documented
from bradawl.serving.build_cache import Document

PROTOCOL = 2
FOR_EVER = {"Cache-Control": "public, max-age=31536000, immutable"}


def router(
    judge: Document,
    checklists: Callable[[], Document],
    kept_bundle: Callable[[str], Mapping[str, Any] | None],
) -> APIRouter:
    """Routes that need no login: they serve nothing that anybody recorded.

    `judge` is today's, `checklists` gives the one that new visits begin with; `kept_bundle` finds
    any other checklist by its hash.
    """
    api = APIRouter(prefix="/api/v1", tags=["offline"])

    @functools.lru_cache(maxsize=4)
    def older(name: str) -> Document:
        bundle = kept_bundle(name)
        if bundle is None:  # and nothing is remembered: another server may yet receive it
            raise ApiError(
                "unknown_checklist", "No checklist with this hash was ever served here.", 404
            )
        return Document.of(name, bundle)

    def answer(request: Request, document: Document) -> Response:
        headers = {**FOR_EVER, "Vary": "Accept-Encoding"}
        if "gzip" not in request.headers.get("accept-encoding", ""):
            return Response(document.text, media_type="application/json", headers=headers)
        headers["Content-Encoding"] = "gzip"
        return Response(document.packed, media_type="application/json", headers=headers)

    @api.get("/offline")
    def offline() -> dict[str, Any]:
        """Where today's judge and checklists are."""
        return {
            "protocol": PROTOCOL,
            "app": __version__,
            "judge": f"/api/v1/judge/{judge.hash}.json",
            "checklists": f"/api/v1/checklists/{checklists().hash}.json",
        }

    @api.get("/judge/{name}.json", responses=documented(404))
    def judge_files(name: str, request: Request) -> Response:
        """The judge package's own files, as a worker imports them."""
        if name != judge.hash:
            raise ApiError(
                "gone",
                "This server has a newer judge than the one asked for; /api/v1/offline names it.",
                404,
            )
        return answer(request, judge)

    @api.get("/checklists/{name}.json", responses=documented(404))
    def checklist(name: str, request: Request) -> Response:
        """A checklist bundle by its hash, old ones included."""
        current = checklists()
        return answer(request, current if name == current.hash else older(name))

    return api
