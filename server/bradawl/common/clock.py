"""The server's clock, as everything that stamps, counts or waits by it reads it."""

from __future__ import annotations

import time

__all__ = ["now_ms"]


def now_ms() -> int:
    """Unix milliseconds."""
    return time.time_ns() // 1_000_000
