"""Amounts of money: how they are written, and what is assumed when nobody said.

All amounts are whole units of the visit's currency.
"""

from __future__ import annotations

from . import typed as typed_texts

#: Money for an hour of work, and held back in any deal, when neither brief nor checklist says.
DEFAULT_HOURLY_RATE = 60
DEFAULT_MARGIN = 300


def number_text(number: int) -> str:
    """-1,250"""
    digits = str(-number if number < 0 else number)
    groups = []
    while len(digits) > 3:
        groups.append(digits[len(digits) - 3 :])
        digits = digits[: len(digits) - 3]
    groups.append(digits)
    groups.reverse()
    return ("-" if number < 0 else "") + ",".join(groups)


def money_text(amount: int, currency: str) -> str:
    """-1,250 EUR; without a currency the number alone."""
    return number_text(amount) + (" " + currency if currency else "")


def parse_amount(typed: str) -> int | None:
    """The whole amount that a person typed, or None: also for one with cents."""
    found = typed_texts.amounts(typed)
    return int(found[0]) if found and "." not in found[0] else None
