"""Renders the desk's templates, with the filters that they share; always autoescaped."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

from fastapi import Request
from fastapi.responses import HTMLResponse

from bradawl.common.errors import ApiError
from bradawl.common.templating import Pages
from bradawl.desk.model.labels import money
from bradawl.desk.model.typed_values import as_typed
from bradawl.judge.values.words import GRADE_WORDS

__all__ = ["ANSWER_WORDS", "STATIC", "error_page", "render"]

_HERE = Path(__file__).parents[1]
STATIC = _HERE / "static"

ANSWER_WORDS = {
    "drive": "May be driven home",
    "limits": "Drive only with limits",
    "trailer": "Trailer it",
    "not_cleared": "Not cleared to drive",
}


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


#: Draws a page of the desk; see `common/templating.py`.
render = Pages(
    _HERE / "templates",
    filters={
        "money": money,
        "stamp_time": stamp_time,
        "span_text": span_text,
        "grade_word": _grade_word,
        "as_typed": as_typed,
    },
).render


def error_page(request: Request, error: ApiError) -> HTMLResponse:
    """An error as a page of the desk: what is wrong, where, and a way on."""
    return render(
        request, "error.html", status=error.status, headers=error.headers, message=error.message
    )
