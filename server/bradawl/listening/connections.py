"""One connection: from where, in what phase, since when, how much has moved."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from enum import IntEnum

__all__ = ["Connection", "Phase"]


class Phase(IntEnum):
    """Who has to do something next. The order is that in which connections give way."""

    CLOSING = 0  #: we ended it; the other end has not
    HALF_OPEN = 1  #: the handshake or the head of a request is not complete
    IDLE = 2  #: between two requests
    RECEIVING = 3  #: the body of a request is on its way
    SENDING = 4  #: an answer waits to be taken
    WORKING = 5  #: a request is complete and being worked on: ours to do, never cut


def _nothing() -> None:
    pass


def _no_bytes() -> int:
    return 0


def _not() -> bool:
    return False


class Connection:
    """One connection; times are the event loop's, in seconds.

    Attributes:
        address: of the other end, without a port.
        network: the unit that limits count: an IPv4 address, 64 bits of an IPv6 address.
        cut: ends it at once, whatever it is doing.
        give_up: ends it with a word to the other end, where there is one to say.
        closing: whether we have ended it already, and the other end has not.
        pending: bytes of an answer that lie here until the other end takes them.
        gone: to be called once it is over, however it ended.
    """

    __slots__ = (
        "_last_pending",
        "_moved_bytes",
        "_phase",
        "_window_began",
        "address",
        "closing",
        "cut",
        "give_up",
        "gone",
        "heard",
        "limit_s",
        "network",
        "pending",
        "since",
    )

    def __init__(self, address: str, now: float, limit_s: float) -> None:
        self.address, self.network = placed(address)
        self.release()
        #: Whether the other end said anything at all.
        self.heard = False
        #: How long a half-open connection may take for what it is in the middle of.
        self.limit_s = limit_s
        self.since = now
        self._phase = Phase.HALF_OPEN
        self._window_began = now
        self._moved_bytes = 0
        self._last_pending = 0

    def release(self) -> None:
        """Let go of the transport: its buffers must not wait for the collector of garbage."""
        self.cut: Callable[[], None] = _nothing
        self.give_up: Callable[[], None] | None = None
        self.closing: Callable[[], bool] = _not
        self.pending: Callable[[], int] = _no_bytes
        self.gone: Callable[[], None] = _nothing

    @property
    def phase(self) -> Phase:
        """Whose turn it is: an answer that is not taken makes it the other end's."""
        phase = self._phase
        if phase in (Phase.CLOSING, Phase.IDLE, Phase.WORKING) and self.pending() > 0:
            return Phase.SENDING
        return phase

    def enter(self, phase: Phase, now: float) -> None:
        """Note a phase; nothing changes where it is that one already."""
        if phase is not self._phase:
            self._phase = phase
            self.since = now
            self._begin_window(now)

    def begin(self, limit_s: float, now: float) -> None:
        """Note that something new is half-open, with a limit of its own."""
        self._phase = Phase.HALF_OPEN
        self.since = now
        self.limit_s = limit_s

    def received(self, count: int) -> None:
        """Note bytes that arrived."""
        self.heard = True
        self._moved_bytes += count

    def look(self, now: float) -> None:
        """Note what has changed by itself since the last look."""
        pending = self.pending()
        # More is written only after what was there before had gone: that, too, is progress.
        self._moved_bytes += abs(pending - self._last_pending)
        if self._last_pending and not pending:
            self.since = now  # what comes after the answer begins when it was taken
        self._last_pending = pending
        if self.closing():
            self.enter(Phase.CLOSING, now)

    def stalled(self, window_s: float, least_bytes: int, now: float) -> bool:
        """Whether a window has passed in which too little moved; a full one begins the next."""
        if now - self._window_began < window_s:
            return False
        if self._moved_bytes < least_bytes:
            return True
        self._begin_window(now)
        return False

    def is_slow(self, bytes_per_s: int, now: float) -> bool:
        """Whether less than so much has moved, judged after some seconds at the earliest."""
        lasted_s = now - self._window_began
        return lasted_s >= 5 and self._moved_bytes < bytes_per_s * lasted_s

    def _begin_window(self, now: float) -> None:
        self._window_began = now
        self._moved_bytes = 0


def placed(address: str) -> tuple[str, str]:
    """An address as it is counted, and the network that it is counted with.

    The network of an IPv6 address are its first 64 bits: a household or a single device is given
    at least those and may use any address in them (RFC 6177 section 2, RFC 8981). IPv4 that came
    by an IPv6 socket is IPv4 (RFC 4291 section 2.5.5.2); of IPv4 every address counts for itself.
    """
    plain, _, zone = address.partition("%")
    try:
        parsed = ipaddress.ip_address(plain)
    except ValueError:
        return address, address
    if isinstance(parsed, ipaddress.IPv6Address) and parsed.ipv4_mapped is not None:
        parsed = parsed.ipv4_mapped
    if isinstance(parsed, ipaddress.IPv4Address):
        return str(parsed), str(parsed)
    network = str(ipaddress.ip_network((parsed, 64), strict=False))
    return (f"{parsed}%{zone}", f"{network}%{zone}") if zone else (str(parsed), network)
