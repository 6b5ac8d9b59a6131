"""Amounts of money, in whole units of the visit's currency: what is assumed, what may be one."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .types import Json

MOST_MONEY = 100000000

#: Money for an hour of work, and held back in any deal, when neither brief nor checklist says.
DEFAULT_HOURLY_RATE = 60
DEFAULT_MARGIN = 300


def rising(value: Json) -> list[int]:
    """Low, likely and high as whole money; [] for anything that is not three rising amounts."""
    if not isinstance(value, list) or len(value) != 3:
        return []
    amounts: list[int] = []
    for entry in value:
        # bool first: True is an int in one engine and not in the other
        if entry is True or entry is False or not isinstance(entry, int):
            return []
        if entry > MOST_MONEY or entry < (amounts[-1] if amounts else 0):
            return []
        amounts.append(entry)
    return amounts
