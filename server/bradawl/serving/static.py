"""The phone app's built files, with the cache rules that an offline app lives by."""

from __future__ import annotations

from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope


class AppFiles(StaticFiles):
    """Files below `/app/`.

    A file under `assets/` carries the hash of its content in its name and may be kept for ever;
    the page and the service worker are asked for anew each time, or an old app would never
    learn of a new one. A missing file is a 404, never the page: a stale page that asked for a
    script and got HTML would be a blank screen.
    """

    def __init__(self, folder: Path) -> None:
        super().__init__(directory=folder, html=True)

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        hashed = path.startswith("assets/")
        response.headers["Cache-Control"] = (
            "public, max-age=31536000, immutable" if hashed else "no-cache"
        )
        return response
