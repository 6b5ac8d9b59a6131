"""What one line of the parts list costs: its pieces, its freight, and the deposit for the old part.

The price of a car needs it on a phone too; the rest of this room stays at the desk.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values import exact

if TYPE_CHECKING:
    from ..values.types import Exact, Json, PriceColumns

MOST_CENTS = 10000000000  # of one entry: a hundred million dollars
MOST_PIECES = 1000000
AMOUNTS = (
    "quote_cents",
    "low_cents",
    "likely_cents",
    "high_cents",
    "freight_cents",
    "core_cents",
)


def cents(value: Json) -> int | None:
    """An amount of 0 or more; None for anything else."""
    amount = visit_facts.whole(value)
    return amount if amount is not None and 0 <= amount <= MOST_CENTS else None


def number(value: Json) -> Exact | None:
    """A decimal text of 0 or more as a number; None for anything else."""
    found = exact.parse(value) if isinstance(value, str) else None
    return found if found is not None and found[0] >= 0 else None


def quantity(value: Json) -> Exact:
    """How many; one where nobody said, or nobody could mean it."""
    found = number(value)
    if found is None or found[0] == 0 or found[0] > found[1] * MOST_PIECES:
        return exact.ONE
    return found


def unit_cents(line: PriceColumns) -> list[int]:
    """Low, likely and high price of one piece; [] where nobody said.

    A firm quote is all three. Of an estimate one figure is all three, the likely one that nobody
    said lies halfway between the others, and whatever falls is put in order.
    """
    quote = line["quote_cents"]
    if quote is not None:
        return [quote, quote, quote]
    low, likely, high = line["low_cents"], line["likely_cents"], line["high_cents"]
    known = [amount for amount in (low, likely, high) if amount is not None]
    if not known:
        return []
    least, most = min(known), max(known)
    if likely is None:
        likely = exact.half_up((least + most, 2), 0)
    return [least if low is not None else likely, likely, most if high is not None else likely]


def line_cents(line: PriceColumns) -> list[int]:
    """Low, likely and high of the whole line; [] where nobody said a price."""
    pieces = quantity(line["quantity"])
    beside = (line["freight_cents"] or 0) + (line["core_cents"] or 0)
    return [
        min(exact.half_up(exact.multiply((amount, 1), pieces), 0) + beside, MOST_CENTS)
        for amount in unit_cents(line)
    ]
