"""One application for all the desks of a run: to build its 200 routes takes longer than most tests.

Each request finds the desk that it was asked of, as in an application of its own.
"""

from __future__ import annotations

import functools
from contextvars import ContextVar
from typing import Any, cast

from fastapi import FastAPI
from starlette.types import ASGIApp, Receive, Scope, Send

from bradawl.common import errors
from bradawl.desk.routes import router
from bradawl.desk.web import rendering
from bradawl.desk.web.context import Desk

_ASKED: ContextVar[Desk] = ContextVar("asked")


class _AskedDesk:
    """Stands for the desk of the request at hand."""

    def __getattr__(self, name: str) -> Any:
        return getattr(_ASKED.get(), name)


def app_over(desk: Desk) -> FastAPI:
    """An application with the desk's pages, as the wiring makes it."""
    app = FastAPI()
    errors.install(app, page=rendering.error_page)
    app.include_router(router(desk))
    return app


@functools.cache
def _shared() -> FastAPI:
    return app_over(cast(Desk, _AskedDesk()))


def site_of(desk: Desk) -> ASGIApp:
    """What answers for this desk."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        before = _ASKED.set(desk)
        try:
            await _shared()(scope, receive, send)
        finally:
            _ASKED.reset(before)

    return answer
