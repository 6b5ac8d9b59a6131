"""Amounts of money: how they are read, and what is assumed when nobody said.

All amounts are whole units of the visit's currency.
"""

from __future__ import annotations

from . import typed as typed_texts

#: Money for an hour of work, and held back in any deal, when neither brief nor checklist says.
DEFAULT_HOURLY_RATE = 60
DEFAULT_MARGIN = 300


def parse_amount(typed: str) -> int | None:
    """The whole amount that a person typed, or None: also for one with cents."""
    found = typed_texts.amounts(typed)
    return int(found[0]) if found and "." not in found[0] else None
