"""The checklists of this checkout, read once for all processes that test.

Reading and bundling them takes half a second of processor time or more, and some forty files of
tests need them. Each asker has a bundle of its own: what a test changes in it, no other sees. What
`load` and `bundle` make of files is tested in `tests/checklists`, which calls them itself.
"""

from __future__ import annotations

import functools
import pickle
from pathlib import Path
from typing import Any

from bradawl.common import resources
from bradawl.serving import build_cache

#: Below the checkout's `build/`; as good in the next run, as long as its sources are the same.
PREPARED = Path(__file__).parents[1] / "build" / "tests" / build_cache.FOLDER


@functools.cache
def _bundled() -> bytes:
    PREPARED.mkdir(parents=True, exist_ok=True)
    return pickle.dumps(build_cache.checklists(resources.path_of("checklists"), PREPARED).value)


def checklist_bundle() -> dict[str, Any]:
    """The bundle of the checklists as they are."""
    made: dict[str, Any] = pickle.loads(_bundled())
    return made
