"""Renders the desk's templates, with the filters that they share; always autoescaped."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from urllib.parse import urlsplit

from fastapi import Request
from fastapi.responses import HTMLResponse

from bradawl import language
from bradawl.common.errors import ApiError
from bradawl.common.templating import Pages
from bradawl.desk.model.labels import (
    about,
    cents,
    cents_typed,
    decimal_shown,
    grade_word,
    hours_about,
    hours_shown,
    hours_typed,
    item_title,
    money,
    use_word,
)
from bradawl.desk.model.typed_values import as_typed
from bradawl.desk.web.forms import as_seen
from bradawl.inspection.said import distance_text
from bradawl.language import formats, text

__all__ = ["STATIC", "error_page", "render"]

_HERE = Path(__file__).parents[1]
STATIC = _HERE / "static"
#: Answers of the judge on the drive home (`drive-…`).
_ANSWERS = ("drive", "limits", "not_cleared", "trailer")


def stamp_time(at: str, zone: str = "") -> str:
    """The wall time inside a stamp (its first 15 digits are milliseconds), in the visit's zone."""
    head = at[:15]
    if not head.isascii() or not head.isdigit():
        return text("desk-value-no-time")
    try:
        return language.moment(datetime.fromtimestamp(int(head) / 1000, tz=_zone(zone)))
    except (ValueError, OverflowError, OSError):  # farther than calendars reach
        return text("desk-value-no-time")


def span_text(ms: int) -> str:
    """A stretch of time in its largest fitting unit: `3 days`, `10 years`."""
    for unit, size_ms in (("years", 31_557_600_000), ("days", 86_400_000), ("hours", 3_600_000)):
        if ms >= size_ms:
            return text("desk-span-" + unit, count=ms // size_ms)
    return text("desk-span-short")


def _zone(zone: str) -> timezone:
    if len(zone) == 6 and zone[0] in "+-" and zone[3] == ":" and (zone[1:3] + zone[4:]).isdigit():
        shift = timedelta(hours=int(zone[1:3]), minutes=int(zone[4:]))
        if shift < timedelta(hours=24):
            return timezone(shift if zone[0] == "+" else -shift)
    return UTC


def answer_word(answer: str) -> str:
    """May it be driven home; "" where the judge has no answer yet."""
    return text("drive-" + answer.replace("_", "-")) if answer in _ANSWERS else ""


def percent(figure: float | str) -> str:
    """`40%`, `37.5%`."""
    return formats.with_unit(language.decimal(str(figure)), "%")


#: Draws a page of the desk; see `common/templating.py`.
render = Pages(
    _HERE / "templates",
    filters={
        "about": about,
        "about_hundredths": language.about_hours,
        "about_whole": lambda amount, currency="", is_firm=False: about(
            amount * 100, currency, is_firm
        ),
        "answer_word": answer_word,
        "as_seen": as_seen,
        "as_typed": as_typed,
        "cents": cents,
        "cents_typed": cents_typed,
        "date": language.date,
        "decimal_shown": decimal_shown,
        "hours_about": hours_about,
        "hours_shown": hours_shown,
        "hours_typed": hours_typed,
        "distance": distance_text,
        "grade_word": grade_word,
        "item_title": lambda item, bundle: item_title(bundle, item),
        "listed": language.listed,
        "money": money,
        "paid": language.paid,
        "percent": percent,
        "span_text": span_text,
        "stamp_time": stamp_time,
        "unit_name": language.unit_name,
        "use_word": use_word,
    },
).render


def error_page(request: Request, error: ApiError) -> HTMLResponse:
    """An error as a page of the desk: what is wrong, where, and a way on.

    Whose session ended while a form was filled in can sign in, and comes back to that form's page.
    """
    return render(
        request,
        "error.html",
        status=error.status,
        headers=error.headers,
        message=error.message,
        sign_in=_page_of_form(request) if error.code == "sign_in" else "",
    )


def _page_of_form(request: Request) -> str:
    """The page of the desk that a form was sent from, as the browser says."""
    sent_from = urlsplit(request.headers.get("referer", ""))
    if not sent_from.path.startswith("/desk/"):
        return "/desk/"
    return sent_from.path + (f"?{sent_from.query}" if sent_from.query else "")
