"""Hybrid logical clock stamps: `{ms:015d}-{counter:05d}-{device}`, which sort as text."""

from __future__ import annotations

COUNTER_LIMIT = 100_000
#: A stamp further ahead than this of when it came raises no clock, and ranks by when it came.
AHEAD_MS = 24 * 3_600_000


def stamp(ms: int, counter: int, device: str) -> str:
    """The stamp of `ms` (Unix milliseconds) and `counter` (0 to 99,999)."""
    return f"{ms:015d}-{counter:05d}-{device}"


def ms_of(at: str) -> int:
    """The milliseconds of a stamp."""
    return int(at[:15])


def is_far_ahead(at: str, received_ms: int) -> bool:
    """Whether a stamp lies so far ahead of when it came that nobody should believe it."""
    return ms_of(at) > received_ms + AHEAD_MS


def highest_believed(now_ms: int) -> str:
    """A text above every stamp that may raise a clock which stands at `now_ms`."""
    return f"{max(now_ms, 0) + AHEAD_MS:015d}~"


def next_stamp(now_ms: int, latest: str, device: str) -> str:
    """A stamp later than `latest` ("" when none was seen), at `now_ms` unless that lies behind.

    After Kulkarni et al., Logical Physical Clocks, 2014 (from memory): the greater of wall clock
    and latest stamp, the counter telling apart what shares a millisecond.
    """
    if latest == "" or now_ms > ms_of(latest):
        return stamp(max(now_ms, 0), 0, device)
    counter = int(latest[16:21]) + 1
    if counter < COUNTER_LIMIT:
        return stamp(ms_of(latest), counter, device)
    return stamp(ms_of(latest) + 1, 0, device)
