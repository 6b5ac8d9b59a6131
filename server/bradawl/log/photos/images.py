"""What a photo may be, and the copy of it that is served."""

from __future__ import annotations

import mmap
from typing import IO, NamedTuple

from bradawl.imaging.decoder import DECODER, on_disk
from bradawl.imaging.errors import MAX_PIXELS, PictureError, not_an_image, too_many_pixels
from bradawl.imaging.headers import jpeg_header, kind_of, png_header, webp_header

SERVED_PX = 1600  # the longer side of a served copy
SERVED_QUALITY = 85

__all__ = ["MAX_PIXELS", "Facts", "PictureError", "inspect", "kind_of", "served_copy"]


class Facts(NamedTuple):
    """What a photo's header says; pixels, of the upright picture where a JPEG is turned."""

    type: str
    width: int
    height: int


def inspect(data: bytes | mmap.mmap) -> Facts:
    """What a whole file holds. Raises PictureError "not_an_image" or "too_many_pixels".

    Of a mapped file only the first and last pages are read; of a HEIC all, by the decoder.
    """
    kind = kind_of(data[:16])
    if kind is None:
        raise not_an_image("kind")
    width, height, begin = _size(data, kind)
    if not _is_whole(data, kind, begin):
        raise not_an_image("end")
    if width * height > MAX_PIXELS:
        raise too_many_pixels()
    return Facts(kind, width, height)


def _size(data: bytes | mmap.mmap, kind: str) -> tuple[int, int, int]:
    """Width, height, and where the picture's own data begin in a JPEG."""
    if kind == "image/heic":
        with on_disk(data[:]) as file:
            return (*DECODER.heic_size(file), 0)
    if kind == "image/jpeg":
        jpeg = jpeg_header(data)
        if jpeg is not None:
            upright = (jpeg.width, jpeg.height)
            return (*(upright[::-1] if jpeg.turned else upright), jpeg.scan)
    else:
        raster = png_header(data) if kind == "image/png" else webp_header(data)
        if raster is not None:
            return raster.width, raster.height, 0
    raise not_an_image("first-part")


def _is_whole(data: bytes | mmap.mmap, kind: str, begin: int) -> bool:
    """Whether a file has what its format ends with; cheaper than decoding it all."""
    if kind == "image/jpeg":
        # behind the header: that may hold a small picture with an end of its own
        return data.rfind(b"\xff\xd9") > begin
    if kind == "image/png":
        return b"IEND" in data[-65_536:]
    if kind == "image/webp":
        return int.from_bytes(data[4:8], "little") + 8 <= len(data)
    return True  # the boxes of HEIC say their lengths, and its reader checks them


def served_copy(original: bytes | IO[bytes]) -> bytes:
    """A JPEG of at most 1600 px on the longer side: upright, sRGB, free of metadata.

    `original` is a file on this machine's disk, or its bytes. Raises PictureError when the pixels
    cannot be decoded, or not in the memory that is set aside for it.
    """
    if isinstance(original, bytes):
        with on_disk(original) as file:
            return DECODER.copy(file, SERVED_PX, SERVED_QUALITY).data
    return DECODER.copy(original, SERVED_PX, SERVED_QUALITY).data
