"""What a photo may be, and the copy of it that is served.

Imported when the first photo is handled: Pillow and the HEIF reader are slow to load.
"""

from __future__ import annotations

import io
import mmap
import warnings
from typing import IO, NamedTuple, cast

import pi_heif
from PIL import Image, ImageCms, ImageOps

from bradawl.errors import ApiError

MAX_PIXELS = 50_000_000
SERVED_PX = 1600  # the longer side of a served copy
SERVED_QUALITY = 85

# Set for the process, not around calls: warnings.catch_warnings is not safe among threads.
Image.MAX_IMAGE_PIXELS = MAX_PIXELS
warnings.simplefilter("error", Image.DecompressionBombWarning)
pi_heif.register_heif_opener()

_FORMATS = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP", "image/heic": "HEIF"}
_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1"}
_ORIENTATION = 0x0112
_TURNED = {5, 6, 7, 8}


class Facts(NamedTuple):
    """What a photo's header says; pixels, of the upright picture where a JPEG is turned."""

    type: str
    width: int
    height: int


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


def inspect(data: bytes | mmap.mmap) -> Facts:
    """What a whole file holds. Raises ApiError "not_an_image" or "too_many_pixels".

    Of a mapped file only the first and last pages are read.
    """
    kind = kind_of(data[:16])
    if kind is None:
        raise not_an_image("It is neither JPEG, PNG, WebP nor HEIC.")
    _check_end(data, kind)
    try:
        file = io.BytesIO(data) if isinstance(data, bytes) else cast(IO[bytes], data)
        with Image.open(file, formats=[_FORMATS[kind]]) as image:
            width, height = image.size
            # a PNG's EXIF may follow its pixels, and reading it would decode them all
            turned = kind == "image/jpeg" and image.getexif().get(_ORIENTATION) in _TURNED
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise _too_many_pixels() from error
    except Exception as error:  # decoders raise many kinds; each means the same to the sender
        raise not_an_image("Its first part is damaged.") from error
    if width * height > MAX_PIXELS:
        raise _too_many_pixels()
    if turned:
        width, height = height, width
    return Facts(kind, width, height)


def _check_end(data: bytes | mmap.mmap, kind: str) -> None:
    """A file that was cut off lacks what its format ends with; cheaper than decoding it all."""
    if kind == "image/jpeg":
        # behind the header: that may hold a small picture with an end of its own
        whole = data.rfind(b"\xff\xd9") > _start_of_scan(data)
    elif kind == "image/png":
        whole = b"IEND" in data[-65_536:]
    elif kind == "image/webp":
        whole = int.from_bytes(data[4:8], "little") + 8 <= len(data)
    else:
        whole = True  # the boxes of HEIC say their lengths, and its reader checks them
    if not whole:
        raise not_an_image("Its end is missing: it was cut off.")


def _start_of_scan(jpeg: bytes | mmap.mmap) -> int:
    """Where a JPEG's own picture data begin (ITU-T T.81, B.1.1: markers and segment lengths)."""
    place = 2
    while jpeg[place : place + 1] == b"\xff" and jpeg[place + 1 : place + 2] != b"\xda":
        length = int.from_bytes(jpeg[place + 2 : place + 4], "big")
        if length < 2:
            break
        place += 2 + length
    return min(place, len(jpeg))


def not_an_image(why: str) -> ApiError:
    """The refusal of a file that cannot be a photo."""
    return ApiError(
        "not_an_image",
        f"This file is not a photo that can be read. {why} Take the photo again; the note beside "
        "it is safe.",
        422,
    )


def _too_many_pixels() -> ApiError:
    return ApiError(
        "too_many_pixels",
        f"This photo has more than {MAX_PIXELS // 1_000_000} million pixels. Send it smaller.",
        422,
        max_pixels=MAX_PIXELS,
    )


def served_copy(original: bytes) -> bytes:
    """A JPEG of at most 1600 px on the longer side: upright, sRGB, free of metadata.

    Raises ApiError "not_an_image" when the pixels cannot be decoded.
    """
    kind = kind_of(original[:16])
    if kind is None:
        raise not_an_image("It is neither JPEG, PNG, WebP nor HEIC.")
    try:
        with Image.open(io.BytesIO(original), formats=[_FORMATS[kind]]) as opened:
            if opened.width * opened.height > MAX_PIXELS:
                raise _too_many_pixels()
            opened.draft("RGB", (SERVED_PX, SERVED_PX))  # JPEG: decode at a fraction of the size
            opened.load()
            picture = ImageOps.exif_transpose(opened)
            picture = _to_srgb(picture)
            picture.thumbnail((SERVED_PX, SERVED_PX), Image.Resampling.LANCZOS)
            out = io.BytesIO()
            # a new image carries over neither EXIF (place, camera) nor comments nor profiles
            clean = Image.new("RGB", picture.size)
            clean.paste(picture)
            clean.save(out, "JPEG", quality=SERVED_QUALITY)
            return out.getvalue()
    except ApiError:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise _too_many_pixels() from error
    except Exception as error:  # decoders raise many kinds; each means the same to the sender
        raise not_an_image("Its picture data are damaged.") from error


def _to_srgb(picture: Image.Image) -> Image.Image:
    profile = picture.info.get("icc_profile")
    if "A" in picture.getbands() or picture.mode == "P":
        picture = picture.convert("RGBA")
        ground = Image.new("RGBA", picture.size, "white")
        picture = Image.alpha_composite(ground, picture).convert("RGB")
    if profile and picture.mode in ("RGB", "CMYK"):
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
            if converted is not None:
                return converted
        except (ImageCms.PyCMSError, OSError):
            pass  # a profile that cannot be used is left out, the picture stays
    if picture.mode.startswith("I;16") or picture.mode == "I":
        picture = picture.point(lambda value: value / 256).convert("L")
    return picture.convert("RGB")
