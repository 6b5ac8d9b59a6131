"""Reduces any picture to a small clean JPEG, in a known amount of memory.

Runs in the decoding process (`child`). A picture is decoded once, where it can be at a fraction of
its size, and goes on in pieces, so that nothing of its full size is ever held twice.
"""

from __future__ import annotations

import bisect
import io
import itertools
import mmap
import warnings
import zlib
from collections.abc import Iterator
from typing import IO, cast

import pi_heif
from PIL import Image, ImageCms, ImageOps

from bradawl.imaging import Copy
from bradawl.imaging.errors import DECODING_BYTES, MAX_PIXELS
from bradawl.imaging.headers import (
    Jpeg,
    Raster,
    jpeg_header,
    kind_of,
    png_header,
    webp_header,
)

__all__ = ["Refused", "heic_size", "reduced"]

Image.MAX_IMAGE_PIXELS = MAX_PIXELS
warnings.simplefilter("error", Image.DecompressionBombWarning)
pi_heif.register_heif_opener(decode_threads=1)

_FORMATS = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP", "image/heic": "HEIF"}
_ORIENTATION = 0x0112
#: libde265 and libheif keep planes and colors, pi_heif a copy, Pillow its own.
_HEIF_PIXEL_BYTES = {420: 8, 400: 8}
_HEIF_OTHER_PIXEL_BYTES = 16
#: For profiles, the encoder, rows on their way.
_BESIDE_BYTES = 24 * 2**20
_PIECE_PX = 1_000
_PROFILE_LIMIT_BYTES = 2**20
_METADATA_LIMIT_BYTES = 65_536
_MOST_CHUNKS = 100_000


class Refused(Exception):
    """A picture that cannot be decoded; the text is a key of `errors.BY_CODE`."""


def heic_size(file: IO[bytes]) -> tuple[int, int]:
    """Width and height of a HEIC, from its boxes. Raises Refused."""
    with _opened(file, "image/heic", 0) as opened:
        return opened.size


def reduced(file: IO[bytes], edge_px: int, quality: int) -> Copy:
    """A JPEG of at most `edge_px` on the longer side: upright, sRGB, free of metadata.

    Raises Refused; MemoryError where the process may not have what it takes after all.
    """
    file.seek(0)
    kind = kind_of(file.read(16))
    if kind is None:
        raise Refused("kind")
    try:
        small, profile = _small(file, kind, edge_px)
    except (Refused, MemoryError):
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise Refused("too_many_pixels") from error
    except Exception as error:  # decoders raise many kinds; each means the same to the sender
        if "Memory allocation" in str(error):  # libheif's own word for it: not shown
            raise MemoryError from error
        raise Refused("damaged") from error
    small.thumbnail((edge_px, edge_px), Image.Resampling.LANCZOS)
    picture = _to_srgb(small, profile)
    ImageOps.exif_transpose(picture, in_place=True)
    out = io.BytesIO()
    # a new image carries over neither EXIF (place, camera) nor comments nor profiles
    clean = Image.new("RGB", picture.size)
    clean.paste(picture)
    clean.save(out, "JPEG", quality=quality)
    return Copy(out.getvalue(), *clean.size)


def _small(file: IO[bytes], kind: str, edge_px: int) -> tuple[Image.Image, bytes | None]:
    """The picture at less than twice the wanted size, as it lies; and its color profile."""
    with _opened(file, kind, edge_px) as opened:
        opened.load()
        small = _shrunk(opened, edge_px)
        profile = opened.info.get("icc_profile")
        try:
            turned = opened.getexif().get(_ORIENTATION, 1)
        except Exception:  # damaged Exif hides no picture
            turned = 1
    small.getexif()[_ORIENTATION] = turned
    if kind == "image/png":
        profile = _png_profile(file)
    return small, profile if profile and len(profile) <= _PROFILE_LIMIT_BYTES else None


