"""Photos made for the tests: every accepted kind, and files that only pretend to be one."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib
from pathlib import Path
from typing import Any

from PIL import Image

#: `picture()` drawn again as HEIC with ImageMagick, because the HEIF library here only reads.
HEIC = (Path(__file__).parent / "fixtures" / "drawn.heic").read_bytes()


def picture(width: int = 64, height: int = 48) -> Image.Image:
    """Left half red, right half blue, a white corner at the top left: turning it shows."""
    image = Image.new("RGB", (width, height), "blue")
    image.paste("red", (0, 0, width // 2, height))
    image.paste("white", (0, 0, width // 4, height // 4))
    return image


def encoded(kind: str = "JPEG", width: int = 64, height: int = 48, **more: Any) -> bytes:
    out = io.BytesIO()
    picture(width, height).save(out, kind, **more)
    return out.getvalue()


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def turned_and_placed(orientation: int = 6) -> bytes:
    """An 80 x 40 JPEG as a phone makes it: turned by EXIF, and saying where it was taken."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "A camera"
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2] = "N", (52.0, 30.0, 0.0)
    return encoded("JPEG", 80, 40, exif=exif, comment=b"a comment", quality=95)


def pixel_bomb(side: int = 14_200) -> bytes:
    """A PNG of 200 megapixels in a few kilobytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    packer = zlib.compressobj(1)
    row = b"\0" + bytes((side + 7) // 8)
    body = b"".join(packer.compress(row) for _ in range(side)) + packer.flush()
    header = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", body) + chunk(b"IEND", b"")
    )
