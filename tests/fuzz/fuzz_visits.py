"""Invariant: of any visit that the log takes, every page, file and report is answered below 500."""

from __future__ import annotations

import functools
import random
import tempfile
from pathlib import Path

from tests.nasty.site import Site, pages_of, reports_of
from tests.nasty.visits import spiked


@functools.cache
def site() -> Site:
    """One server for all cases; each is a visit of its own."""
    return Site(Path(tempfile.mkdtemp(prefix="bradawl-fuzz-")))


def one(chance: random.Random) -> None:
    """One case."""
    visit = site().record(spiked(site().bundle, chance, chance.choice([0.03, 0.1, 0.25, 0.6])))
    for address in [*pages_of(visit), *reports_of(visit)]:
        assert site().ask(address).status_code == 200, address
