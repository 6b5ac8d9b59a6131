"""The checklists of this checkout, read once by each process that tests.

Reading and bundling them takes half a second of processor time, and some forty files of tests need
them. Each asker has a bundle of its own: what a test changes in it, no other sees. What `load` and
`bundle` make of files is tested in `tests/checklists`, which calls them itself.
"""

from __future__ import annotations

import functools
import pickle
from typing import Any

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from bradawl.common import resources


@functools.cache
def _bundled() -> bytes:
    return pickle.dumps(bundle(load(resources.path_of("checklists"))))


def checklist_bundle() -> dict[str, Any]:
    """The bundle of the checklists as they are."""
    made: dict[str, Any] = pickle.loads(_bundled())
    return made
