"""A photo or recording on its way in: counted and hashed, refused when it is too large."""

from __future__ import annotations

import hashlib
import mmap
import os
import secrets
import sys
from io import FileIO
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from bradawl.common.errors import ApiError
from bradawl.language import message
from bradawl.log.format.events import is_hash
from bradawl.log.photos.recordings import RECORDING_TYPES, recording_type
from bradawl.log.photos.storage import PhotoStore

if TYPE_CHECKING:
    from bradawl.log.photos.images import Facts


MAX_PHOTO_BYTES = 25_000_000
MAX_RECORDING_BYTES = 60_000_000


def check_name(sha256: str) -> None:
    """Raises ApiError "photos" when the text is no SHA-256 in lower-case hex."""
    if not is_hash(sha256):
        raise ApiError("photos", message("server-photo-name"), 422)


class Arrival:
    """A photo on its way in: bytes go to a temporary file, counted and hashed.

    Used as a context manager, or closed; what was not kept is removed at the end.
    """

    def __init__(self, incoming: Path, sha256: str, declared: str = "") -> None:
        self.sha256 = sha256
        self.declared = declared
        self.max_bytes = MAX_RECORDING_BYTES if declared in RECORDING_TYPES else MAX_PHOTO_BYTES
        self.path = incoming / f"{sha256}.{secrets.token_hex(4)}.part"
        self.count = 0
        self._digest = hashlib.sha256()
        self._only: bytes | None = None
        self._kept = False
        self._file = open(self.path, "x+b", buffering=0)  # noqa: SIM115

    def __enter__(self) -> Arrival:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Remove what was not kept."""
        self._file.close()
        if not self._kept:
            self.path.unlink(missing_ok=True)

    def add(self, part: bytes) -> None:
        """Take the next bytes. Raises ApiError "too_large" or OSError."""
        self._only = None if self.count else part
        self.count += len(part)
        if self.count > self.max_bytes:
            raise too_large(self.max_bytes)
        write_all(self._file, part)
        if sys.platform == "linux":
            # begins to write to the disk at once, which the fsync to come need not wait for
            os.posix_fadvise(self._file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        self._digest.update(part)

    def facts(self) -> Facts:
        """What has arrived, now that it is whole.

        Raises ApiError "hash" when it is not what its name says, "not_a_recording", and those of
        `pictures.inspect`.
        """
        from bradawl.log.photos import images

        if self._digest.hexdigest() != self.sha256:
            raise ApiError(
                "hash",
                message("server-photo-changed"),
                422,
            )
        if self.declared in RECORDING_TYPES:
            return images.Facts(self._recording(), 0, 0)
        if self._only is not None:  # in memory still
            return images.inspect(self._only)
        with mmap.mmap(self._file.fileno(), 0, access=mmap.ACCESS_READ) as data:
            return images.inspect(data)

    def _recording(self) -> str:
        kind = recording_type(os.pread(self._file.fileno(), 16, 0), self.declared)
        if kind is None:
            raise ApiError(
                "not_a_recording",
                message("server-recording-kind", kind=self.declared),
                422,
            )
        return kind

    def keep(self, store: PhotoStore) -> None:
        """Move the file into a store. Raises OSError."""
        store.keep(self.sha256, "original", self._file)
        self._kept = True


def write_all(file: FileIO, data: bytes) -> None:
    """Write to a file without a buffer, which may take less at once. Raises OSError."""
    rest = memoryview(data)
    while rest:
        rest = rest[file.write(rest) :]


def too_large(max_bytes: int) -> ApiError:
    """The refusal of a photo or recording with too many bytes."""
    what = "recording" if max_bytes == MAX_RECORDING_BYTES else "photo"
    megabytes = max_bytes // 1_000_000
    return ApiError(
        "too_large",
        message(f"server-{what}-large", megabytes=megabytes),
        413,
        max_bytes=max_bytes,
    )
