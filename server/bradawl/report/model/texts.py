"""Writes figures, places, paths, counts and moments as a report's reader meets them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from bradawl.judge.values import units, words

__all__ = [
    "SINGLE_PLACE",
    "counted",
    "day_of",
    "measured_text",
    "path_text",
    "place_suffix",
    "when_of",
]

#: The place of a reading that is taken at one place only.
SINGLE_PLACE = "one"

#: Milliseconds at the end of the year 9999: no calendar here goes further.
_LAST_MS = 253_402_300_799_000


def measured_text(typed: str, unit: str) -> str:
    """`2,5` and `mm` as `2,5 mm`: the figure as it was typed, the unit as the trade writes it."""
    return units.format_amount(typed, unit or "1")


def place_suffix(place: str) -> str:
    """A reading's place as it follows its title, such as `, front left`."""
    return "" if place == SINGLE_PLACE else f", {words.plain(place)}"


def path_text(path: str, title_of: Callable[[str], str], separator: str) -> str:
    """A path of the record in words: for an item its title, the separator and what of it."""
    parts = path.split("/")
    if parts[0] == "items" and len(parts) > 2:
        inside = " ".join(part.replace("-", " ") for part in parts[2:] if part != SINGLE_PLACE)
        inside = "photo" if parts[2] == "photos" else inside
        return f"{title_of(parts[1])}{separator}{inside}"
    return " ".join(parts).replace("_", " ")


def counted(count: int, single: str, several: str) -> str:
    """`One photo` or `3 photos`: `single` stands whole, `several` after the count."""
    return single if count == 1 else f"{count} {several}"


def when_of(stamp: object) -> str:
    """`2026-11-25 09:30 UTC` from a stamp; the device's own clock said so, whatever it says."""
    head = str(stamp).partition("-")[0]
    if not (head.isascii() and head.isdigit()):
        return "at an unknown time"
    if int(head) > _LAST_MS:
        return "after the year 9999"
    at = dt.datetime.fromtimestamp(int(head) / 1000, dt.UTC)
    return f"{at:%Y-%m-%d %H:%M} UTC"


def day_of(stamp: object) -> str:
    """`2026-11-25` from a stamp, in UTC; in words where it has no day."""
    return when_of(stamp).partition(" ")[0] if str(stamp)[:1].isdigit() else "an unknown day"
