"""A data folder in which the first start's slow part is done: the packed checklists and judge, and
an empty database.

They are made of this checkout's files alone, so each test may have a copy; making them takes a
server more than a second of processor time. Tests of a first start itself (`tests/serving`) begin
with a folder that is not there.
"""

from __future__ import annotations

import functools
import os
import shutil
import tempfile
from pathlib import Path

from sqlalchemy import Engine

from bradawl.common import resources
from bradawl.database.connection import migrate, open_engine
from bradawl.serving import build_cache
from tests.checkout import PREPARED


@functools.cache
def _empty_database() -> bytes:
    """SQLite's file after all migrations."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "empty.sqlite3"
        engine = open_engine(f"sqlite:///{file}")
        migrate(engine)
        engine.dispose()  # the last connection carries its journal over
        return file.read_bytes()


def migrated(engine: Engine) -> Engine:
    """`engine`, its database brought up to date; an SQLite file that is new is a copy."""
    if engine.dialect.name == "sqlite":
        file = Path(str(engine.url.database))
        if not file.exists() or file.stat().st_size == 0:
            file.write_bytes(_empty_database())
    migrate(engine)
    return engine


def furnished(data: Path, *, database: bool = True) -> Path:
    """`data`, made if it is not there, with what `build_cache` and `migrate` would put into it."""
    place = data / build_cache.FOLDER
    if place.exists():
        return data
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    checklists = resources.path_of("checklists")
    if not build_cache.are_kept(checklists, PREPARED):
        PREPARED.mkdir(parents=True, exist_ok=True)
        build_cache.checklists(checklists, PREPARED)
        build_cache.judge(PREPARED)
    file = data / "bradawl.sqlite3"
    if database and not file.exists():
        with open(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as empty:
            empty.write(_empty_database())
    part = data / f"{build_cache.FOLDER}.part"
    part.mkdir(mode=0o700)
    for file in PREPARED.glob("*.json.gz"):
        shutil.copyfile(file, part / file.name)
    part.rename(place)
    return data
