"""Drawing the desk's pages, and the filters that they share."""

from __future__ import annotations

import textwrap
from datetime import UTC, datetime, timedelta, timezone
from html import escape
from pathlib import Path

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from bradawl.desk.forms import as_typed
from bradawl.errors import ApiError
from bradawl.frame import FRAME, Pages

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
    if not head.isascii() or not head.isdigit():
        return "at an unknown time"
    try:
        moment = datetime.fromtimestamp(int(head) / 1000, tz=_zone(zone))
    except (ValueError, OverflowError, OSError):  # farther than calendars reach
        return "at an unknown time"
    return f"{moment:%Y-%m-%d %H:%M}" + ("" if zone else " UTC")


def span_text(ms: int) -> str:
    """A stretch of time in its largest fitting unit: `3 days`, `10 years`."""
    for unit, size_ms in (("year", 31_557_600_000), ("day", 86_400_000), ("hour", 3_600_000)):
        count = ms // size_ms
        if count >= 1:
            return f"{count:,} {unit}{'' if count == 1 else 's'}"
    return "less than an hour"


def _zone(zone: str) -> timezone:
    if len(zone) == 6 and zone[0] in "+-" and zone[3] == ":" and (zone[1:3] + zone[4:]).isdigit():
        shift = timedelta(hours=int(zone[1:3]), minutes=int(zone[4:]))
        if shift < timedelta(hours=24):
            return timezone(shift if zone[0] == "+" else -shift)
    return UTC


def _grade_word(grade: str) -> str:
    return GRADE_WORDS.get(grade, "not graded")


#: Draws a page of the desk; see `frame.Pages.render`.
render = Pages(
    FRAME,
    filters={
        "money": money,
        "stamp_time": stamp_time,
        "grade_word": _grade_word,
        "as_typed": as_typed,
    },
).render


def placeholder(sentence: str, status: int) -> Response:
    """What stands where a photo should, as a picture: a page shows it with the answer's status."""
    lines = textwrap.wrap(sentence, 40)
    top = 300 - (len(lines) - 1) * 22
    words = "".join(
        f'<text x="400" y="{top + 44 * n}">{escape(line)}</text>' for n, line in enumerate(lines)
    )
    drawn = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 800 600" width="800" height="600">'
        '<rect width="800" height="600" fill="#f2f0ea"/>'
        '<rect x="12" y="12" width="776" height="576" rx="10" fill="none" stroke="#5f656e" '
        'stroke-width="4" stroke-dasharray="16 10"/>'
        '<g fill="#16202b" font-family="sans-serif" font-size="32" text-anchor="middle" '
        f'dominant-baseline="middle">{words}</g></svg>'
    )
    return Response(drawn, status, {"Cache-Control": "no-store"}, media_type="image/svg+xml")


def error_page(request: Request, error: ApiError) -> HTMLResponse:
    """An error as a page of the desk: what is wrong, where, and a way on."""
    return render(
        request, "error.html", status=error.status, headers=error.headers, message=error.message
    )
