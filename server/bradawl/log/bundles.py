"""Checklist bundles, kept for ever: a visit keeps the one it began with."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from threading import Lock
from typing import TYPE_CHECKING, Any

import msgspec
from sqlalchemy import Engine, insert, select
from sqlalchemy.exc import IntegrityError

from bradawl.database.connection import reading, writing
from bradawl.log.format.events import is_hash
from bradawl.log.format.tables import BUNDLES

if TYPE_CHECKING:
    from bradawl.judge.values.types import Bundle

READY = 4  # parsed ones; a page of the desk needs one, and parsing is a third of it


class Bundles:
    """The bundles in `engine`; `clock` gives Unix milliseconds."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock
        self._ready: dict[str, Bundle] = {}
        self._lock = Lock()

    def put(self, bundle: Mapping[str, Any]) -> str:
        """Keep a bundle; its hash. A repeat changes nothing. Raises ValueError for no hash."""
        name = str(bundle["hash"])
        if not is_hash(name):
            raise ValueError("A checklist bundle's hash is a SHA-256 in lower-case hex.")
        if not self.has(name):
            # another server process may keep it in the same moment
            with suppress(IntegrityError), writing(self._engine) as connection:
                connection.execute(
                    insert(BUNDLES).values(
                        hash=name,
                        body=json.dumps(bundle, ensure_ascii=False, separators=(",", ":")),
                        added_ms=self._clock(),
                    )
                )
        return name

    def has(self, name: str) -> bool:
        """Whether a bundle is kept."""
        with reading(self._engine) as connection:
            row = connection.execute(select(BUNDLES.c.hash).where(BUNDLES.c.hash == name))
            return row.first() is not None

    def get(self, name: str) -> Bundle | None:
        """A bundle, or None. Callers share the value: it is read and never changed."""
        with self._lock:
            ready = self._ready.get(name)
        if ready is not None:
            return ready
        with reading(self._engine) as connection:
            body = connection.execute(select(BUNDLES.c.body).where(BUNDLES.c.hash == name)).scalar()
        if body is None:
            return None
        bundle: Bundle = msgspec.json.decode(body)
        with self._lock:
            self._ready[name] = bundle
            while len(self._ready) > READY:
                del self._ready[next(iter(self._ready))]
        return bundle
