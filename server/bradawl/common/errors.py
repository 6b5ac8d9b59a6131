"""The one error that every part raises towards a client, and how it is answered.

Under ``/api/`` an error is ``{"error": {"code", "message", …}}``; elsewhere a person is looking at
a page, so it is a page (see ``answer``). A message is a sentence: what is wrong, where, what
would be right, in the language of whoever asked. Never put a secret, a token or a file path of
the server into one. Both forms name the request, so that whoever runs the server finds it in the
log (`operations/README.md`).

FastAPI is not loaded from here: `serving/gateway.py` answers before it is.
"""

from __future__ import annotations

import html
import logging
from collections.abc import Callable, Mapping
from http import HTTPStatus
from typing import TYPE_CHECKING, Any, NamedTuple

from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bradawl import language
from bradawl.common import disk_errors
from bradawl.common.display_text import encodable
from bradawl.operations import current, note, request_id

if TYPE_CHECKING:
    from fastapi import FastAPI
    from fastapi.exceptions import RequestValidationError
    from starlette.applications import Starlette

logger = logging.getLogger(__name__)


class ApiError(Exception):
    """What a client did wrong or may not do.

    Args:
        code: a stable word for programs, such as ``"gap"``.
        said: the sentence for the person reading.
        status: the HTTP status, 400 to 599.
        headers: extra response headers, such as ``{"Retry-After": "30"}``.
        more: further JSON values that go beside code and message, such as ``held=12``.
    """

    def __init__(
        self,
        code: str,
        said: language.Message | str,
        status: int = 400,
        *,
        headers: Mapping[str, str] | None = None,
        **more: Any,
    ) -> None:
        super().__init__(said)
        self.code = code
        self.said = said
        self.status = status
        self.headers = dict(headers or {})
        self.more = more
        operation = current()
        if operation is not None:
            # Pages draw some errors themselves: the log has the code from here.
            operation.error = (status, code)

    @property
    def message(self) -> str:
        """The sentence in the current reader's language; it may quote what was sent."""
        return encodable(str(self.said))

    def body(self) -> dict[str, Any]:
        """``{"error": {"code": …, "message": …, "request_id": …, …}}``."""
        error = {**self.more, "code": self.code, "message": self.message}
        if named := request_id():
            error["request_id"] = named
        return {"error": error}

    def response(self) -> JSONResponse:
        """The error as JSON with its status and headers."""
        return JSONResponse(self.body(), status_code=self.status, headers=self.headers)


#: JSON Schema of the envelope, for ``responses=`` in route decorators.
ENVELOPE: dict[str, Any] = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["code", "message"],
            "properties": {
                "code": {"type": "string"},
                "message": {"type": "string"},
                "request_id": {"type": "string"},
            },
        }
    },
}


