"""10,000 worlds (tests/world): what a proof costs, not a speed.

`BRADAWL_SEEDS` asks for fewer or more.
"""

from __future__ import annotations

import os
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict

from tests.bench.figures import count, write
from tests.world.many import live
from tests.world.world import Tally

PART = 50


def worlds(seeds: int) -> Tally:
    """All seeds on all processors. Raises InvariantError naming the seed that failed."""
    total = Tally()
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for part in pool.map(
            live, [range(first, min(first + PART, seeds)) for first in range(0, seeds, PART)]
        ):
            total.seeds += part.seeds
            total.events += part.events
            total.lost += part.lost
            total.doubled += part.doubled
            total.diverged += part.diverged
    return total


def main() -> None:
    began = time.monotonic()
    tally = worlds(count("BRADAWL_SEEDS", 10_000))
    print(tally)
    seconds = round(time.monotonic() - began)
    write("world", [{"what": "worlds", **asdict(tally), "seconds": seconds}])


if __name__ == "__main__":
    main()
