"""Many worlds, one after another, and what they came to."""

from __future__ import annotations

import asyncio
import logging
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any
from unittest import mock

from tests.world.look import InvariantError
from tests.world.server import make_template
from tests.world.world import Tally, World


async def in_this_thread(work: Callable[..., Any], *given: Any, **_limits: Any) -> Any:
    """One request at a time is all that a world has: threads would cost a third of its time."""
    return work(*given)


def live(seeds: Iterable[int], *, hostile: bool | None = None) -> Tally:
    """Run each seed's world. Raises InvariantError naming the seed that failed."""
    total = Tally()
    # refusals that a world provokes on purpose would fill the screen
    logging.getLogger("bradawl").setLevel(logging.CRITICAL)
    # in memory where there is such a place: a world tests logic, not the disk's speed
    memory = Path("/dev/shm")
    with (
        mock.patch("anyio.to_thread.run_sync", in_this_thread),
        tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder,
    ):
        template = Path(folder) / "template.db"
        make_template(template)
        for seed in seeds:
            with (
                mock.patch("anyio.to_thread.run_sync", in_this_thread),
                tempfile.TemporaryDirectory(dir=folder) as place,
            ):
                try:
                    one = asyncio.run(World(seed, Path(place), template, hostile=hostile).run())
                except InvariantError:
                    raise
                except Exception as error:
                    raise InvariantError(f"seed {seed}: {type(error).__name__}: {error}") from error
            total.add(one)
    return total
