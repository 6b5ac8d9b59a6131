"""Drawing the pages of access: the desk's frame around our own templates."""

from __future__ import annotations

import functools
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from starlette.requests import Request
from starlette.responses import HTMLResponse

from bradawl.access.people import ROLE_WORDS

if TYPE_CHECKING:
    from jinja2 import Environment

_HERE = Path(__file__).parent
STATIC = _HERE / "static"


@functools.cache
def _environment() -> Environment:
    """The environment of every page; a server that only syncs does without it."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader([_HERE / "templates", _HERE.parent / "desk" / "templates"]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["day_and_time"] = day_and_time
    made.globals["role_words"] = ROLE_WORDS
    return made


def day_and_time(ms: int) -> str:
    """A moment as the server's wall shows it: `2026-11-25 09:41`."""
    return f"{datetime.fromtimestamp(ms / 1000).astimezone():%Y-%m-%d %H:%M}"


def render(
    request: Request, template: str, status: int = 200, problem: str = "", **values: Any
) -> HTMLResponse:
    """The page `template`; `problem` is a sentence that is shown on top of it."""
    values.setdefault("here", request.url.path)
    text = _environment().get_template(template).render(problem=problem, **values)
    return HTMLResponse(text, status_code=status, headers={"Cache-Control": "no-store"})


def safe_next(place: str) -> str:
    """A page of the desk to go on to; anything else becomes the list of visits."""
    parts = urlsplit(place)
    inside = parts.path == "/desk" or parts.path.startswith("/desk/")
    plain = "\\" not in place and "//" not in place and place.isprintable()
    return place if inside and plain and not parts.scheme and not parts.netloc else "/desk/"
