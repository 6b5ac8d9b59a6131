"""Parts of a file that a browser asks for, as its players do (RFC 9110, section 14)."""

from __future__ import annotations

import re
from collections.abc import Mapping

from starlette.requests import Request
from starlette.responses import Response

__all__ = ["never_a_page", "part_or_whole"]

_RANGE = re.compile(r"bytes=(\d{1,15})-(\d{0,15})", re.ASCII).fullmatch


def never_a_page(file_name: str) -> dict[str, str]:
    """Headers of bytes that never change and must never be taken for a page."""
    return {
        "Cache-Control": "private, max-age=31536000, immutable",
        "Content-Disposition": f'inline; filename="{file_name}"',
        "Content-Security-Policy": "default-src 'none'; sandbox",
        "X-Content-Type-Options": "nosniff",
    }


def part_or_whole(request: Request, data: bytes, kind: str, headers: Mapping[str, str]) -> Response:
    """The bytes as media type `kind`, or the one range of them that was asked for.

    Players seek that way, and some play nothing without it.
    """
    headers = {**headers, "Accept-Ranges": "bytes"}
    wanted = _RANGE(request.headers.get("range", ""))
    if wanted is None:
        return Response(data, media_type=kind, headers=headers)
    first = int(wanted[1])
    last = min(int(wanted[2]) if wanted[2] else len(data) - 1, len(data) - 1)
    if first > last:
        return Response(status_code=416, headers={"Content-Range": f"bytes */{len(data)}"})
    headers["Content-Range"] = f"bytes {first}-{last}/{len(data)}"
    return Response(data[first : last + 1], 206, headers, media_type=kind)
