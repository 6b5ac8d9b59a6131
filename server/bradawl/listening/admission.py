"""Admits and ends connections by the caps on their number and the limits in time.

Where there is no room, a connection that waits for its other end gives way to the new one: of the
address with the most of them, what is furthest from being served, the oldest first. The oldest and
not the newest: whoever means well has sent the head of a request a moment after the handshake, so
what is still half-open after a while is what an attack is made of, and a browser that happens to
share the attacker's address is served between two of its connections. A request that is complete
is never cut, and an address that stays below `Limits.free_per_address` is never the greedy one.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Collection

from bradawl.listening.closed_connections import (
    NO_BODY,
    NO_HANDSHAKE,
    NO_HEAD,
    NO_ROOM,
    NOT_TAKEN,
    Closings,
)
from bradawl.listening.connections import Connection, Phase
from bradawl.listening.limits import Limits

__all__ = ["Admission"]


class Admission:
    """The connections of one process, however many ports it listens on."""

    def __init__(self, limits: Limits, loop: asyncio.AbstractEventLoop) -> None:
        self.limits = limits
        self._loop = loop
        self._open: set[Connection] = set()
        self._by_network: dict[str, set[Connection]] = {}
        self._closings = Closings()
        self._look_later: asyncio.TimerHandle | None = None

    def __len__(self) -> int:
        return len(self._open)

    def admit(self, address: str) -> Connection | None:
        """Room for a new connection from an address; None where there is none."""
        now = self._loop.time()
        connection = Connection(address, now, self.limits.handshake_s)
        network = connection.network
        neighbors = self._by_network.get(network, set())
        most = self.limits.open_per_network
        room = True
        if most is not None and len(neighbors) >= most:
            room = self._make_room(neighbors, now, crowded=False)
        elif len(self._open) >= self.limits.open_in_all:
            room = self._make_room(self._open, now, crowded=True)
        if not room:
            self._closings.note(NO_ROOM, network)
            self._watch()
            return None
        connection.gone = lambda: self._forget(connection)
        self._open.add(connection)
        self._by_network.setdefault(network, set()).add(connection)
        self._watch()
        return connection

    def make_room(self) -> bool:
        """Cut what gives way first, because the process has no file left; whether there was any."""
        return self._make_room(self._open, self._loop.time(), crowded=True)

    def close(self) -> None:
        """Say what is still to be said."""
        if self._look_later is not None:
            self._look_later.cancel()
            self._look_later = None
        self._closings.tell(float("inf"))

    def _make_room(self, among: Collection[Connection], now: float, *, crowded: bool) -> bool:
        """Cut one of `among`; `crowded` says that the room for all is taken."""
        waiting: Counter[str] = Counter()
        phases: list[tuple[Connection, Phase]] = []
        for connection in among:
            phase = connection.phase
            if phase is not Phase.WORKING:
                waiting[connection.address] += 1
                if connection.network != connection.address:
                    waiting[connection.network] += 1
                phases.append((connection, phase))
        worst: tuple[tuple[int, int, float], Connection] | None = None
        for connection, phase in phases:
            free = self.limits.free_per_address
            # Within one IPv6 network, too, the greedy address is told from its neighbors.
            greed = max(0, waiting[connection.network] - free) if crowded else 0
            greed += max(0, waiting[connection.address] - free)
            if phase >= Phase.RECEIVING and not (
                (crowded and greed) or connection.is_slow(self.limits.slow_bytes_per_s, now)
            ):
                continue
            rank = (greed, -int(phase), now - connection.since)
            if worst is None or rank > worst[0]:
                worst = rank, connection
        if worst is None:
            return False
        self._closings.note(NO_ROOM, worst[1].network)
        self._end(worst[1])
        return True

    def _end(self, connection: Connection) -> None:
        cut = connection.cut
        self._forget(connection)
        cut()

    def _forget(self, connection: Connection) -> None:
        connection.release()
        self._open.discard(connection)
        neighbors = self._by_network.get(connection.network)
        if neighbors is not None:
            neighbors.discard(connection)
            if not neighbors:
                del self._by_network[connection.network]

    # Time

    def _watch(self) -> None:
        if self._look_later is None:
            self._look_later = self._loop.call_later(self.limits.look_every_s, self._look)

    def _look(self) -> None:
        """End what has waited too long; now and then while anybody is connected."""
        self._look_later = None
        now = self._loop.time()
        for connection in list(self._open):
            connection.look(now)
            reason = self._overdue(connection, now)
            if reason is None:
                continue
            if reason:
                self._closings.note(reason, connection.network)
            if connection.give_up is not None and connection.phase in (Phase.HALF_OPEN, Phase.IDLE):
                connection.give_up()
            else:
                self._end(connection)
        self._closings.tell(now)
        if self._open or self._closings:
            self._watch()

    def _overdue(self, connection: Connection, now: float) -> str | None:
        """Why a connection has to end, empty text for what is not worth a word, or None."""
        limits = self.limits
        phase = connection.phase
        lasted_s = now - connection.since
        if phase is Phase.WORKING:
            return None
        if phase is Phase.HALF_OPEN:
            if lasted_s < connection.limit_s:
                return None
            if connection.give_up is None:
                return NO_HANDSHAKE
            return NO_HEAD if connection.heard else ""
        if phase is Phase.IDLE:
            return "" if lasted_s >= limits.idle_s else None
        if phase is Phase.CLOSING:
            return "" if lasted_s >= limits.closing_s else None
        if not connection.stalled(limits.progress_s, limits.progress_bytes, now):
            return None
        return NO_BODY if phase is Phase.RECEIVING else NOT_TAKEN
