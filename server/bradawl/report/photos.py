"""Photos on their way into the report: checked, never decoded when they are fit to print.

A photo's bytes pass through memory one at a time. While pages are laid out they wait in a file,
and the pages only keep slots; then they are appended to the laid-out file in place of the slots.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
from collections.abc import Callable, Mapping
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
    """A photo on the shelf: where its bytes lie in the file, its size in pixels, their digest."""

    offset: int
    length: int
    width: int
    height: int
    channels: int
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
    """The photos of one report, written to a file as they come.

    `photo` is the dossier's way to a photo's served bytes. A photo that is missing or broken is
    in `gaps` with the clause that says why.
    """

    def __init__(self, file: IO[bytes], photo: Callable[[str], bytes | None]) -> None:
        self._file = file
        self._photo = photo
        self._placed: dict[str, Placed] = {}
        self.gaps: dict[str, str] = {}

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
        placed = Placed(
            offset=self._file.tell(),
            length=len(body),
            width=width,
            height=height,
            channels=channels,
            printed_sha256=hashlib.sha256(body).hexdigest(),
        )
        self._file.write(body)
        self._placed[sha256] = placed
        return placed

    def fill(self, pages: IO[bytes], slots: Mapping[str, int]) -> None:
        """Put the photos into laid-out pages, in place of the objects that kept their room.

        `pages` is a PDF that ends in a classic cross-reference table; `slots` gives the object
        number that each photo takes. Written as an incremental update, one photo at a time.
        """
        if not slots:
            return
        end = pages.seek(0, os.SEEK_END)
        pages.seek(max(0, end - 4096))
        found = re.search(rb"trailer\s*<<(.*)>>\s*startxref\s*(\d+)\s*%%EOF", pages.read(), re.S)
        if found is None:
            raise ValueError("The laid-out pages do not end as a PDF does.")
        entries, previous = found.group(1).strip(), int(found.group(2))
        pages.seek(end)
        rows = []
        for sha256, number in sorted(slots.items(), key=lambda slot: slot[1]):
            one = self._placed[sha256]
            rows.append(b"%d 1\n%010d 00000 n \n" % (number, pages.tell()))
            pages.write(
                b"%d 0 obj\n<</Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8"
                b"/ColorSpace/%s/Filter/DCTDecode/Length %d>>\nstream\n"
                % (
                    number,
                    one.width,
                    one.height,
                    b"DeviceRGB" if one.channels == 3 else b"DeviceGray",
                    one.length,
                )
            )
            self._file.seek(one.offset)
            pages.write(self._file.read(one.length))
            pages.write(b"\nendstream\nendobj\n")
        table = pages.tell()
        pages.write(b"xref\n" + b"".join(rows))
        pages.write(
            b"trailer\n<<%s/Prev %d>>\nstartxref\n%d\n%%%%EOF\n" % (entries, previous, table)
        )
        pages.flush()
