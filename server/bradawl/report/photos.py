"""Photos on their way into the report: checked, never decoded when they are fit to print.

A photo's bytes pass through memory one at a time. They are written into a side PDF on disk, from
which the archive step copies them; the laid-out pages only hold slots.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import IO

#: Longer edges and larger files than these are reduced; the log's served copies never are.
EDGE_LIMIT = 2000
BYTES_LIMIT = 2_500_000
PIXELS_LIMIT = 50_000_000

_MARKERS_WITHOUT_LENGTH = {0x01, *range(0xD0, 0xD8)}
_FRAMES = {0xC0, 0xC1, 0xC2}  # baseline, extended, progressive: what PDF's DCTDecode takes
_METADATA = {0xE1, *range(0xE3, 0xEE), 0xEF, 0xFE}  # Exif and the like, comments; not ICC, Adobe


class PhotoError(ValueError):
    """A photo that cannot be printed; the message is a clause such as `it is not an image`."""


@dataclass(frozen=True)
class Placed:
    """A photo in the side PDF: its object number there, its size in pixels, its printed bytes."""

    number: int
    width: int
    height: int
    printed_sha256: str


@dataclass(frozen=True)
class _Frame:
    width: int
    height: int
    components: int
    clean: bool  # carries no metadata segment


def _frame(data: bytes) -> _Frame | None:
    """What a JPEG's headers say, or None when this is no JPEG that can be embedded as it is."""
    if data[:3] != b"\xff\xd8\xff" or data.rstrip(b"\0")[-2:] != b"\xff\xd9":
        return None
    at, clean, found = 2, True, None
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            return None
        marker = data[at + 1]
        if marker == 0xFF:  # fill byte
            at += 1
            continue
        if marker in _MARKERS_WITHOUT_LENGTH:
            at += 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == 0xDA:  # the picture itself begins
            return None if found is None else _Frame(*found, clean)
        if marker in _FRAMES:
            if length < 8 or at + 10 > len(data) or data[at + 4] != 8:
                return None
            height = int.from_bytes(data[at + 5 : at + 7], "big")
            width = int.from_bytes(data[at + 7 : at + 9], "big")
            if not width or not height:
                return None
            found = (width, height, data[at + 9])
        elif 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            return None
        elif marker in _METADATA:
            clean = False
        at += 2 + length
    return None


def fit_to_print(data: bytes) -> tuple[bytes, int, int, int]:
    """A JPEG's bytes, width, height and number of colour channels (1 or 3), fit to be embedded.

    A clean JPEG of a sensible size comes back byte for byte. Anything else is decoded once, turned
    upright, reduced and stripped of metadata. Raises PhotoError.
    """
    frame = _frame(data)
    if (
        frame is not None
        and frame.clean
        and frame.components in (1, 3)
        and max(frame.width, frame.height) <= EDGE_LIMIT
        and len(data) <= BYTES_LIMIT
    ):
        return data, frame.width, frame.height, frame.components
    return _reduced(data)


def _reduced(data: bytes) -> tuple[bytes, int, int, int]:
    import warnings

    from PIL import Image, ImageOps

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as opened:
                if opened.width * opened.height > PIXELS_LIMIT:
                    raise PhotoError("it has more pixels than a photo should")
                opened.draft("RGB", (EDGE_LIMIT, EDGE_LIMIT))
                upright = ImageOps.exif_transpose(opened) or opened
                image = upright.convert("RGB")
        image.thumbnail((EDGE_LIMIT, EDGE_LIMIT))
        out = io.BytesIO()
        image.save(out, "JPEG", quality=82, optimize=False)
    except PhotoError:
        raise
    except Exception as problem:  # Pillow raises many kinds for damaged files
        raise PhotoError("it is damaged or not an image") from problem
    return out.getvalue(), image.width, image.height, 3


class Shelf:
    """The side PDF that holds the photos of one report, written as they come.

    `photo` is the dossier's way to a photo's served bytes. A photo that is missing or broken is
    in `gaps` with the clause that says why.
    """

    def __init__(self, file: IO[bytes], photo: Callable[[str], bytes | None]) -> None:
        self._file = file
        self._photo = photo
        self._offsets: list[int] = []
        self._placed: dict[str, Placed] = {}
        self.gaps: dict[str, str] = {}
        self._at = 0
        self._write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")

    @property
    def placed(self) -> dict[str, Placed]:
        """Photos by the SHA-256 of the original, in the order in which they were put."""
        return dict(self._placed)

    def put(self, sha256: str) -> Placed | None:
        """Fetch, check and write one photo; None when it has to be a gap."""
        if sha256 in self._placed:
            return self._placed[sha256]
        if sha256 in self.gaps:
            return None
        try:
            data = self._photo(sha256)
            if data is None:
                raise PhotoError("it has not arrived from the phone")
            body, width, height, channels = fit_to_print(data)
        except PhotoError as problem:
            self.gaps[sha256] = str(problem)
            return None
        except OSError:
            self.gaps[sha256] = "its file could not be read"
            return None
        number = self._object(
            b"<</Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8"
            b"/ColorSpace/%s/Filter/DCTDecode/Length %d>>\nstream\n"
            % (width, height, b"DeviceRGB" if channels == 3 else b"DeviceGray", len(body)),
            body,
            b"\nendstream",
        )
        placed = Placed(number, width, height, hashlib.sha256(body).hexdigest())
        self._placed[sha256] = placed
        return placed

    def close(self) -> None:
        """Finish the side PDF; nothing can be put afterwards."""
        pages = self._object(b"<</Type/Pages/Kids[]/Count 0>>")
        root = self._object(b"<</Type/Catalog/Pages %d 0 R>>" % pages)
        table = self._at
        self._write(b"xref\n0 %d\n0000000000 65535 f \n" % (len(self._offsets) + 1))
        for offset in self._offsets:
            self._write(b"%010d 00000 n \n" % offset)
        self._write(
            b"trailer\n<</Size %d/Root %d 0 R>>\nstartxref\n%d\n%%%%EOF\n"
            % (len(self._offsets) + 1, root, table)
        )
        self._file.flush()

    def _object(self, *parts: bytes) -> int:
        self._offsets.append(self._at)
        number = len(self._offsets)
        self._write(b"%d 0 obj\n" % number)
        for part in parts:
            self._write(part)
        self._write(b"\nendobj\n")
        return number

    def _write(self, data: bytes) -> None:
        self._file.write(data)
        self._at += len(data)
