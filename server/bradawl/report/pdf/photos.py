"""Photos on their way into the report: checked, reduced to what their place on the paper shows.

A photo's bytes pass through memory one at a time, straight into the report's file, which begins
with its photos. The pages only keep slots for them until both are bound together (`assembly.py`).
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import IO

from bradawl.imaging.decoder import DECODER, on_disk
from bradawl.imaging.errors import PictureError
from bradawl.imaging.headers import Jpeg, jpeg_header
from bradawl.language import text
from bradawl.report.pdf.print_copies import PRINT_DPI, PrintCopies, print_copy

__all__ = ["EmbeddedPhoto", "EmbeddedPhotos"]

#: Longer edges and larger files than these are reduced wherever they are printed.
EDGE_LIMIT = 2000
BYTES_LIMIT = 2_500_000
QUALITY = 82

#: A photo up to this much wider than its place needs stays: reducing it would save little.
_SPARE = 1.25

#: Baseline, extended, progressive: what PDF's DCTDecode takes (ISO 32000-1, 7.4.8).
_FRAMES = {0xC0, 0xC1, 0xC2}

#: Room for a line end and a photo's object number, which is known last.
_NUMBER_ROOM = 11


class PhotoError(ValueError):
    """A photo that cannot be printed; the message is a clause such as `it is not an image`."""


@dataclass(frozen=True)
class EmbeddedPhoto:
    """A photo on the shelf: where its object lies in the file, and its size in pixels."""

    offset: int
    width: int
    height: int


#: A JPEG's bytes, its width and height in pixels, its color channels (1 or 3).
_Body = tuple[bytes, int, int, int]


def fit_to_print(data: bytes) -> _Body:
    """A JPEG's bytes, width, height and number of color channels (1 or 3), fit to be embedded.

    A clean JPEG of a sensible size comes back byte for byte. Anything else is decoded once, turned
    upright, reduced and stripped of metadata. Raises PhotoError.
    """
    frame = _frame(data)
    if (
        frame is not None
        and frame.clean
        and len(frame.sampling) in (1, 3)
        and max(frame.width, frame.height) <= EDGE_LIMIT
        and len(data) <= BYTES_LIMIT
    ):
        return data, frame.width, frame.height, len(frame.sampling)
    try:
        with on_disk(data) as file:
            copy = DECODER.copy(file, EDGE_LIMIT, QUALITY)
    except PictureError as problem:
        raise PhotoError(str(problem.clause)) from problem
    return copy.data, copy.width, copy.height, 3


def _frame(data: bytes) -> Jpeg | None:
    """What a JPEG's headers say, or None when this is no JPEG that can be embedded as it is."""
    if data[:3] != b"\xff\xd8\xff" or data.rstrip(b"\0")[-2:] != b"\xff\xd9":
        return None
    frame = jpeg_header(data)
    return frame if frame and frame.marker in _FRAMES and frame.precision == 8 else None


class EmbeddedPhotos:
    """The photos of one report, written into its file as they come, before its pages.

    `file` stands where the first photo belongs; `photo` is the snapshot's way to a photo's served
    bytes, `copies` keeps those that were reduced. A photo that is missing or broken is in `gaps`
    with the clause that says why.
    """

    def __init__(
        self,
        file: IO[bytes],
        photo: Callable[[str], bytes | None],
        copies: PrintCopies | None = None,
    ) -> None:
        self._file = file
        self._photo = photo
        self._copies = copies
        self._placed: dict[str, EmbeddedPhoto] = {}
        self._digests: dict[str, str] = {}
        self._syncer = ThreadPoolExecutor(1, thread_name_prefix="photo-sync")
        self._synced: Future[None] | None = None
        self.gaps: dict[str, str] = {}

    def __enter__(self) -> EmbeddedPhotos:
        return self

    def __exit__(self, *_: object) -> None:
        self._syncer.shutdown()

    @property
    def embedded(self) -> dict[str, EmbeddedPhoto]:
        """Photos by the SHA-256 of the original, in the order in which they were put."""
        return dict(self._placed)

    def embed(self, sha256: str, width: float, tallest: float) -> EmbeddedPhoto | None:
        """Fetch, check and write one photo for a place of this size in points.

        None when it has to be a gap. A photo that is there already stays as it is.
        """
        if sha256 in self._placed:
            return self._placed[sha256]
        if sha256 in self.gaps:
            return None
        try:
            data = self._photo(sha256)
            if data is None:
                raise PhotoError(text("report-photo-not-here"))
            body, across, down, channels = self._fit(fit_to_print(data), width, tallest)
        except PhotoError as problem:
            self.gaps[sha256] = str(problem)
            return None
        except PictureError as problem:  # kept as evidence, and not to be shown
            self.gaps[sha256] = str(problem.clause)
            return None
        except OSError:
            self.gaps[sha256] = text("report-photo-unreadable")
            return None
        embedded = EmbeddedPhoto(
            offset=self._file.tell(),
            width=across,
            height=down,
        )
        self._digests[sha256] = hashlib.sha256(body).hexdigest()
        space = b"DeviceRGB" if channels == 3 else b"DeviceGray"
        self._file.write(
            b"%*s 0 obj\n<< /BitsPerComponent 8 /ColorSpace /%s /Filter /DCTDecode /Height %d"
            b" /Subtype /Image /Type /XObject /Width %d /Length %d >>\nstream\n"
            % (_NUMBER_ROOM, b"", space, down, across, len(body))
        )
        self._file.write(body)
        self._file.write(b"\nendstream\nendobj\n")
        self._placed[sha256] = embedded
        return embedded

    def _fit(self, whole: _Body, width: float, tallest: float) -> _Body:
        """The photo as it is, or reduced where its place is much smaller."""
        body, across, down, _ = whole
        drawn = min(width, tallest * across / down)  # points across
        wanted = drawn / 72 * PRINT_DPI
        if across <= wanted * _SPARE:
            return whole
        edge = max(1, round(wanted * max(across, down) / across))
        if self._copies is not None:
            return fit_to_print(self._copies.get(body, edge))
        return fit_to_print(print_copy(body, edge).data)

    def sync(self) -> None:
        """Begin to bring the photos to the disk while the pages are laid out; all have been put."""
        self._file.flush()
        self._synced = self._syncer.submit(os.fsync, self._file.fileno())

    def digests(self) -> dict[str, str]:
        """The SHA-256 of each photo as it is printed, by the SHA-256 of its original.

        Raises OSError when the photos could not be brought to the disk.
        """
        if self._synced is not None:
            self._synced.result()
        return dict(sorted(self._digests.items()))

    def assign_numbers(self, numbers: Mapping[str, int]) -> dict[int, int]:
        """Give the photos their object numbers, once these are known; offsets by number.

        `numbers` is by SHA-256 of the original. The file stands where it stood.
        """
        end = self._file.tell()
        offsets = {}
        for sha256, number in numbers.items():
            written = b"\n%d" % number  # ISO 19005-3, 6.1.9: an object's number begins a line
            at = self._placed[sha256].offset
            self._file.seek(at)
            self._file.write(written.rjust(_NUMBER_ROOM))
            offsets[number] = at + _NUMBER_ROOM - len(written) + 1
        self._file.seek(end)
        return offsets
