"""Writes figures, places, paths and moments as a report's reader meets them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from bradawl import design
from bradawl.inspection.said import Amount, Measured, named, place_text
from bradawl.judge.values import exact, units
from bradawl.language import decimal, moment, plain, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Exact

__all__ = [
    "SINGLE_PLACE",
    "day_of",
    "figure_text",
    "grade_word",
    "path_text",
    "standing_alone",
    "together",
    "when_of",
    "zone_of",
]

#: The place of a reading that is taken at one place only.
SINGLE_PLACE = "one"

#: Milliseconds at the end of the year 9999: no calendar here goes further.
_LAST_MS = 253_402_300_799_000


def grade_word(grade: object) -> str:
    """A grade's word; what no version of the judge here knows keeps its code."""
    found = design.mark_of_grade(str(grade))
    return text(found.word) if found.grade else str(grade)


def together(figures: Sequence[Measured]) -> str:
    """Figures beside each other, with their units once where they are the same."""
    alike = {(figure.shown.unit, figure.read and figure.read.unit) for figure in figures}
    # 3 / 4 / 4/32 in would be a riddle
    if len(alike) > 1 or any(figure.shown.unit == "in/32" for figure in figures):
        return " / ".join(str(figure) for figure in figures)
    shown = Amount(" / ".join(figure.shown.figure for figure in figures), figures[0].shown.unit)
    reads = [figure.read for figure in figures if figure.read]
    read = Amount(" / ".join(one.figure for one in reads), reads[0].unit) if reads else None
    return str(Measured(shown, read))


def figure_text(number: Exact, unit: str) -> str:
    """A figure in base units as a drawing has room for it: in `unit`, without naming it."""
    value = units.from_base(number, unit)
    places = 0 if not exact.less(exact.absolute(value), (100, 1)) else min(units.places(unit), 1)
    return decimal(exact.decimal(value, places))


#: The facts at the head of a report, by their paths.
FACTS = {
    "about/distance_home": "home",
    "about/inspector": "inspector",
    "about/place": "where",
    "about/seller": "seller",
    "about/started": "when",
    "brief/uses": "uses",
    "car/colour": "color",
    "car/odometer": "odometer",
    "car/registration": "registration",
    "car/vin": "vin",
}


def path_text(
    path: str,
    title_of: Callable[[str], str],
    reading_of: Callable[[str, str], str] = lambda _item, name: plain(name),
) -> str:
    """A path of the record in words: for an item its title and what of it."""
    parts = path.split("/")
    if parts[0] in ("media", "notes"):
        return text(f"report-entry-of-{parts[0]}")
    if parts[0] != "items" or len(parts) < 3:
        # the desk has names for whatever may be corrected there
        plainly = plain(" ".join(parts))
        own = "desk-path-" + path.replace("/", "-").replace("_", "-")
        # the name of a whole area wants to be told of what
        said = named(own, plainly) if len(parts) > 1 else plainly
        return named(f"report-fact-{FACTS.get(path)}", said)
    inside = named(f"report-entry-{parts[2]}", plain(" ".join(parts[2:])))
    if parts[2] == "readings" and len(parts) == 5:
        inside = reading_of(parts[1], parts[3])
        if parts[4] != SINGLE_PLACE:
            inside = text("report-at-place", title=inside, place=place_text(parts[4]))
    return text("report-labeled", label=title_of(parts[1]), text=inside)


def zone_of(offset: str) -> dt.tzinfo:
    """`-05:00` as a zone; UTC for anything else."""
    try:
        return dt.datetime.fromisoformat("2000-01-01T00:00" + offset).tzinfo or dt.UTC
    except ValueError:
        return dt.UTC


def when_of(stamp: object, zone: dt.tzinfo = dt.UTC) -> str:
    """The moment of a stamp in that zone; the device's own clock said so, whatever it says."""
    head = str(stamp).partition("-")[0]
    if not (head.isascii() and head.isdigit()):
        return text("report-when-unknown")
    if int(head) > _LAST_MS:
        return text("report-when-never")
    return moment(dt.datetime.fromtimestamp(int(head) / 1000, zone), long=True)


def day_of(stamp: object) -> str:
    """The day (UTC) of a stamp as YYYY-MM-DD; "" where it has none."""
    head = str(stamp).partition("-")[0]
    if not (head.isascii() and head.isdigit()) or int(head) > _LAST_MS:
        return ""
    return dt.datetime.fromtimestamp(int(head) / 1000, dt.UTC).date().isoformat()


def standing_alone(said: str) -> str:
    """Words of ours that elsewhere stand within a sentence, where nothing stands before them."""
    return said[:1].upper() + said[1:]
