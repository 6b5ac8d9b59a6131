"""Runs a fuzz target in a box: for so many seconds or cases. No case depends on another."""

from __future__ import annotations

import importlib
import random
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bradawl.common.errors import ApiError

TARGETS = ("events", "checklists", "photos", "verify", "visits")


@dataclass
class Tally:
    """What a run came to; `broken` tells of the case that broke the invariant."""

    name: str
    invariant: str
    cases: int = 0
    broken: str | None = None

    def __str__(self) -> str:
        said = self.broken if self.broken is not None else "0 broken"
        return f"{self.name}: {self.cases} cases, {said}"


def outcome(function: Callable[..., Any], *arguments: Any) -> Any:
    """What a call gives, or the named refusal that it ends with; any other error is a crash."""
    try:
        return function(*arguments)
    except ApiError as refusal:
        return refusal


def run(name: str, *, seconds: float = 0, cases: int = 1, first: int = 0) -> Tally:
    """Cases from `first` on, until both `seconds` and `cases` are used up, or one breaks."""
    target = importlib.import_module(f"tests.fuzz.fuzz_{name}")
    tally = Tally(name, (target.__doc__ or "").strip())
    until = time.monotonic() + seconds
    number = first
    while number < first + cases or time.monotonic() < until:
        try:
            target.one(random.Random(f"{name} {number}"))
        except Exception:
            tally.broken = f"case {number} broke it:\n{traceback.format_exc()}"
            break
        number += 1
    tally.cases = number - first
    return tally