def _opened(file: IO[bytes], kind: str, edge_px: int) -> Image.Image:
    """The picture with its header read, once it is known that it may be decoded.

    `edge_px` 0 asks for the header alone. Raises Refused.
    """
    size = file.seek(0, io.SEEK_END)
    file.seek(0)
    source: IO[bytes] = file
    header: Jpeg | Raster | None = None
    if kind != "image/heic":
        header = header_of(file, kind)
        if header is None:
            raise Refused("first_part")
        _may_be(header.width, header.height)
        if needed_bytes(header, edge_px, size) > DECODING_BYTES:
            raise Refused("too_large_to_show")
        if kind == "image/png":
            source = cast(IO[bytes], Spliced(file, png_parts(file)))
    try:
        opened = Image.open(source, formats=[_FORMATS[kind]])
    except MemoryError:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise Refused("too_many_pixels") from error
    except Exception as error:
        raise Refused("first_part") from error
    _may_be(*opened.size)
    if header is None:
        pixels = opened.width * opened.height
        each = _HEIF_PIXEL_BYTES.get(opened.info.get("chroma", 0), _HEIF_OTHER_PIXEL_BYTES)
        if edge_px and pixels * each + _beside_bytes(*opened.size, edge_px, size) > DECODING_BYTES:
            raise Refused("too_large_to_show")
    elif isinstance(header, Jpeg):
        opened.draft("RGB", _fitted(header.width, header.height, edge_px))
    return opened


def header_of(file: IO[bytes], kind: str) -> Jpeg | Raster | None:
    """What the header of a JPEG, PNG or WebP says."""
    with mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
        if kind == "image/jpeg":
            return jpeg_header(data)
        return png_header(data) if kind == "image/png" else webp_header(data)


def _may_be(width: int, height: int) -> None:
    if width * height > MAX_PIXELS:
        raise Refused("too_many_pixels")


