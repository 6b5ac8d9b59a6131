"""What stands in a cell of the ledger or of the parts list, read as what it should be.

A record may hold anything. A value that is not of its kind counts as not said; nothing here fails.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import dates, exact
from .part_price import MOST_CENTS, MOST_PIECES, cents, number, quantity

if TYPE_CHECKING:
    from ..values.types import Json

MOST_HUNDREDTHS = 1000000  # of an hour: more than a year of work
__all__ = [
    "MOST_CENTS",
    "MOST_HUNDREDTHS",
    "MOST_PIECES",
    "cents",
    "day",
    "hundredths",
    "is_id",
    "number",
    "quantity",
    "text",
    "texts",
]

ID_LETTERS = "0123456789abcdef"


def text(value: Json) -> str:
    """A text; "" for anything else."""
    return value if isinstance(value, str) else ""


def texts(value: Json) -> list[str]:
    """The texts in a list that say something, each once, in their order."""
    kept: list[str] = []
    for entry in value if isinstance(value, list) else []:
        if isinstance(entry, str) and entry and entry not in kept:
            kept.append(entry)
    return kept


def day(value: Json) -> str:
    """A day of the calendar as YYYY-MM-DD; "" for anything else."""
    if isinstance(value, str) and len(value) == 10 and dates.parse(value) is not None:
        return value
    return ""


def hundredths(value: Json) -> int:
    """Hours, as a decimal text, in hundredths of an hour, half up; 0 for anything else."""
    found = number(value)
    if found is None or found[0] > found[1] * MOST_HUNDREDTHS // 100:
        return 0
    return exact.half_up(found, 2)


def is_id(value: str, length: int = 12) -> bool:
    """Whether it is so many hex digits, as ids of entries (12) and hashes of photos (64) are."""
    if len(value) != length:
        return False
    for letter in value:
        if letter not in ID_LETTERS:
            return False
    return True
