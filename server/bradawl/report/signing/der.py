"""Writes values in DER (X.690): what the envelope of a signature is made of."""

from __future__ import annotations

__all__ = ["DATA", "ONE", "SIGNED_DATA", "sequence", "tagged"]

ONE = b"\x02\x01\x01"
#: RFC 5652, sections 4 and 5.1.
DATA = bytes.fromhex("06092a864886f70d010701")
SIGNED_DATA = bytes.fromhex("06092a864886f70d010702")


def tagged(tag: int, body: bytes) -> bytes:
    """A value with its tag and length (X.690, 8.1 and 10.1)."""
    size = len(body)
    if size < 128:
        return bytes([tag, size]) + body
    digits = size.to_bytes((size.bit_length() + 7) // 8, "big")
    return bytes([tag, 0x80 | len(digits)]) + digits + body


def sequence(*parts: bytes) -> bytes:
    """A SEQUENCE of values that are written already."""
    return tagged(0x30, b"".join(parts))
