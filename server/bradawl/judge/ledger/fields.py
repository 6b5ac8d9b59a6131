"""What stands in a cell of the ledger or of the parts list, read as what it should be.

A record may hold anything. A value that is not of its kind counts as not said; nothing here fails.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values import dates, exact

if TYPE_CHECKING:
    from ..values.types import Exact, Json

MOST_CENTS = 10000000000  # of one entry: a hundred million dollars
MOST_HUNDREDTHS = 1000000  # of an hour: more than a year of work
MOST_PIECES = 1000000
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


def cents(value: Json) -> int | None:
    """An amount of 0 or more; None for anything else."""
    amount = visit_facts.whole(value)
    return amount if amount is not None and 0 <= amount <= MOST_CENTS else None


def day(value: Json) -> str:
    """A day of the calendar as YYYY-MM-DD; "" for anything else."""
    if isinstance(value, str) and len(value) == 10 and dates.parse(value) is not None:
        return value
    return ""


def number(value: Json) -> Exact | None:
    """A decimal text of 0 or more as a number; None for anything else."""
    found = exact.parse(value) if isinstance(value, str) else None
    return found if found is not None and found[0] >= 0 else None


def hundredths(value: Json) -> int:
    """Hours, as a decimal text, in hundredths of an hour, half up; 0 for anything else."""
    found = number(value)
    if found is None or found[0] > found[1] * MOST_HUNDREDTHS // 100:
        return 0
    return exact.half_up(found, 2)


def quantity(value: Json) -> Exact:
    """How many; one where nobody said, or nobody could mean it."""
    found = number(value)
    if found is None or found[0] == 0 or found[0] > found[1] * MOST_PIECES:
        return exact.ONE
    return found


def is_id(value: str, length: int = 12) -> bool:
    """Whether it is so many hex digits, as ids of entries (12) and hashes of photos (64) are."""
    if len(value) != length:
        return False
    for letter in value:
        if letter not in ID_LETTERS:
            return False
    return True
