"""Reads a picture's first bytes: its kind, its size, and how its pixels are stored.

Reads bytes or a mapped file, of which it touches only what it needs. No library decodes anything
here, so a header that lies costs neither time nor memory.
"""

from __future__ import annotations

import mmap
import struct
import zlib
from typing import NamedTuple

__all__ = ["Jpeg", "Raster", "jpeg_header", "kind_of", "png_header", "webp_header"]

Data = bytes | mmap.mmap

_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1"}
_ORIENTATION = 0x0112
_TURNED = (5, 6, 7, 8)
#: More segments than any camera writes; each costs a step of Python.
_MOST_SEGMENTS = 10_000

_WITHOUT_LENGTH = {0x01, *range(0xD0, 0xD8)}
_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
_PROGRESSIVE = {0xC2, 0xC6, 0xCA, 0xCE}
#: Exif and the like, comments; neither color profiles nor what tells the colors of the data.
_METADATA = {0xE1, *range(0xE3, 0xEE), 0xEF, 0xFE}


def kind_of(head: bytes) -> str | None:
    """The media type that a file's first 16 bytes say it is, None for anything not accepted."""
    if head.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    if head[4:8] == b"ftyp" and head[8:12] in _HEIF_BRANDS:
        return "image/heic"
    return None


class Jpeg(NamedTuple):
    """A JPEG's frame (ITU-T T.81, B.2.2); pixels as stored, before `orientation` turns them."""

    width: int
    height: int
    marker: int
    precision: int
    sampling: tuple[tuple[int, int], ...]  # of each component: how often across, how often down
    in_first_scan: int  # components
    orientation: int  # Exif's, 1 to 8; 1 where nothing is said
    clean: bool  # carries no metadata segment
    scan: int  # where the picture data begin

    @property
    def turned(self) -> bool:
        """Whether width and height change places in the upright picture."""
        return self.orientation in _TURNED

    @property
    def in_several_scans(self) -> bool:
        """Whether a decoder must hold the coefficients of the whole picture."""
        return self.marker in _PROGRESSIVE or self.in_first_scan < len(self.sampling)


class Raster(NamedTuple):
    """Size of a PNG or WebP; `pixel_bytes` is what a pixel takes when Pillow holds it."""

    width: int
    height: int
    pixel_bytes: int


def jpeg_header(data: Data) -> Jpeg | None:
    """The frame of a JPEG, or None where its segments do not lead to picture data."""
    at, clean, orientation = 2, True, 0
    frame: tuple[int, int, int, int, tuple[tuple[int, int], ...]] | None = None
    for _ in range(_MOST_SEGMENTS):
        if data[at : at + 1] != b"\xff" or at + 4 > len(data):
            return None
        marker = data[at + 1]
        if marker == 0xFF:  # a fill byte
            at += 1
            continue
        if marker in _WITHOUT_LENGTH:
            at += 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if length < 2 or at + 2 + length > len(data):
            return None
        if marker == 0xDA:
            if frame is None or length < 3:
                return None
            width, height, kind, precision, sampling = frame
            return Jpeg(
                width,
                height,
                kind,
                precision,
                sampling,
                data[at + 4],
                orientation or 1,
                clean,
                at,
            )
        if marker in _FRAMES:
            if (
                frame is not None
                or (frame := _frame(marker, data[at + 4 : at + 2 + length])) is None
            ):
                return None
        elif marker in _METADATA:
            clean = False
            if marker == 0xE1 and not orientation and data[at + 4 : at + 10] == b"Exif\0\0":
                orientation = exif_orientation(data[at + 10 : at + 2 + length])
        at += 2 + length
    return None


def _frame(
    marker: int, body: bytes
) -> tuple[int, int, int, int, tuple[tuple[int, int], ...]] | None:
    if len(body) < 9 or len(body) < 6 + 3 * body[5]:
        return None
    precision, height, width, count = struct.unpack(">BHHB", body[:6])
    sampling = tuple((body[at] >> 4, body[at] & 15) for at in range(7, 6 + 3 * count, 3))
    if not (width and height and sampling and all(across and down for across, down in sampling)):
        return None
    return width, height, marker, precision, sampling


def exif_orientation(tiff: bytes) -> int:
    """The orientation that Exif tells (TIFF 6.0, section 2), 1 to 8; 0 where it tells none."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None or len(tiff) < 8:
        return 0
    at = int(struct.unpack(f"{order}I", tiff[4:8])[0])
    if at + 2 > len(tiff):
        return 0
    count = struct.unpack(f"{order}H", tiff[at : at + 2])[0]
    for entry in range(at + 2, min(at + 2 + 12 * count, len(tiff) - 11), 12):
        tag, kind, _, value = struct.unpack(f"{order}HHIH", tiff[entry : entry + 10])
        if tag == _ORIENTATION and kind == 3:
            return int(value) if 1 <= value <= 8 else 0
    return 0


#: (bit depth, color type) that PNG allows, with the bytes of a pixel in Pillow's memory.
_PNG_PIXELS = {
    **{(depth, 0): 1 for depth in (1, 2, 4, 8)},
    (16, 0): 4,
    **{(depth, 3): 1 for depth in (1, 2, 4, 8)},
    **{(depth, colors): 4 for depth in (8, 16) for colors in (2, 4, 6)},
}


def png_header(data: Data) -> Raster | None:
    """Size and pixels of a PNG (ISO/IEC 15948, 11.2.2), or None where its header is none."""
    head = data[8:33]
    if len(head) < 25 or head[:8] != b"\0\0\0\rIHDR":
        return None
    if zlib.crc32(head[4:21]) != int.from_bytes(head[21:25], "big"):
        return None
    width, height, depth, colors = struct.unpack(">IIBB", head[8:18])
    pixel_bytes = _PNG_PIXELS.get((depth, colors))
    if not (width and height and pixel_bytes) or max(width, height) >= 2**31:
        return None
    return Raster(width, height, pixel_bytes)


def webp_header(data: Data) -> Raster | None:
    """Size of a WebP (RFC 9649, 2.5 to 2.7), or None where its first chunk is none."""
    head = data[12:30]
    if len(head) < 18:
        return None
    kind, body = head[:4], head[8:]
    if kind == b"VP8X":
        width = 1 + int.from_bytes(body[4:7], "little")
        height = 1 + int.from_bytes(body[7:10], "little")
    elif kind == b"VP8L" and body[0] == 0x2F:
        bits = int.from_bytes(body[1:5], "little")
        width, height = 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    elif kind == b"VP8 " and body[3:6] == b"\x9d\x01\x2a":
        width = int.from_bytes(body[6:8], "little") & 0x3FFF
        height = int.from_bytes(body[8:10], "little") & 0x3FFF
    else:
        return None
    # the library's two canvases, the frame it hands out, and Pillow's own copy
    return Raster(width, height, 16) if width and height else None
