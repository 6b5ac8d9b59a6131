"""The first meeting of a phone and this server: a page that hands over the authority, a self-test.

Two places. On a second port, in plain http, stands only the first page with the authority's
certificate: a phone that does not trust the server yet must be able to read it, and clicking
through a browser's warning would teach the wrong habit. Everything else is on https, the
self-test included.
"""

# No postponed annotations here: FastAPI reads them, and these name local values. FastAPI itself is
# loaded by the routes alone: the first page stands on a port of its own, before anything else.
from typing import TYPE_CHECKING, Any, Protocol

from starlette.applications import Starlette
from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bradawl.access.web.rendering import STATIC, render
from bradawl.common.errors import ApiError, install_plain
from bradawl.common.reading import ReaderOfRequest
from bradawl.language import current, date, message
from bradawl.operations.requests import RequestLog

if TYPE_CHECKING:
    from fastapi import APIRouter

    # their library is slow to load
    from bradawl.access.authority.certificates import Authority
    from bradawl.access.authority.lifecycle import Standing

#: Apple and Android take the same bytes; the type makes iOS offer it as a profile.
AUTHORITY_TYPE = "application/x-x509-ca-cert"
AUTHORITY_FILE = "bradawl-authority.crt"
NEXT_FILE = "bradawl-next-authority.crt"
#: The desk's sign, so that a browser's own search for an icon ends well.
ICON = STATIC.parents[1] / "desk" / "static" / "mark.svg"
FILES = {
    "mark.svg": "image/svg+xml",
    "onboarding.js": "text/javascript",
    "check.js": "text/javascript",
    "onboarding.css": "text/css",
    "tokens.css": "text/css",
}


class Network(Protocol):
    """What these pages need of a server in the workshop's network; as of now, always."""

    @property
    def standing(self) -> "Standing": ...
    @property
    def origins(self) -> list[str]: ...
    @property
    def next_origins(self) -> list[str]: ...
    @property
    def first_address(self) -> str: ...


def check_router(lan: Network | None) -> "APIRouter":
    """`/hello/…` on the server itself: the self-test and the address that proves trust; and what
    the app has to know of the authority that its phone trusts.

    `lan` is None where the authority is another's or none is needed.
    """
    from fastapi import APIRouter

    routes = APIRouter(include_in_schema=False)

    # The second address lies within the app on the home screen: elsewhere the system would open a
    # browser, and the test could not see that the app is installed.
    @routes.get("/hello/check")
    @routes.get("/app/check")
    def check(request: Request) -> Response:
        return render(request, "devices/self_test.html", own_authority=lan is not None)

    @routes.get("/hello/ping")
    def ping() -> Response:
        return _pong()

    @routes.get("/hello/{name}")
    def file(name: str) -> Response:
        return _file(name, lan)

    @routes.get("/api/v1/trust")
    def trust() -> dict[str, Any]:
        return trust_of(lan)

    return routes


def trust_of(lan: Network | None) -> dict[str, Any]:
    """What a phone has to know of the authority that it trusts, the next and former ones.

    Names, SHA-256 as 64 lower-case hex digits, days as ISO dates in UTC. Nothing of it is secret.
    """
    if lan is None:
        return {"authority": None, "next": None, "former": [], "first_page": ""}
    standing = lan.standing
    authority, following, takes_over = standing.authority, standing.next, standing.takes_over
    return {
        "authority": {
            "name": authority.name,
            "sha256": authority.sha256,
            "ends": authority.ends.date().isoformat(),
        },
        "next": None
        if following is None or takes_over is None
        else {
            "name": following.name,
            "sha256": following.sha256,
            "takes_over": takes_over.date().isoformat(),
        },
        "former": [
            {"name": authority.name, "sha256": authority.sha256, "until": authority.until}
            for authority in standing.former
        ],
        "first_page": lan.first_address,
    }


def first_app(lan: Network) -> ASGIApp:
    """What answers on the plain port; over TLS, too, with a certificate of the next authority."""

    def meet(request: Request) -> Response:
        standing = lan.standing
        takes_over = standing.takes_over
        return render(
            request,
            "devices/onboarding.html",
            origins=lan.origins,
            next_origins=lan.next_origins,
            authority=standing.authority,
            following=standing.next,
            takes_over="" if takes_over is None else date(takes_over.date().isoformat()),
            former=standing.former,
        )

    def file(request: Request) -> Response:
        return _file(request.path_params["name"], lan)

    def ping(_: Request) -> Response:
        return _pong()

    routes = [Route("/", meet), Route("/hello/ping", ping), Route("/hello/{name}", file)]
    app = Starlette(routes=routes)
    install_plain(app)
    return ReaderOfRequest(RequestLog(_PlainHeaders(app, lan)), current().region)


def _pong() -> Response:
    # Asked for by the first page from another origin: an answer at all means that the connection
    # was trusted. It says nothing.
    return Response(
        status_code=204,
        headers={"Cross-Origin-Resource-Policy": "cross-origin", "Cache-Control": "no-store"},
    )


class _PlainHeaders:
    """The strict headers of the plain port: own files, and asking whether https is trusted."""

    def __init__(self, app: ASGIApp, lan: Network) -> None:
        self._app = app
        self._lan = lan

    def _policy(self) -> str:
        origins = [*self._lan.origins, *self._lan.next_origins]
        # A policy cannot name an IPv6 address (CSP Level 3, host-source).
        sources = "https:" if any("[" in origin for origin in origins) else " ".join(origins)
        sources = sources or "'none'"
        return (
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
            f"connect-src {sources}; base-uri 'none'; form-action 'none'; "
            "object-src 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers["Content-Security-Policy"] = self._policy()
                headers["X-Content-Type-Options"] = "nosniff"
                headers["Referrer-Policy"] = "no-referrer"
                headers["Cache-Control"] = "no-store"
                headers["X-Frame-Options"] = "DENY"
            await send(message)

        await self._app(scope, receive, send_with_headers)


def _file(name: str, lan: Network | None) -> Response:
    certificate = _certificate(name, lan)
    if certificate is not None:
        return Response(
            certificate.der,
            media_type=AUTHORITY_TYPE,
            headers={"Content-Disposition": f'attachment; filename="{name}"'},
        )
    if name not in FILES:
        raise ApiError("not_found", message("server-http-404"), 404)
    headers = {"Cache-Control": "no-cache"}
    path = ICON if name == "mark.svg" else STATIC / name
    return Response(path.read_bytes(), media_type=FILES[name], headers=headers)


def _certificate(name: str, lan: Network | None) -> "Authority | None":
    if lan is None:
        return None
    return {AUTHORITY_FILE: lan.standing.authority, NEXT_FILE: lan.standing.next}.get(name)
