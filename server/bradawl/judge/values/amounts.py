"""Amounts of money: what is assumed when nobody said, in whole units of the visit's currency."""

from __future__ import annotations

#: Money for an hour of work, and held back in any deal, when neither brief nor checklist says.
DEFAULT_HOURLY_RATE = 60
DEFAULT_MARGIN = 300
