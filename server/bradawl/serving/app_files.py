"""The phone app's built files, with the cache rules that an offline app lives by."""

from __future__ import annotations

import os
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

# The build wrote each file packed as well, best first.
PACKED = (("br", ".br"), ("gzip", ".gz"))


class AppFiles(StaticFiles):
    """Files below `/app/`.

    A file under `assets/` carries the hash of its content in its name, one under `fonts/` the
    number of its cut, and may be kept for ever;
    the page and the service worker are asked for anew each time, or an old app would never
    learn of a new one. A missing file is a 404, never the page: a stale page that asked for a
    script and got HTML would be a blank screen.

    The page itself is not stored outside the worker's cache: over https, that also keeps WebKit
    from holding a page that was left in the midst of a transaction, whose lock on the phone's
    storage the next page would wait for.
    """

    def __init__(self, folder: Path) -> None:
        super().__init__(directory=folder, html=True)

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        if path.startswith(("assets/", "fonts/")):
            keep = "public, max-age=31536000, immutable"
        elif path in (".", "index.html"):
            keep = "no-store"
        else:
            keep = "no-cache"
        response.headers["Cache-Control"] = keep
        return response

    def is_not_modified(self, response_headers: Headers, request_headers: Headers) -> bool:
        """By its tag alone. What a browser has by its date may come from another host that answered
        at this name before, or from a newer version: that date says nothing of these files.
        """
        tagged = "if-none-match" in request_headers
        return tagged and super().is_not_modified(response_headers, request_headers)

    def file_response(
        self,
        full_path: str | os.PathLike[str],
        stat_result: os.stat_result,
        scope: Scope,
        status_code: int = 200,
    ) -> Response:
        headers = Headers(scope=scope)
        accepted = {
            word.partition(";")[0].strip() for word in headers.get("accept-encoding", "").split(",")
        }
        for encoding, ending in PACKED:
            packed = Path(f"{full_path}{ending}")
            # A range is of the plain file: a packed one would be cut in the wrong place.
            if encoding in accepted and "range" not in headers and packed.is_file():
                response = super().file_response(packed, packed.stat(), scope, status_code)
                plain = super().file_response(full_path, stat_result, scope, status_code)
                if status_code == 200 and "content-type" in plain.headers:
                    response.headers["Content-Type"] = plain.headers["content-type"]
                response.headers["Content-Encoding"] = encoding
                response.headers["Vary"] = "Accept-Encoding"
                return response
        return super().file_response(full_path, stat_result, scope, status_code)
