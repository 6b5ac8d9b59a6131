"""The judge: plain JSON values in, plain JSON values out; no clock, no network, no files.

Runs unchanged under CPython on the server and under MicroPython on the phone. README.md tells
what it computes; tests/judge/engines/subset.py refuses what MicroPython does not have.
"""

from .assessment import assess, judge_item
from .grading.items import graded
from .json_api import ask
from .record.entry_kinds import WITHHELD_KINDS, entry_kind
from .record.folding import (
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
from .record.visit_facts import visit_facts

__all__ = [
    "WITHHELD_KINDS",
    "CanonicalError",
    "amendments",
    "ask",
    "assess",
    "canonical",
    "covered",
    "entry_kind",
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
