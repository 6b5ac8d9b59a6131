"""A data folder in which the first start's slow part is done: the packed checklists and judge.

They are made of this checkout's files alone and named by their content, so each test may have a
copy; making them takes a server most of a second of processor time. Tests of a first start itself
(`tests/serving`) begin with a folder that is not there.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from bradawl.common import resources
from bradawl.serving import build_cache

#: Below the checkout's `build/`; as good in the next run, as long as its sources are the same.
_PREPARED = Path(__file__).parents[1] / "build" / "tests" / build_cache.FOLDER


def furnished(data: Path) -> Path:
    """`data`, made if it is not there, with what `build_cache` would put into it."""
    place = data / build_cache.FOLDER
    if place.exists():
        return data
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    checklists = resources.path_of("checklists")
    if not build_cache.are_kept(checklists, _PREPARED):
        _PREPARED.mkdir(parents=True, exist_ok=True)
        build_cache.checklists(checklists, _PREPARED)
        build_cache.judge(_PREPARED)
    part = data / f"{build_cache.FOLDER}.part"
    part.mkdir(mode=0o700)
    for file in _PREPARED.glob("*.json.gz"):
        shutil.copyfile(file, part / file.name)
    part.rename(place)
    return data
