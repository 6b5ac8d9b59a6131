"""One Jinja2 environment for every page at the desk, and the filters that pages share.

Autoescape is always on; nothing a person recorded reaches a page unescaped. Other parts may
extend `base.html` (blocks `title` and `content`), which needs no variable at all.
"""

from __future__ import annotations

import functools
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi import Request
from fastapi.responses import HTMLResponse

from bradawl.errors import ApiError

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).parent / "templates"
STATIC = Path(__file__).parent / "static"

GRADE_WORDS = {
    "none": "no fault",
    "minor": "minor",
    "major": "major",
    "dangerous": "dangerous",
    "uninspected": "not inspected",
}
ANSWER_WORDS = {
    "drive": "May be driven home",
    "limits": "Drive only with limits",
    "trailer": "Trailer it",
    "not_cleared": "Not cleared to drive",
}


def money(amount: int | None, currency: str = "") -> str:
    """Whole units with thin-space groups: `2 400 EUR`; a dash when nobody said."""
    if amount is None:
        return "–"
    # U+202F keeps the figure on one line
    figure = f"{abs(amount):,}".replace(",", "\u202f")
    sign = "\u2212" if amount < 0 else ""
    return f"{sign}{figure}\u00a0{currency}".rstrip("\u00a0")


def stamp_time(at: str, zone: str = "") -> str:
    """The wall time inside a stamp (its first 15 digits are milliseconds), in the visit's zone."""
    head = at[:15]
    if not head.isdigit():
        return "at an unknown time"
    moment = datetime.fromtimestamp(int(head) / 1000, tz=_zone(zone))
    return f"{moment:%Y-%m-%d %H:%M}" + ("" if zone else " UTC")


def _zone(zone: str) -> timezone:
    if len(zone) == 6 and zone[0] in "+-" and zone[3] == ":" and (zone[1:3] + zone[4:]).isdigit():
        shift = timedelta(hours=int(zone[1:3]), minutes=int(zone[4:]))
        if shift < timedelta(hours=24):
            return timezone(shift if zone[0] == "+" else -shift)
    return UTC


@functools.cache
def environment() -> Environment:
    """The environment of every page; a server that only syncs does without it."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    env = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters["money"] = money
    env.filters["stamp_time"] = stamp_time
    env.filters["grade_word"] = lambda grade: GRADE_WORDS.get(grade, "not graded")
    return env


def render(
    request: Request,
    template: str,
    status: int = 200,
    headers: dict[str, str] | None = None,
    **values: Any,
) -> HTMLResponse:
    """The page `template` with `values`; personal data, so no cache may keep it."""
    values.setdefault("here", request.url.path)
    text = environment().get_template(template).render(values)
    return HTMLResponse(
        text, status_code=status, headers={"Cache-Control": "no-store", **(headers or {})}
    )


def error_page(request: Request, error: ApiError) -> HTMLResponse:
    """An error as a page of the desk: what is wrong, where, and a way on."""
    return render(
        request, "error.html", status=error.status, headers=error.headers, message=error.message
    )
