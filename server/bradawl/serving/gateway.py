"""What a server listens with: the phone app's files, and all the rest behind them when asked for.

Putting the application together takes most of a second and 50 MB of libraries. The first thing
that any phone or browser asks for is the app, which is files; and a phone that works from its
own storage asks for nothing. So the files are served from here, and the application is put
together by the first request that needs it.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from contextlib import AsyncExitStack, suppress
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from bradawl.common import errors
from bradawl.common.settings import StartError
from bradawl.language import message
from bradawl.operations import note
from bradawl.serving.app_files import AppFiles

logger = logging.getLogger(__name__)

#: Where the app's files are; the application has them at the same place.
APP = "/app"

NOT_READY = errors.ApiError(
    "not_ready",
    message("server-not-ready"),
    503,
    headers={"Retry-After": "10", "Cache-Control": "no-store"},
)


class Front:
    """An ASGI application: `files` at once, everything else by what `assemble` makes.

    `assemble` is called in a thread, once, and again after it failed; `whole` is what it would
    make, where that had to be made beforehand. Whatever the files do not answer with a file is the
    application's, which says so as it says everything.
    """

    def __init__(
        self,
        files: AppFiles,
        assemble: Callable[[], Starlette],
        whole: Starlette | None = None,
    ) -> None:
        self._files = files
        self._assemble = assemble
        self._whole = whole
        self._assembling: asyncio.Task[Starlette] | None = None
        self._running = AsyncExitStack()

    @property
    def whole(self) -> Starlette | None:
        """The application, once it is put together."""
        return self._whole

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._live(receive, send)
            return
        file = await self._file(scope)
        if file is not None:
            await file(scope, receive, send)
            return
        try:
            whole = await self._application()
        except Exception:  # said in the log where it happened, once for all who wait
            await errors.answer(Request(scope), NOT_READY)(scope, receive, send)
            return
        await whole(scope, receive, send)

    async def _file(self, scope: Scope) -> Response | None:
        """The answer of a request for one of the app's files."""
        if scope.get("method") not in ("GET", "HEAD") or not scope["path"].startswith(f"{APP}/"):
            return None
        below = {**scope, "root_path": scope.get("root_path", "") + APP}
        try:
            return await self._files.get_response(self._files.get_path(below), below)
        except (HTTPException, OSError):
            return None

    async def _application(self) -> Starlette:
        """The application, waited for if it is being put together. Raises what that raised."""
        if self._whole is not None:
            return self._whole
        if self._assembling is None:
            self._assembling = asyncio.create_task(self._put_together())
        # A request that is given up must not take the others' application with it.
        return await asyncio.shield(self._assembling)

    async def _put_together(self) -> Starlette:
        try:
            whole = await asyncio.to_thread(self._assemble)
            await self._running.enter_async_context(whole.router.lifespan_context(whole))
        except Exception as error:
            why: dict[str, Any] = {"why": error} if isinstance(error, StartError) else {}
            bug = None if why else error
            note(logger, "server.not_ready", level=logging.ERROR, error=bug, **why)
            raise
        finally:
            self._assembling = None
        self._whole = whole
        return whole

    async def _live(self, receive: Receive, send: Send) -> None:
        """Start at once; end with the application, if it ever ran."""
        await receive()
        if self._whole is not None:
            whole = self._whole
            await self._running.enter_async_context(whole.router.lifespan_context(whole))
        await send({"type": "lifespan.startup.complete"})
        await receive()
        if self._assembling is not None:
            with suppress(Exception):
                await self._assembling
        await self._running.aclose()
        await send({"type": "lifespan.shutdown.complete"})
