"""Moments in stamps as a report writes them. A device's clock may say anything at all."""

from __future__ import annotations

import datetime as dt

#: Milliseconds at the end of the year 9999: no calendar here goes further.
_LAST_MS = 253_402_300_799_000


def when_of(stamp: object) -> str:
    """`2026-11-25 09:30 UTC` from a stamp; the device's own clock said so."""
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
