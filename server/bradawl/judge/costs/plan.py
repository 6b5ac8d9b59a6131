"""Findings into work, for the desk: all that it asks of this room, in one place.

Nothing here reads a record: the caller says which findings stand and which remedies there are.
All amounts are whole units of money; originality that a remedy takes away is a cost like any other.
"""

from __future__ import annotations

from ..decisions.price_reasons import GRAVE_DANGER
from .cover import cheapest
from .estimates import NotHours, hundredths, price, sixths, whole
from .jobs.fitness import fit_for
from .jobs.sequence import best
from .jobs.tip_over import tip_over
from .jobs.work_order import CLASSES, order, spread

__all__ = [
    "CLASSES",
    "GRAVE_DANGER",
    "NotHours",
    "best",
    "cheapest",
    "fit_for",
    "hundredths",
    "order",
    "price",
    "sixths",
    "spread",
    "tip_over",
    "whole",
]
