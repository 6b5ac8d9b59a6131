"""Writes figures, places, paths and moments as a report's reader meets them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple, cast

from bradawl.inspection import cell_values
from bradawl.judge.record.visit_facts import distance_km
from bradawl.judge.values import exact, units, words
from bradawl.language import catalogue, decimal, formats, moment, text, unit_for
from bradawl.language import date as date_text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Exact, Json

__all__ = [
    "SINGLE_PLACE",
    "Amount",
    "Measured",
    "clock_text",
    "day_of",
    "distance_text",
    "figure_text",
    "grade_word",
    "measured",
    "named",
    "own_figure",
    "path_text",
    "place_text",
    "together",
    "typed_text",
    "unit_label",
    "when_of",
    "zone_of",
]

#: The place of a reading that is taken at one place only.
SINGLE_PLACE = "one"

#: Milliseconds at the end of the year 9999: no calendar here goes further.
_LAST_MS = 253_402_300_799_000
_MOST_DIGITS = 7  # after the point of a figure that was typed


def named(message_id: str, fallback: str) -> str:
    """The text of an id that was put together from a code; `fallback` for a code unknown here."""
    return text(message_id) if catalogue.has(message_id) else fallback


def grade_word(grade: object) -> str:
    """A grade as paper calls it."""
    return named(f"report-grade-{grade}", named(f"grade-{grade}", str(grade)))


def place_text(place: str) -> str:
    """A place on the car: a term of the catalogue, `cylinder 3`, a spot of a panel."""
    if place.isdecimal():
        return named_with("place-cylinder", place, number=place)
    stem, _, spot = place.rpartition("-")
    if stem and spot.isdecimal():
        return named_with("place-spot", words.plain(place), place=place_text(stem), number=spot)
    return named(f"place-{place}", words.plain(place))


def named_with(message_id: str, fallback: str, **arguments: str) -> str:
    """`named` with arguments."""
    return text(message_id, **arguments) if catalogue.has(message_id) else fallback


def typed_text(typed: str, unit: str) -> str:
    """What was typed and cannot be read as a figure, with its unit; a date in the reader's form."""
    if not units.known(unit or "1"):
        return f"{typed} {unit}"
    shown = date_text(typed, long=True) if unit in ("", "1") else typed
    return formats.with_unit(shown, unit or "1", is_one=typed == "1")


class Amount(NamedTuple):
    """A figure that is already written, and its unit; several figures of one unit are joined."""

    figure: str
    unit: str

    def __str__(self) -> str:
        return formats.with_unit(self.figure, self.unit, is_one=self.figure == "1")


class Measured(NamedTuple):
    """A figure as the report's reader measures, and as it was read where that is another unit."""

    shown: Amount
    read: Amount | None

    def __str__(self) -> str:
        if self.read is None:
            return str(self.shown)
        return text("report-measured", shown=str(self.shown), typed=str(self.read))


def measured(number: Exact, unit: str, typed: str, offered: Sequence[str] = ()) -> Measured:
    """A figure in base units: `0.11 in (read as 2.8 mm)`.

    `typed` and `unit` are what was read. In the reader's own unit nothing is rounded.
    """
    own = Amount(own_figure(typed, units.from_base(number, unit)), unit)
    wanted = unit_for(unit, offered)
    if wanted == unit:
        return Measured(own, None)
    figure = decimal(exact.decimal(units.from_base(number, wanted), units.places(wanted)))
    return Measured(Amount(figure, wanted), own)


def together(figures: Sequence[Measured]) -> str:
    """Figures beside each other, with their units once where they are the same."""
    alike = {(one.shown.unit, one.read and one.read.unit) for one in figures}
    if len(alike) > 1:
        return " / ".join(str(one) for one in figures)
    shown = Amount(" / ".join(one.shown.figure for one in figures), figures[0].shown.unit)
    reads = [one.read for one in figures if one.read]
    read = Amount(" / ".join(one.figure for one in reads), reads[0].unit) if reads else None
    return str(Measured(shown, read))


def own_figure(typed: str, number: Exact) -> str:
    """A figure in the unit in which it was typed, a fraction as it was typed."""
    return typed if "/" in typed else decimal(exact.decimal(number, _MOST_DIGITS))


def distance_text(value: object) -> str:
    """A recorded distance (odometer, way home); "" for none, as typed where nobody can read it."""
    reading = cell_values.reading(value)
    if reading is None:
        return cell_values.words(value)
    number = distance_km(cast("Json", value))
    if number is None:
        return typed_text(reading.typed, reading.unit)
    return str(measured(number, reading.unit, reading.typed))


def figure_text(number: Exact, unit: str) -> str:
    """A figure in base units as a drawing has room for it: in `unit`, without naming it."""
    value = units.from_base(number, unit)
    places = 0 if not exact.less(exact.absolute(value), (100, 1)) else min(units.places(unit), 1)
    return decimal(exact.decimal(value, places))


def unit_label(unit: str) -> str:
    """A unit by itself: `psi`; `1/32 in`."""
    return formats.with_unit("1" if unit.startswith("in/") else "", unit).strip()


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
    reading_of: Callable[[str, str], str] = lambda _item, name: words.plain(name),
) -> str:
    """A path of the record in words: for an item its title and what of it."""
    parts = path.split("/")
    if parts[0] != "items" or len(parts) < 3:
        return named(f"report-fact-{FACTS.get(path)}", words.plain(" ".join(parts)))
    inside = named(f"report-entry-{parts[2]}", words.plain(" ".join(parts[2:])))
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


def clock_text(recorded: cell_values.Moment) -> str:
    """A day and a clock time in the zone that was recorded with them."""
    try:
        at = dt.datetime.fromisoformat(f"{recorded.date}T{recorded.time}{recorded.zone}")
    except ValueError:
        at = None
    if at is not None and at.tzinfo is not None and recorded.time:
        return moment(at, long=True)
    parts = (date_text(recorded.date, long=True), recorded.time, recorded.zone)
    return " ".join(part for part in parts if part)


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
