"""One request to an ASGI application in this process, without sockets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.types import ASGIApp


async def call(
    app: ASGIApp, method: str, path: str, headers: Mapping[str, str], body: bytes
) -> tuple[int, bytes]:
    """Status and body of the answer. An error that the application raises after answering counts
    as answered, as it does behind a real server."""
    status = 0
    parts: list[bytes] = []
    sent = False

    async def receive() -> dict[str, Any]:
        nonlocal sent
        if sent:
            return {"type": "http.disconnect"}
        sent = True
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: Any) -> None:
        nonlocal status
        if message["type"] == "http.response.start":
            status = message["status"]
        elif message["type"] == "http.response.body":
            parts.append(message.get("body", b""))

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": method,
        "scheme": "https",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [
            (b"host", b"localhost"),
            (b"content-length", str(len(body)).encode()),
            *((name.lower().encode(), value.encode()) for name, value in headers.items()),
        ],
        "client": ("127.0.0.1", 50_000),
        "server": ("localhost", 443),
        "state": {},
    }
    try:
        await app(scope, receive, send)
    except Exception:
        if status == 0:
            raise
    return status, b"".join(parts)
