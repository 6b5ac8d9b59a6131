"""Costly work a few at a time, in an order that nobody can spoil for the others.

Whoever waits holds no thread, so that a crowd at one door leaves the rest of the server free.
"""

from __future__ import annotations

import asyncio
import bisect
import threading
from collections.abc import AsyncIterator
from concurrent.futures import Future
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

from bradawl.common.errors import ApiError
from bradawl.language import message


@dataclass(order=True)
class _Place:
    """A place in the row: the lowest rank first, then those who came first."""

    rank: int
    number: int
    source: str = field(compare=False)
    # Not asyncio's: whoever gives up a turn may do so in another event loop.
    ready: Future[None] = field(compare=False, default_factory=Future)
    working: bool = field(compare=False, default=False)


class Turns:
    """Lets `at_once` work at the same time.

    Args:
        at_once: how many work at the same time.
        each: how many places one source may have, at work and waiting.
        waiting: how many may wait; beyond that the last in the row is turned away.
    """

    def __init__(self, *, at_once: int = 1, each: int = 3, waiting: int = 1_000) -> None:
        self._at_once = at_once
        self._each = each
        self._most = waiting
        self._lock = threading.Lock()
        self._row: list[_Place] = []
        self._places: dict[str, int] = {}
        self._working = 0
        self._number = 0

    @asynccontextmanager
    async def turn(self, source: str, trouble: int = 0) -> AsyncIterator[None]:
        """Wait for a turn and hold it for the block.

        `trouble` is how often the source was wrong of late: whoever never was does not stand
        behind those who guess. The places that a source has count as well: whoever takes many
        does not keep others from their first. Raises ApiError 429 when the source has its places
        already, 503 when the row is full of others with no more trouble than this one.
        """
        place = self._join(source, trouble)
        try:
            await asyncio.wrap_future(place.ready)
            yield
        finally:
            self._leave(place)

    def _join(self, source: str, trouble: int) -> _Place:
        with self._lock:
            count = self._places.get(source, 0)
            if count >= self._each:
                raise ApiError(
                    "too_many",
                    message("access-wait-earlier"),
                    429,
                    headers={"Retry-After": "5"},
                )
            self._places[source] = count + 1
            self._number += 1
            place = _Place(trouble + count, self._number, source)
            bisect.insort(self._row, place)
            self._admit()
            if len(self._row) > self._most:
                _turn_away(self._row.pop())
            return place

    def _leave(self, place: _Place) -> None:
        with self._lock:
            if self._places[place.source] == 1:
                del self._places[place.source]
            else:
                self._places[place.source] -= 1
            if place.working:
                self._working -= 1
            elif place in self._row:
                self._row.remove(place)
            self._admit()

    def _admit(self) -> None:
        while self._row and self._working < self._at_once:
            place = self._row.pop(0)
            # False for one that was given up while it waited
            if place.ready.set_running_or_notify_cancel():
                place.working = True
                self._working += 1
                place.ready.set_result(None)


def _turn_away(place: _Place) -> None:
    # False for one that was given up while it waited
    if place.ready.set_running_or_notify_cancel():
        place.ready.set_exception(
            ApiError(
                "busy",
                message("access-wait-crowd"),
                503,
                headers={"Retry-After": "5"},
            )
        )
