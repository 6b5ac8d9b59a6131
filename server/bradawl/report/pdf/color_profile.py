"""The sRGB profile of a report's output intent, built here so that its bytes never change.

ICC.1:2004-10 (profile version 4.2): primaries and white of IEC 61966-2-1 adapted to D50, the
transfer curve as a parametric curve of type 3.
"""

from __future__ import annotations

import functools
import struct

__all__ = ["profile"]

_D50 = (0.9642, 1.0, 0.8249)
_RED, _GREEN, _BLUE = (
    (0.43607, 0.22249, 0.01392),
    (0.38515, 0.71687, 0.09708),
    (0.14307, 0.06061, 0.71410),
)
# D65 to D50 by the linear Bradford method, as the profile's chad tag states it.
_ADAPTED = (
    1.04788, 0.02292, -0.05022,
    0.02959, 0.99048, -0.01708,
    -0.00925, 0.01508, 0.75168,
)  # fmt: skip
# IEC 61966-2-1: ((x + 0.055) / 1.055) ** 2.4 above 0.04045, x / 12.92 below.
_CURVE = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)


def _fixed(*values: float) -> bytes:
    return b"".join(struct.pack(">i", round(value * 65536)) for value in values)


def _words(text: str) -> bytes:
    encoded = text.encode("utf-16-be")
    return b"mluc" + struct.pack(">IIIHHII", 0, 1, 12, 0x656E, 0x5553, len(encoded), 28) + encoded


@functools.cache
def profile() -> bytes:
    """The profile's bytes, always the same."""
    curve = b"para" + struct.pack(">IHH", 0, 3, 0) + _fixed(*_CURVE)
    contents = {
        b"desc": _words("sRGB, built by Bradawl"),  # inside the file: not shown
        b"cprt": _words("No copyright"),  # inside the file: not shown
        b"wtpt": b"XYZ \0\0\0\0" + _fixed(*_D50),
        b"chad": b"sf32\0\0\0\0" + _fixed(*_ADAPTED),
        b"rXYZ": b"XYZ \0\0\0\0" + _fixed(*_RED),
        b"gXYZ": b"XYZ \0\0\0\0" + _fixed(*_GREEN),
        b"bXYZ": b"XYZ \0\0\0\0" + _fixed(*_BLUE),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    at = 128 + 4 + 12 * len(contents)
    table, body, written = b"", b"", dict[bytes, int]()
    for tag, data in contents.items():
        if data not in written:
            written[data] = at + len(body)
            body += data + b"\0" * (-len(data) % 4)
        table += tag + struct.pack(">II", written[data], len(data))
    size = at + len(body)
    header = (
        struct.pack(">I", size)
        + b"\0\0\0\0"
        + struct.pack(">I", 0x04200000)
        + b"mntrRGB XYZ "
        + struct.pack(">6H", 2026, 1, 1, 0, 0, 0)
        + b"acsp"
        + b"\0" * 28
        + _fixed(*_D50)
    )
    return header.ljust(128, b"\0") + struct.pack(">I", len(contents)) + table + body
