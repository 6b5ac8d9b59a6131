"""Who reads: the browser's languages at the server, the environment's at the command line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from bradawl.common.settings import REGIONS
from bradawl.language import Reader, current, reader_for, reading_as

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

#: No browser's list of languages is longer; more is not looked at.
MOST_ACCEPTED = 200


class ReaderOfRequest:
    """ASGI middleware: every word of an answer is in the language of whoever asked.

    It stands around all that can answer, errors too. `region` is the shop's ("us" or "eu"), or
    tells it each time; its language, that of whoever started the server, is spoken where we have
    none of the browser's.
    """

    def __init__(self, app: ASGIApp, region: str | Callable[[], str]) -> None:
        shop = current()
        self._app = app
        self._region = region if callable(region) else lambda: region
        self._reader = lru_cache(maxsize=64)(
            lambda accepted, region: reader_for(accepted, replace(shop, region=region))
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        accepted = dict(scope["headers"]).get(b"accept-language", b"").decode("latin-1")
        with reading_as(self._reader(accepted[:MOST_ACCEPTED], self._region())):
            await self._app(scope, receive, send)


def reader_at(environ: Mapping[str, str]) -> Reader:
    """Whoever reads a command's output: `BRADAWL_LOCALE` (`es-US`), else `LANG` (`es_US.UTF-8`)."""
    region = environ.get("BRADAWL_REGION", "")
    named = environ.get("BRADAWL_LOCALE") or environ.get("LANG", "")
    reader = Reader(region=region if region in REGIONS else "us")
    return reader_for(named.partition(".")[0].replace("_", "-"), reader)
