"""Many worlds, one after another, and what they came to."""

from __future__ import annotations

import asyncio
import logging
import tempfile
from collections.abc import Iterable
from pathlib import Path

from tests.world.server import make_template
from tests.world.world import InvariantError, Tally, World


def live(seeds: Iterable[int]) -> Tally:
    """Run each seed's world. Raises InvariantError naming the seed that failed."""
    total = Tally()
    # refusals that a world provokes on purpose would fill the screen
    logging.getLogger("bradawl").setLevel(logging.CRITICAL)
    # in memory where there is such a place: a world tests logic, not the disk's speed
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        template = Path(folder) / "template.db"
        make_template(template)
        for seed in seeds:
            with tempfile.TemporaryDirectory(dir=folder) as place:
                try:
                    one = asyncio.run(World(seed, Path(place), template).run())
                except InvariantError:
                    raise
                except Exception as error:
                    raise InvariantError(f"seed {seed}: {type(error).__name__}: {error}") from error
            total.seeds += one.seeds
            total.events += one.events
            total.lost += one.lost
            total.doubled += one.doubled
            total.diverged += one.diverged
    return total
