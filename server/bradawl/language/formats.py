"""Numbers, money, measures and dates as the current reader writes them."""

from __future__ import annotations

import datetime as dt
import functools
from collections.abc import Sequence
from typing import TYPE_CHECKING

from bradawl.judge.values import exact, units

from . import catalogue
from .reader import current
from .texts import text
from .tongues import holding

if TYPE_CHECKING:
    from babel import Locale

    from bradawl.judge.values.types import Exact


@functools.cache
def _formats(name: str) -> Locale:
    """A locale as Babel has it: from its name it would be read again for each figure."""
    from babel import Locale

    return Locale.parse(name)


def decimal(figure: str) -> str:
    """A decimal text with a point (`1234.5`) as the reader writes it: `1,234.5`, `1.234,5`."""
    said = _decimal if len(figure) < _LONG_FIGURE else _decimal.__wrapped__
    return said(figure, current().formats)


#: A report says the same few figures a thousand times; what somebody typed for one may be long.
_LONG_FIGURE = 24


# a list of 500 lines says 2,000 of them, the same ones each time
@functools.lru_cache(8192)
def _decimal(figure: str, locale: str) -> str:
    from babel.numbers import format_decimal

    fraction = figure.partition(".")[2]
    pattern = "#,##0" + ("." + "0" * len(fraction) if fraction else "")
    return str(format_decimal(figure, format=pattern, locale=_formats(locale)))


#: What is estimated is rounded for the eye: up to so many cents, to so many cents.
ABOUT_CENTS = ((1_000, 100), (10_000, 500), (100_000, 1_000))
ABOUT_CENTS_BEYOND = 5_000
#: The same for hours, in hundredths.
ABOUT_HOURS = ((1_000, 25),)
ABOUT_HOURS_BEYOND = 50


