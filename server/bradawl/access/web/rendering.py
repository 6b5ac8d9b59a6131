"""Drawing the pages of access: the desk's frame around our own templates."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from starlette.requests import Request
from starlette.responses import HTMLResponse

from bradawl.access.core.models import ROLE_WORDS
from bradawl.common.templating import Pages

_HERE = Path(__file__).parents[1]
STATIC = _HERE / "static"


def day_and_time(ms: int) -> str:
    """A moment as the server's wall shows it: `2026-11-25 09:41`."""
    return f"{datetime.fromtimestamp(ms / 1000).astimezone():%Y-%m-%d %H:%M}"


_PAGES = Pages(
    _HERE / "templates", filters={"day_and_time": day_and_time}, names={"role_words": ROLE_WORDS}
)


def render(
    request: Request, template: str, status: int = 200, problem: str = "", **values: Any
) -> HTMLResponse:
    """The page `template`; `problem` is a sentence that is shown on top of it."""
    return _PAGES.render(request, template, status, problem=problem, **values)


def safe_next(place: str) -> str:
    """A page of the desk to go on to; anything else becomes the list of visits."""
    parts = urlsplit(place)
    inside = parts.path == "/desk" or parts.path.startswith("/desk/")
    plain = "\\" not in place and "//" not in place and place.isprintable()
    return place if inside and plain and not parts.scheme and not parts.netloc else "/desk/"
