"""Logs the connections that were ended: one line a minute at most, however many they are."""

from __future__ import annotations

import logging
from collections import Counter

__all__ = ["NOT_TAKEN", "NO_BODY", "NO_HANDSHAKE", "NO_HEAD", "NO_ROOM", "Closings"]

logger = logging.getLogger(__name__)

SAY_EVERY_S = 60.0
#: So many a minute are everyday: phones that walked off, browsers that connect in advance.
USUAL = 10
MOST_ADDRESSES = 1_000
NAMED_ADDRESSES = 3

NO_HANDSHAKE = "no TLS handshake"  # log: not shown
NO_HEAD = "half a request"  # log: not shown
NO_BODY = "a body that did not move"  # log: not shown
NOT_TAKEN = "an answer that was not taken"  # log: not shown
NO_ROOM = "for want of room"  # log: not shown


class Closings:
    """Counts, and tells them together; memory and log are bounded."""

    def __init__(self) -> None:
        self._reasons: Counter[str] = Counter()
        self._networks: Counter[str] = Counter()
        self._told_at: float | None = None

    def __bool__(self) -> bool:
        """Whether there is something left to tell."""
        return bool(self._reasons)

    def note(self, reason: str, network: str) -> None:
        """One connection was ended by this server."""
        self._reasons[reason] += 1
        is_listed = network in self._networks or len(self._networks) < MOST_ADDRESSES
        others = "other addresses"  # log: not shown
        self._networks[network if is_listed else others] += 1

    def tell(self, now: float) -> None:
        """Log what was counted, unless something was said within the last minute."""
        if not self._reasons or (self._told_at is not None and now - self._told_at < SAY_EVERY_S):
            return
        self._told_at = now
        count = sum(self._reasons.values())
        usual = count < USUAL and not self._reasons[NO_ROOM]
        most = self._networks.most_common(NAMED_ADDRESSES)
        logger.log(
            logging.INFO if usual else logging.WARNING,
            "%s closed by this server: %s. Most of them from %s.",
            "1 connection" if count == 1 else f"{count:,} connections",
            ", ".join(f"{number:,} {reason}" for reason, number in self._reasons.most_common()),
            ", ".join(f"{network} ({number:,})" for network, number in most),
        )
        self._reasons.clear()
        self._networks.clear()
