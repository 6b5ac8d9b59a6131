"""Pictures that strangers took: what their headers say, and clean copies of them.

`headers` reads headers without any library; `decoder` has a picture decoded by another process
(`child`), which may use a bounded amount of memory (`reducing` says how much it needs).
"""

from __future__ import annotations

from typing import NamedTuple


class Copy(NamedTuple):
    """A clean JPEG and its size in pixels."""

    data: bytes
    width: int
    height: int