def about(cents: int, currency: str = "") -> str:
    """An estimate, rounded: to $1 below $10, $5 below $100, $10 below $1,000, $50 from there.

    Whatever is added up or decided has the exact figure; what is not nothing is never shown as $0.
    """
    rounded = _rounded(cents, ABOUT_CENTS, ABOUT_CENTS_BEYOND)
    return money((-1 if rounded < 0 else 1) * (abs(rounded) // 100), currency)


def about_hours(hundredths: int) -> int:
    """Estimated hours, in hundredths: to quarters below ten hours, to halves from there."""
    return _rounded(hundredths, ABOUT_HOURS, ABOUT_HOURS_BEYOND)


def _rounded(figure: int, steps: Sequence[tuple[int, int]], beyond: int) -> int:
    """Half up to the step of its size, and at least one step unless it is nothing."""
    size = abs(figure)
    step = next((step for below, step in steps if size < below), beyond)
    rounded = max((2 * size + step) // (2 * step), 1) * step if size else 0
    return -rounded if figure < 0 else rounded


def currency_sign(currency: str) -> str:
    """`$` for USD."""
    from babel.numbers import get_currency_symbol

    return str(get_currency_symbol(currency, locale=_formats(current().formats)))


def money(amount: float, currency: str = "", *, cents: int | None = None) -> str:
    """An amount in whole units, or with `cents` (0 to 99) where something was paid: `$1,300`,
    `-$1,300`, `$47.83`. Without a currency, the reader's.
    """
    value = f"{amount:.0f}.{cents:02}" if cents is not None else str(round(amount))
    places = 2 if cents is not None else 0
    return _money(value, currency or current().currency, places, current().formats)


@functools.lru_cache(8192)
def _money(value: str, currency: str, places: int, locale: str) -> str:
    from babel.numbers import format_currency

    return str(
        format_currency(
            value,
            currency,
            format=_money_pattern(locale, places),
            locale=_formats(locale),
            currency_digits=False,
        )
    )


@functools.cache
def _money_pattern(locale: str, places: int) -> str:
    """The locale's own pattern (`¤#,##0.00`) with that many digits after the point."""
    pattern = str(_formats(locale).currency_formats["standard"].pattern)
    return pattern.replace("0.00", "0." + "0" * places if places else "0")


def unit_for(unit: str, offered: Sequence[str] = ()) -> str:
    """The unit in which the reader wants what is given in `unit`.

    `offered`: the units in which a checklist asks for it (tread: in/32, mm); of these the first of
    the reader's system. Otherwise the system's usual unit of that quantity.
    """
    system = units.SYSTEM_OF_REGION[current().region]
    if units.system(unit) in ("", system):
        return unit
    for other in offered:
        if units.system(other) == system:
            return other
    return units.USUAL[system].get(units.quantity(unit), unit)


def measure(number: Exact, unit: str, offered: Sequence[str] = ()) -> str:
    """A figure in base units as the reader sees it: `2/32 in`, `4.5 mil`, `1,250 mi`.

    `unit` is the one it was read or computed in (judge/values/units.py); it is rounded once.
    """
    wanted = unit_for(unit, offered)
    figure = exact.decimal(units.from_base(number, wanted), units.places(wanted))
    return with_unit(decimal(figure), wanted, is_one=figure == "1")


def unit_name(unit: str) -> str:
    """The unit alone: `°F`, `1/32 in`."""
    return with_unit("1" if unit.startswith("in/") else "", unit).strip()


def with_unit(figure: str, unit: str, *, is_one: bool = False) -> str:
    """A figure that is already written, with its unit: `12 %`, `3/32 in`, `1 year`.

    A fraction that was typed under 1/32 in is one of an inch, as the judge reads it: `1 1/2 in`.
    """
    if unit == "1":
        return figure
    if unit == "in/32" and "/" in figure:
        unit = "in"
    said = _with_unit if len(figure) < _LONG_FIGURE else _with_unit.__wrapped__
    return said(figure, unit, is_one, current().locale)


@functools.lru_cache(4096)
def _with_unit(figure: str, unit: str, is_one: bool, _locale: str) -> str:
    """In the language of the current reader, whose locale tells kept ones apart."""
    return text("unit-" + units.message_name(unit), figure=figure, count=1 if is_one else 2)


def date(iso: str, *, long: bool = False) -> str:
    """`2026-06-15`, `2022-06` or `2019` as the reader writes it; anything else as it stands.

    `Jun 15, 2026`; `long` is the form for paper: `June 15, 2026`.
    """
    from babel.dates import format_date, format_skeleton

    locale = _formats(current().formats)
    try:
        if len(iso) == len("2026-06-15"):
            day = dt.date.fromisoformat(iso)
            return _marked(str(format_date(day, "long" if long else "medium", locale=locale)))
        if len(iso) == len("2022-06"):
            first = dt.datetime.fromisoformat(iso + "-01")
            form = "yMMMM" if long else "yMMM"
            return _marked(str(format_skeleton(form, first, locale=locale)))
    except ValueError:
        pass
    return iso


def month_names() -> list[str]:
    """The names of the months in the reader's language, January first."""
    from babel.dates import get_month_names

    names = get_month_names("wide", locale=_formats(current().formats))
    return [str(names[month]) for month in range(1, 13)]


def paid(cents: int, currency: str = "") -> str:
    """What was paid, in hundredths: `$47.83`, and `$1,300` where there are no cents."""
    return money(cents // 100, currency, cents=cents % 100 or None)


def moment(instant: dt.datetime, *, long: bool = False) -> str:
    """An instant in its own zone, the zone said: `Nov 25, 2026, 9:20 AM (UTC−5)`.

    One without a zone is said without. `long` writes the month out, for paper.
    """
    from babel.dates import format_date, format_time

    locale = _formats(current().formats)
    together = locale.datetime_formats["medium"]
    said = together.format(
        format_time(instant, "short", locale=locale),
        format_date(instant, "long" if long else "medium", locale=locale),
    )
    # CLDR sets a narrow space before AM, which not every font has
    said = said.replace("\u202f", " ")
    shift = instant.utcoffset()
    if shift is None:
        return _marked(said)
    return text("moment-zoned", moment=_marked(said), offset=_offset(shift))


def _offset(shift: dt.timedelta) -> str:
    """`−5`, `+5:30`; "" for UTC."""
    minutes = int(shift.total_seconds()) // 60
    if not minutes:
        return ""
    hours, rest = divmod(abs(minutes), 60)
    # a minus (U+2212), after which no line ends
    return ("+" if minutes > 0 else "\u2212") + str(hours) + (f":{rest:02}" if rest else "")


def _marked(said: str) -> str:
    """What CLDR says, marked in the pseudo-locale like all that the catalogue says."""
    if current().locale != catalogue.PSEUDO:
        return said
    from .pseudo import marked

    return marked(said)


def listed(parts: Sequence[str], *, last: str = "and") -> str:
    """`a, b, and c`; with `last="or"`, `a, b, or c`."""
    from babel.lists import format_list

    locale = _formats(current().formats)
    if current().locale == catalogue.PSEUDO:
        # CLDR's own words would stand unmarked
        return " · ".join(parts)
    shown = str(format_list(list(parts), "or" if last == "or" else "standard", locale))
    return holding(shown, parts)


def language_name(locale: str) -> str:
    """A locale in its own language: `español (Estados Unidos)`; its code where CLDR lacks it."""
    from babel import Locale, UnknownLocaleError

    try:
        return str(Locale.parse(locale.replace("-", "_")).get_display_name() or locale)
    except (UnknownLocaleError, ValueError):
        return locale