def documented(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """The ``responses=`` argument of a route for the error statuses that it can answer."""
    return {
        status: {
            "description": HTTPStatus(status).phrase,
            "content": {"application/json": {"schema": ENVELOPE}},
        }
        for status in statuses
    }


def plain_page(request: Request, error: ApiError) -> Response:
    """An error as a page without any template, for everything outside ``/api/``."""
    title = language.markup("server-error")
    quoted = language.markup("server-request", id=request_id())
    named = f"<p><small>{quoted}</small></p>" if request_id() else ""
    return HTMLResponse(
        f'<!doctype html><html lang="{language.lang("server-error")}"><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width"><title>{title}</title>'
        f"<h1>{title}</h1><p>{html.escape(error.message)}</p>{named}",
        status_code=error.status,
        headers=error.headers,
    )


#: Statuses of the framework that have a sentence of their own.
_SAID = frozenset({400, 404, 405, 413})


def _from_http(error: HTTPException) -> ApiError:
    phrase = HTTPStatus(error.status_code).phrase
    code = phrase.lower().replace(" ", "_").replace("-", "_")
    kind = str(error.status_code) if error.status_code in _SAID else "other"
    said = language.message("server-http-" + kind)
    return ApiError(code, said, error.status_code, headers=error.headers)


def _from_validation(error: RequestValidationError) -> ApiError:
    # The values are left out: they may hold what should not be echoed.
    problems = [
        {"where": ".".join(str(part) for part in problem["loc"]), "what": str(problem["msg"])}
        for problem in error.errors()
    ]
    said = language.message("server-invalid", where=problems[0]["where"] if problems else "body")
    return ApiError("invalid", said, 422, problems=problems)


class _Storage(NamedTuple):
    """How a failing disk or database is answered."""

    code: str
    status: int
    wait_s: int


_STORAGE_ERRORS: dict[disk_errors.Cause, _Storage] = {
    "full": _Storage("disk_full", 507, 60),
    "read_only": _Storage("read_only", 503, 60),
    "damaged": _Storage("damaged", 503, 300),
    "locked": _Storage("busy", 503, 5),
    "no_answer": _Storage("storage", 503, 10),
}
_SAME_ANSWER: dict[disk_errors.Cause, disk_errors.Cause] = {
    "forbidden": "read_only",
    "failing": "no_answer",
}


def of_storage(error: Exception) -> ApiError | None:
    """What to tell whoever asked when disk or database fail; None for any other error."""
    cause = disk_errors.cause_of(error)
    if cause == "missing" and not isinstance(error, OSError):
        cause = "no_answer"  # a database that cannot be opened any more
    if cause is None or cause == "missing":
        return None
    fault = _STORAGE_ERRORS[_SAME_ANSWER.get(cause, cause)]
    retry = {"Retry-After": str(fault.wait_s)}
    said = language.message("server-storage-" + fault.code.replace("_", "-"))
    return ApiError(fault.code, said, fault.status, headers=retry)


#: Draws an error for a person who is looking at a page.
Page = Callable[[Request, ApiError], Response]


def answer(request: Request, error: ApiError, page: Page = plain_page) -> Response:
    """An error as whoever asked can read it; ``page`` draws it outside ``/api/``."""
    if request.url.path.startswith("/api/"):
        return error.response()
    return page(request, error)


#: The code of an answer to what nobody expected.
INTERNAL = "internal"


def unexpected(request: Request, bug: Exception, page: Page = plain_page) -> Response:
    """The answer to what nobody expected. Its traceback is logged; bodies and cookies never are.

    A disk or database that fails is said to be that, wherever it was needed.
    """
    storage_error = of_storage(bug)
    if storage_error is not None:
        why = str(getattr(bug, "orig", None) or bug)  # without the statement that failed
        note(
            logger, "storage.failed", level=logging.ERROR, same=("code",), code=storage_error.code,
            why=why,
        )  # fmt: skip
        return answer(request, storage_error, page)
    error = ApiError(INTERNAL, language.message("server-internal"), 500)
    operation = current()
    request_line = {} if operation is None else {"method": operation.method, "path": operation.path}
    note(
        logger, "failed", level=logging.ERROR, error=bug, status=error.status, code=error.code,
        **request_line,
    )  # fmt: skip
    return answer(request, error, page)


def install(app: FastAPI, page: Page = plain_page) -> None:
    """Make ``app`` answer every error in one form; ``page`` draws it outside ``/api/``."""
    from fastapi.exceptions import RequestValidationError

    async def on_invalid(request: Request, error: Exception) -> Response:
        assert isinstance(error, RequestValidationError)
        return answer(request, _from_validation(error), page)

    install_plain(app, page)
    app.add_exception_handler(RequestValidationError, on_invalid)


def install_plain(app: Starlette, page: Page = plain_page) -> None:
    """As ``install``, for an application without FastAPI, which describes no request."""

    async def on_api(request: Request, error: Exception) -> Response:
        assert isinstance(error, ApiError)
        return answer(request, error, page)

    async def on_http(request: Request, error: Exception) -> Response:
        assert isinstance(error, HTTPException)
        if error.status_code < 400:
            return Response(status_code=error.status_code, headers=error.headers)
        return answer(request, _from_http(error), page)

    app.add_exception_handler(ApiError, on_api)
    app.add_exception_handler(HTTPException, on_http)
    app.add_middleware(_LastResort, page=page)


class _LastResort:
    """Answers what nobody expected.

    Starlette's own handler for it stands outside all middleware, where the answer would miss the
    security headers. Install before any other middleware, so that this one is the innermost.
    """

    def __init__(self, app: ASGIApp, page: Page) -> None:
        self._app = app
        self._page = page

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        started = False

        async def watching_send(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self._app(scope, receive, watching_send)
        except HTTPException:
            raise
        except ClientDisconnect:
            return  # nobody is left to answer
        except Exception as bug:
            if started:
                raise
            await unexpected(Request(scope), bug, self._page)(scope, receive, send)
