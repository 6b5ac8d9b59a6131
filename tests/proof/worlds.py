"""Many worlds on all processors."""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from typing import Any

from tests.world.many import live
from tests.world.world import Tally

PART = 20


def worlds(first: int, count: int, *, hostile: bool | None = None) -> dict[str, Any]:
    """Live through `count` seeds from `first` on. Raises InvariantError naming one that failed."""
    total = Tally()
    parts = [
        range(start, min(start + PART, first + count))
        for start in range(first, first + count, PART)
    ]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for part in pool.map(partial(live, hostile=hostile), parts):
            total.add(part)
    return {"seeds": f"{first} to {first + count - 1}", "figures": str(total)}
