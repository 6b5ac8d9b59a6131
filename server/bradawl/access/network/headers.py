"""What guards every answer and every write: headers, host and origin.

The set follows OWASP ASVS 5.0 chapter V3 (3.4.1 to 3.4.6, 3.5.1, 3.5.3) and W3C Content Security
Policy Level 3, Trusted Types and Fetch Metadata.
"""

from __future__ import annotations

from collections.abc import Collection
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bradawl.common.errors import ApiError
from bradawl.common.settings import Mode
from bradawl.language import message

#: The phone app: its own files, one WebAssembly engine, photos and recordings from memory.
APP_POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; "
    "font-src 'self'; img-src 'self' blob:; media-src 'self' blob:; connect-src 'self'; "
    "worker-src 'self'; manifest-src 'self'; "
    "form-action 'self'; base-uri 'none'; object-src 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'"
)
#: The desk and every other page: own styles, scripts, pictures and recordings, nothing else.
PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
    "img-src 'self' blob: data:; media-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "object-src 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"
)
#: Answers for programs, opened as a page by mistake or by malice.
API_POLICY = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

_OFF = """
    accelerometer autoplay browsing-topics display-capture encrypted-media geolocation gyroscope
    hid idle-detection local-fonts magnetometer midi payment picture-in-picture
    publickey-credentials-get serial usb xr-spatial-tracking
"""  # features of browsers: not shown
_PERMISSIONS = ", ".join(
    ["camera=(self)", "screen-wake-lock=(self)", *(f"{feature}=()" for feature in _OFF.split())]
)

#: A year, as browsers expect. Only behind a public name: in a workshop's network the port for the
#: first meeting speaks plain http under the same host name.
STRICT_TRANSPORT = "max-age=31536000"

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})


def policy_for(path: str) -> str:
    """The content security policy of a path."""
    if _is_app(path):
        return APP_POLICY
    return API_POLICY if path.startswith("/api/") else PAGE_POLICY


def permissions_for(path: str) -> str:
    """Which of a browser's features a path may use: the app alone records sound."""
    return f"{_PERMISSIONS}, microphone={'(self)' if _is_app(path) else '()'}"  # no text: not shown


def _is_app(path: str) -> bool:
    return path == "/app" or path.startswith("/app/")


def host_name(host: str) -> str:
    """The name in a `Host` header, without port and brackets, in lower case."""
    try:
        return (urlsplit(f"//{host}").hostname or "").lower()
    except ValueError:
        return ""


class Guard:
    """ASGI middleware: security headers on every answer, host and origin checked before any work.

    Args:
        app: what is guarded.
        mode: who can reach this server; HSTS is sent in `proxy` only.
        hosts: names and addresses this server answers to; None: loopback names in local mode,
            any otherwise (a proxy decides that by itself).
    """

    def __init__(self, app: ASGIApp, *, mode: Mode, hosts: Collection[str] | None) -> None:
        self._app = app
        if hosts is None and mode == "local":
            hosts = LOOPBACK_NAMES
        self._hosts = None if hosts is None else {host.lower() for host in hosts}
        self._strict_transport = mode == "proxy"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._add(scope["path"], MutableHeaders(scope=message))
            await send(message)

        refusal = self._refusal(scope)
        if refusal is not None:
            await refusal.response()(scope, receive, send_guarded)
            return
        await self._app(scope, receive, send_guarded)

    def _add(self, path: str, headers: MutableHeaders) -> None:
        headers.setdefault("Content-Security-Policy", policy_for(path))
        headers["X-Content-Type-Options"] = "nosniff"
        # Not `no-referrer`: with it browsers send `Origin: null` from the desk's own forms.
        headers["Referrer-Policy"] = "same-origin"
        headers["Permissions-Policy"] = permissions_for(path)
        headers["Cross-Origin-Opener-Policy"] = "same-origin"
        headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        headers["X-Frame-Options"] = "DENY"
        if path.startswith(("/api/", "/desk", "/r/")):
            headers.setdefault("Cache-Control", "no-store")
        if self._strict_transport:
            headers["Strict-Transport-Security"] = STRICT_TRANSPORT

    def _refusal(self, scope: Scope) -> ApiError | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if self._hosts is not None and host_name(host) not in self._hosts:
            # A foreign name that was pointed at this machine (DNS rebinding) ends here.
            return ApiError(
                "unknown_host",
                message("access-unknown-host"),
                421,
            )
        if scope["method"] in SAFE_METHODS:
            return None
        site = headers.get("sec-fetch-site")
        origin = headers.get("origin")
        if site is not None:
            allowed = site == "same-origin"
        elif origin is not None:
            allowed = urlsplit(origin).netloc.lower() == host.lower()
        else:
            # Every browser of the last years sends one of the two with a write; what sends
            # neither is a program, and a program holds no one's cookies but its own.
            allowed = True
        if not allowed:
            return ApiError(
                "other_site",
                message("access-other-site"),
                403,
            )
        return None
