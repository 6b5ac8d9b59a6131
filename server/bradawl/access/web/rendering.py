"""Drawing the pages of access: the desk's frame around our own templates."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from bradawl.common.templating import Pages
from bradawl.language import has, ids, moment, text

_HERE = Path(__file__).parents[1]
STATIC = _HERE / "static"


def day_and_time(ms: int) -> str:
    """A moment on the server's clock: `Nov 25, 2026, 9:41 AM (UTC−5)`."""
    return moment(datetime.fromtimestamp(ms / 1000).astimezone())


def act(stored: str) -> str:
    """What somebody did, as the trail has it; an act of another version stands as it was kept."""
    message_id = "access-act-" + stored.replace(" ", "-")
    return text(message_id) if has(message_id) else stored


def who(stored: str) -> str:
    """Who did it: a person's name, or one of the two that are no person."""
    from bradawl.access.core.audit import NOBODY, SHELL  # its libraries are slow to load

    return {NOBODY: text("access-who-nobody"), SHELL: text("access-who-shell")}.get(stored, stored)


def _tag(name: str, words: str, css: str) -> Markup:
    return Markup('<{0} class="{1}">{2}</{0}>').format(name, css, words)


def _link(address: str, words: str) -> Markup:
    return Markup('<a href="{}">{}</a>').format(address, words)


#: What a page's script fills in by itself, such as `{host}`.
_FILLED = {name: f"{{{name}}}" for name in ("host", "status", "why", "room", "right", "total")}


def script_words(prefix: str, **arguments: str) -> Markup:
    """The messages of a page's script as JSON, by their ids without `prefix`."""
    words = {
        name.removeprefix(prefix): text(name, **_FILLED, **arguments)
        for name in sorted(ids())
        if name.startswith(prefix)
    }
    return Markup(json.dumps(words).replace("<", "\\u003c"))  # no text of ours ends the script


_PAGES = Pages(
    _HERE / "templates",
    filters={"day_and_time": day_and_time},
    names={"act": act, "who": who, "tag": _tag, "link": _link, "words": script_words},
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
