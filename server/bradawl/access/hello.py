"""The first meeting of a phone and this server: a page that hands over the authority, a self-test.

Two places. On a second port, in plain http, stands only the first page with the authority's
certificate: a phone that does not trust the server yet must be able to read it, and clicking
through a browser's warning would teach the wrong habit. Everything else is on https, the
self-test included.
"""

# No postponed annotations here: FastAPI reads them, and these name local values. FastAPI itself is
# loaded by the routes alone: the first page stands on a port of its own, before anything else.
import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bradawl.access.pages import STATIC, render
from bradawl.errors import ApiError, install_plain
from bradawl.operations.requests import RequestLog

if TYPE_CHECKING:
    from fastapi import APIRouter

    from bradawl.access.certificates import Authority  # its library is slow to load

#: Apple and Android take the same bytes; the type makes iOS offer it as a profile.
AUTHORITY_TYPE = "application/x-x509-ca-cert"
#: The desk's sign, so that a browser's own search for an icon ends well.
ICON = STATIC.parents[1] / "desk" / "static" / "mark.svg"
FILES = {
    "mark.svg": "image/svg+xml",
    "meet.js": "text/javascript",
    "check.js": "text/javascript",
    "hello.css": "text/css",
}


def check_router(authority: "Authority | None") -> "APIRouter":
    """`/hello/…` on the server itself: the self-test and the address that proves trust.

    `authority` is the workshop's own, None where another one is used or none is needed.
    """
    from fastapi import APIRouter

    routes = APIRouter(include_in_schema=False)

    # The second address lies within the app on the home screen: elsewhere the system would open a
    # browser, and the test could not see that the app is installed.
    @routes.get("/hello/check")
    @routes.get("/app/check")
    def check(request: Request) -> Response:
        return render(request, "check.html", own_authority=authority is not None)

    @routes.get("/hello/ping")
    def ping() -> Response:
        # Asked for by the first page from another origin: an answer at all means that the
        # connection was trusted. It says nothing.
        return Response(
            status_code=204,
            headers={"Cross-Origin-Resource-Policy": "cross-origin", "Cache-Control": "no-store"},
        )

    @routes.get("/hello/{name}")
    def file(name: str) -> Response:
        return _file(name, authority)

    return routes


def first_app(authority: "Authority", origins: Sequence[str]) -> ASGIApp:
    """What answers on the plain port. `origins` are the https addresses, the best first."""
    certificate_sha256 = hashlib.sha256(authority.der).hexdigest()

    def meet(request: Request) -> Response:
        return render(
            request,
            "meet.html",
            origins=list(origins),
            fingerprint=authority.fingerprint,
            name=_common_name(authority),
            version=certificate_sha256[:8],
        )

    def file(request: Request) -> Response:
        return _file(request.path_params["name"], authority)

    app = Starlette(routes=[Route("/", meet), Route("/hello/{name}", file)])
    install_plain(app)
    return RequestLog(_PlainHeaders(app, origins))


class _PlainHeaders:
    """The strict headers of the plain port: own files, and asking whether https is trusted."""

    def __init__(self, app: ASGIApp, origins: Sequence[str]) -> None:
        self._app = app
        # A policy cannot name an IPv6 address (CSP Level 3, host-source).
        asked = "https:" if any("[" in one for one in origins) else " ".join(origins)
        self._policy = (
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
            f"connect-src {asked}; base-uri 'none'; form-action 'none'; "
            "object-src 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers["Content-Security-Policy"] = self._policy
                headers["X-Content-Type-Options"] = "nosniff"
                headers["Referrer-Policy"] = "no-referrer"
                headers["Cache-Control"] = "no-store"
                headers["X-Frame-Options"] = "DENY"
            await send(message)

        await self._app(scope, receive, send_with_headers)


def _file(name: str, authority: "Authority | None") -> Response:
    if name == "bradawl-authority.crt" and authority is not None:
        return Response(
            authority.der,
            media_type=AUTHORITY_TYPE,
            headers={"Content-Disposition": f'attachment; filename="{name}"'},
        )
    if name not in FILES:
        raise ApiError("not_found", "There is nothing at this address.", 404)
    headers = {"Cache-Control": "no-cache"}
    path = ICON if name == "mark.svg" else STATIC / name
    return Response(path.read_bytes(), media_type=FILES[name], headers=headers)


def _common_name(authority: "Authority") -> str:
    return str(authority.certificate.subject.rdns[-1].rfc4514_string().partition("=")[2])
