"""Days and years from the dates people write, without a clock.

The Gregorian calendar by whole days; ISO 8601 is the only spelling.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ascii_text import all_digits, trimmed
from .exact import add, divide, multiply

if TYPE_CHECKING:
    from .types import Exact

_YEAR_SECONDS = 31556952  # the unit yr, the mean Gregorian year
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def days(year: int, month: int, day: int) -> int:
    """Days since 1970-01-01."""
    if month <= 2:
        year -= 1
        month += 12
    return (
        365 * year
        + year // 4
        - year // 100
        + year // 400
        + (153 * (month - 3) + 2) // 5
        + day
        - 719469
    )


def parse(text: str) -> int | None:
    """Days since 1970-01-01 of 2026-11-25, 2026-11 (its first day) or 2026; else None."""
    parts = trimmed(text).split("-")
    if not 1 <= len(parts) <= 3 or len(parts[0]) != 4:
        return None
    figures = [0, 1, 1]
    for i, part in enumerate(parts):
        if i and len(part) != 2:
            return None
        if not all_digits(part):
            return None
        figures[i] = int(part)
    year, month, day = figures
    if year < 1880 or not 1 <= month <= 12 or not 1 <= day <= 31:
        return None
    found = days(year, month, day)
    # a day that its month lacks lands in the next month
    following = days(year + month // 12, month % 12 + 1, 1)
    return found if found < following else None


def year_of(text: str) -> int:
    """The year of an ISO date."""
    return int(text[:4])


def _civil(day: int) -> tuple[int, int, int]:
    """(year, month, day) of a day since 1970-01-01."""
    year = 1970 + day // 366
    while days(year + 1, 1, 1) <= day:
        year += 1
    month = 12
    while days(year, month, 1) > day:
        month -= 1
    return year, month, day - days(year, month, 1) + 1


def years_seconds(since: int, until: int) -> Exact:
    """The years between two days in the base unit of a duration: an anniversary is a whole year.

    Counted by the calendar, so that a year with a leap day is no longer than another; who was born
    on February 29 has the day on March 1.
    """
    year, month, day = _civil(since)
    whole = _civil(until)[0] - year
    if days(year + whole, month, day) > until:
        whole -= 1
    last = days(year + whole, month, day)
    following = days(year + whole + 1, month, day)
    part = divide((until - last, 1), (following - last, 1))
    return multiply(add((whole, 1), part), (_YEAR_SECONDS, 1))


def month(year: int, week: int) -> str:
    """The month in which that week of the year begins: `2018-03`."""
    start = days(year, 1, 1) + 7 * (week - 1)
    number = 12
    while number > 1 and days(year, number, 1) > start:
        number -= 1
    return "%d-%02d" % (year, number)
