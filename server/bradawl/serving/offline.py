"""What a phone needs to work with no network: the judge's sources and the checklists.

Both are named by the hash of their content, so a phone keeps what it has until it chooses to
change, and a visit keeps the checklist it began with.
"""

from __future__ import annotations

import functools
import gzip
import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter, Request, Response

from bradawl import __version__
from bradawl.errors import ApiError, documented

PROTOCOL = 1
FOR_EVER = {"Cache-Control": "public, max-age=31536000, immutable"}


def router(
    judge_files: Mapping[str, str],
    bundle: Mapping[str, Any],
    kept_bundle: Callable[[str], dict[str, Any] | None],
) -> APIRouter:
    """Routes that need no login: they serve nothing that anybody recorded.

    `judge_files` maps file names to sources, `bundle` is today's checklist, `kept_bundle` finds
    an older one by its hash.
    """
    api = APIRouter(prefix="/api/v1", tags=["offline"])
    packed = functools.lru_cache(maxsize=4)(_packed)

    def answer(request: Request, text: str) -> Response:
        headers = {**FOR_EVER, "Vary": "Accept-Encoding"}
        if "gzip" not in request.headers.get("accept-encoding", ""):
            return Response(text, media_type="application/json", headers=headers)
        headers["Content-Encoding"] = "gzip"
        return Response(packed(text), media_type="application/json", headers=headers)

    judge_text = json.dumps({"files": dict(sorted(judge_files.items()))}, ensure_ascii=False)
    judge_hash = hashlib.sha256(judge_text.encode()).hexdigest()

    @api.get("/offline")
    def offline() -> dict[str, Any]:
        """Where today's judge and checklists are."""
        return {
            "protocol": PROTOCOL,
            "app": __version__,
            "judge": f"/api/v1/judge/{judge_hash}.json",
            "checklists": f"/api/v1/checklists/{bundle['hash']}.json",
        }

    @api.get("/judge/{name}.json", responses=documented(404))
    def judge(name: str, request: Request) -> Response:
        """The judgement package's own files, as a worker imports them."""
        if name != judge_hash:
            raise ApiError(
                "gone",
                "This server has a newer judge than the one asked for; /api/v1/offline names it.",
                404,
            )
        return answer(request, judge_text)

    @api.get("/checklists/{name}.json", responses=documented(404))
    def checklists(name: str, request: Request) -> Response:
        """A checklist bundle by its hash, old ones included."""
        found = bundle if name == bundle["hash"] else kept_bundle(name)
        if found is None:
            raise ApiError(
                "unknown_checklist", "No checklist with this hash was ever served here.", 404
            )
        return answer(request, json.dumps(found, ensure_ascii=False, separators=(",", ":")))

    return api


def _packed(text: str) -> bytes:
    return gzip.compress(text.encode(), 9, mtime=0)
