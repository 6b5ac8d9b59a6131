"""The judge: plain JSON values in, plain JSON values out; no clock, no network, no files.

Runs unchanged under CPython on the server and under MicroPython on the phone. README.md tells
what it computes; tests/engines/subset.py refuses what MicroPython does not have.
"""

from .assessment import assess, judge_item
from .door import ask
from .grading import graded
from .record import (
    CanonicalError,
    amendments,
    canonical,
    covered,
    event_id,
    fold,
    leaf_texts,
    live_ids,
    may_be_erased,
    obeyed,
    orders,
    photos_of,
    photos_text,
    unsigned_text,
)
from .visit import visit_facts

__all__ = [
    "CanonicalError",
    "amendments",
    "ask",
    "assess",
    "canonical",
    "covered",
    "event_id",
    "fold",
    "graded",
    "judge_item",
    "leaf_texts",
    "live_ids",
    "may_be_erased",
    "obeyed",
    "orders",
    "photos_of",
    "photos_text",
    "unsigned_text",
    "visit_facts",
]
