"""How much a long test tries: in `make test` what takes seconds, in `make proof` all of it.

`BRADAWL_LONG_TESTS` is the share of the long amount that is tried; without it, the short one is.
"""

from __future__ import annotations

import os

VARIABLE = "BRADAWL_LONG_TESTS"
_SHARE = float(os.environ.get(VARIABLE, "0"))


def amount(long: int, *, short: int) -> int:
    """How many are tried of `long`, at least `short`."""
    return max(short, round(long * _SHARE))
