"""Request log around the application: gives each request an id and logs what became of it."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from http import HTTPStatus
from typing import Any

from starlette.datastructures import MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bradawl.common import errors
from bradawl.operations import text
from bradawl.operations.context import Operation, working_on
from bradawl.operations.notes import note

logger = logging.getLogger(__name__)

HEADER = "X-Request-Id"


class RequestLog:
    """ASGI middleware, outermost: ids, refusals, errors that nothing else caught.

    Args:
        app: what answers.
        started: called when the application listens.
        stopped: called when it has ended.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        started: Callable[[], None] = lambda: None,
        stopped: Callable[[], None] = lambda: None,
    ) -> None:
        self._app = app
        self._called = {
            "lifespan.startup.complete": started,
            "lifespan.shutdown.complete": stopped,
        }

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            with working_on(_operation(scope)) as operation:
                await self._answer(operation, scope, receive, send)
        elif scope["type"] == "lifespan":
            await self._app(scope, receive, self._telling(send))
        else:
            await self._app(scope, receive, send)

    def _telling(self, send: Send) -> Send:
        async def send_and_tell(message: Message) -> None:
            self._called.get(message["type"], lambda: None)()
            await send(message)

        return send_and_tell

    async def _answer(
        self, operation: Operation, scope: Scope, receive: Receive, send: Send
    ) -> None:
        began = time.monotonic()
        status = 0

        async def send_named(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                MutableHeaders(scope=message)[HEADER] = operation.id
            await send(message)

        try:
            await self._app(scope, receive, send_named)
        except ClientDisconnect:
            pass
        except Exception as error:
            if status:  # the answer was begun: only its connection can be ended
                note(logger, "failed", level=logging.ERROR, error=error, **_request_line(operation))
                raise
            answer = errors.unexpected(Request(scope), error)
            await answer(scope, receive, send_named)
        finally:
            self._write(operation, status, round((time.monotonic() - began) * 1000))

    def _write(self, operation: Operation, status: int, duration_ms: int) -> None:
        request = _request_line(operation)
        at, code = operation.error
        if status >= HTTPStatus.BAD_REQUEST and code != errors.INTERNAL:
            details = {"code": code, **request} if at == status else request
            failing = status >= HTTPStatus.INTERNAL_SERVER_ERROR
            note(
                logger,
                "refused",
                level=logging.ERROR if failing else logging.WARNING,
                same=("address", "status", "code", "method", "path"),
                status=status,
                **details,
            )
        # Status 0: whoever asked had gone before there was an answer.
        note(
            logger,
            "request",
            level=logging.DEBUG,
            status=status,
            duration_ms=duration_ms,
            **request,
        )


def _request_line(operation: Operation) -> dict[str, Any]:
    return {"method": operation.method, "path": operation.path}


def _operation(scope: Scope) -> Operation:
    client = scope.get("client")
    return Operation(
        address=_plain_address(client[0]) if client else "unknown",
        method=scope["method"],
        path=text.path_of(scope["path"]),
    )


def _plain_address(address: str) -> str:
    """An IPv4 address plainly, also where it came through an IPv6 socket."""
    inner = address.removeprefix("::ffff:")
    return inner if "." in inner else address