def needed_bytes(header: Jpeg | Raster, edge_px: int, file_bytes: int) -> int:
    """At most so much memory takes a copy of `edge_px`, above what the process has anyway."""
    width, height = header.width, header.height
    if isinstance(header, Raster):
        # and a pointer to each row, and two rows as they were packed, of 16 bits in four channels
        decoded = width * height * header.pixel_bytes + 8 * height + 2 * 8 * width
        return decoded + _beside_bytes(width, height, edge_px, file_bytes)
    wide, high = _fitted(width, height, edge_px)
    scale = next(
        (factor for factor in (8, 4, 2) if factor <= min(width // wide, height // high)), 1
    )
    coefficients = 0
    if header.in_several_scans:
        most_across = max(across for across, _ in header.sampling)
        most_down = max(down for _, down in header.sampling)
        blocks = -(-width // (8 * most_across)) * -(-height // (8 * most_down))
        # two bytes for each of a block's 64 coefficients (T.81, A.2 and F.1)
        coefficients = blocks * sum(across * down for across, down in header.sampling) * 64 * 2
    width, height = -(-width // scale), -(-height // scale)
    decoded = width * height * 4
    return decoded + coefficients + _beside_bytes(width, height, edge_px, file_bytes)


def _beside_bytes(width: int, height: int, edge_px: int, file_bytes: int) -> int:
    """The small picture twice, the file as libraries keep it, and what every picture takes."""
    factor = _factor(width, height, edge_px)
    small = -(-width // factor) * -(-height // factor)
    return 2 * small * 4 + 3 * file_bytes + _BESIDE_BYTES


def _factor(width: int, height: int, edge_px: int) -> int:
    return max(1, max(width, height) // max(edge_px, 1))


def _fitted(width: int, height: int, edge_px: int) -> tuple[int, int]:
    """The size within a square of `edge_px`; never 0."""
    longer = max(width, height, 1)
    if longer <= edge_px:
        return width, height
    return max(1, width * edge_px // longer), max(1, height * edge_px // longer)


def _shrunk(opened: Image.Image, edge_px: int) -> Image.Image:
    """A decoded picture in whole steps below twice `edge_px`, on white ground, piece by piece."""
    width, height = opened.size
    factor = _factor(width, height, edge_px)
    mode = "CMYK" if opened.mode == "CMYK" else "RGB"
    small = Image.new(mode, (-(-width // factor), -(-height // factor)))
    side = max(1, _PIECE_PX // factor) * factor
    for top in range(0, height, side):
        for left in range(0, width, side):
            piece = opened.crop((left, top, min(left + side, width), min(top + side, height)))
            piece = _plain(piece, mode)
            small.paste(
                piece.reduce(factor) if factor > 1 else piece, (left // factor, top // factor)
            )
    return small


def _plain(piece: Image.Image, mode: str) -> Image.Image:
    """A piece without transparency, palette or more than 8 bits."""
    if piece.mode.startswith("I"):
        piece = piece.point(lambda value: value / 256).convert("L")
    if piece.mode in ("LA", "La", "PA", "RGBA", "RGBa", "P"):
        piece = piece.convert("RGBA")
        piece = Image.alpha_composite(Image.new("RGBA", piece.size, "white"), piece)
    return piece if piece.mode == mode else piece.convert(mode)


def _to_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    turned = picture.getexif().get(_ORIENTATION, 1)
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
            if converted is not None:
                picture = converted
        except (ImageCms.PyCMSError, OSError):
            pass  # a profile that cannot be used is left out, the picture stays
    picture = picture if picture.mode == "RGB" else picture.convert("RGB")
    picture.getexif()[_ORIENTATION] = turned
    return picture


# ---- PNG chunks -----------------------------------------------------------------------------

_PNG_NEEDED = {b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"}


def _chunks(file: IO[bytes]) -> Iterator[tuple[bytes, int, int]]:
    """A PNG's chunks as (name, where it begins, length of its data)."""
    at = 8
    for _ in range(_MOST_CHUNKS):
        file.seek(at)
        head = file.read(8)
        if len(head) < 8:
            return
        length, name = int.from_bytes(head[:4], "big"), head[4:]
        yield name, at, length
        if name == b"IEND":
            return
        at += 12 + length


def png_parts(file: IO[bytes]) -> list[tuple[int, int]]:
    """The parts of a PNG that its pixels need, as (start, end): no texts, frames or profiles.

    A text of a few bytes may unpack to a gigabyte; Exif is kept when it is short.
    """
    parts = [(0, 8)]
    for name, start, length in _chunks(file):
        if name in _PNG_NEEDED or (name == b"eXIf" and length <= _METADATA_LIMIT_BYTES):
            end = start + 12 + length
            if parts[-1][1] == start:
                parts[-1] = (parts[-1][0], end)
            else:
                parts.append((start, end))
    return parts


def _png_profile(file: IO[bytes]) -> bytes | None:
    """A PNG's color profile (ISO/IEC 15948, 11.3.2.3), when it is no larger than one may be."""
    for name, start, length in _chunks(file):
        if name == b"iCCP" and length <= _PROFILE_LIMIT_BYTES:
            file.seek(start + 8)
            packed = file.read(length).partition(b"\0")[2][1:]
            try:
                return zlib.decompressobj().decompress(packed, _PROFILE_LIMIT_BYTES + 1)
            except zlib.error:
                return None
        if name == b"IDAT":
            return None
    return None


class Spliced(io.RawIOBase):
    """Parts of a file, read as if they were all of it."""

    def __init__(self, file: IO[bytes], parts: list[tuple[int, int]]) -> None:
        self._file = file
        self._starts = [start for start, _ in parts]
        #: where each part begins in the whole, and at last its size
        self._places = [0, *itertools.accumulate(end - start for start, end in parts)]
        self._at = 0

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def tell(self) -> int:
        return self._at

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        base = {io.SEEK_SET: 0, io.SEEK_CUR: self._at, io.SEEK_END: self._places[-1]}[whence]
        self._at = max(0, base + offset)
        return self._at

    def read(self, size: int | None = -1) -> bytes:
        left = self._places[-1] - self._at
        wanted = left if size is None or size < 0 else min(size, left)
        read = []
        while wanted > 0:
            part = bisect.bisect_right(self._places, self._at) - 1
            self._file.seek(self._starts[part] + self._at - self._places[part])
            piece = self._file.read(min(wanted, self._places[part + 1] - self._at))
            if not piece:
                break
            read.append(piece)
            self._at += len(piece)
            wanted -= len(piece)
        return b"".join(read)
