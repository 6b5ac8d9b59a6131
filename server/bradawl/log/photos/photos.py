"""Photos and recordings: counted and hashed as they arrive, durable before they are known."""

from __future__ import annotations

import errno
import hashlib
import logging
import os
import secrets
import shutil
import time
from collections.abc import Callable, Collection, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from threading import Event, Lock
from typing import IO, TYPE_CHECKING

from sqlalchemy import Engine, delete, select

from bradawl.common.errors import ApiError
from bradawl.database.connection import reading, writing
from bradawl.language import message
from bradawl.log.format.events import is_hash
from bradawl.log.format.tables import PHOTOS
from bradawl.log.photos.arrival import Arrival, check_name, write_all
from bradawl.log.photos.recordings import RECORDING_TYPES
from bradawl.log.photos.rows import PhotoRows
from bradawl.log.photos.served_copies import ServedCopies
from bradawl.log.photos.storage import PhotoStore
from bradawl.log.sync import activity

if TYPE_CHECKING:
    from bradawl.imaging.errors import PictureError

logger = logging.getLogger(__name__)

RESERVE_BYTES = 64_000_000  # of the disk, for events alone
QUIET_S = 1.0  # without a new photo, before copies are made
MAX_ASKED = 1_000  # hashes in one question for missing photos
HASHED_BYTES = 1_048_576  # of a file at a time
REMEMBERED = 1_000  # photos that cannot be shown


class Photos:
    """The photos of one log: rows in `engine`, files in `store`.

    `erased` names those of some photos that were erased on request, and are not wanted back.
    """

    def __init__(
        self,
        engine: Engine,
        store: PhotoStore,
        clock: Callable[[], int],
        erased: Callable[[Collection[str]], Collection[str]] = lambda _hashes: (),
    ) -> None:
        self._engine = engine
        self._erased = erased
        self.store = store
        self._clock = clock
        self._rows = PhotoRows(engine, lambda hashes: self.store.settle(hashes))
        self._damaged: set[str] = set()
        self._served = ServedCopies(engine)
        # One at a time, and when no more photos come: a phone waits for the disk, not for a
        # decoder. A copy that is asked for sooner is made at once.
        self._copies = ThreadPoolExecutor(1, thread_name_prefix="served-copy")
        self._busy_until = 0.0
        self._hurry = Event()
        self._making = Lock()
        #: What nobody needs to try again in this run: decoding in vain takes as long as decoding.
        self._unshowable: dict[str, PictureError] = {}

    def has(self, sha256: str) -> bool:
        """Whether the original is held."""
        with reading(self._engine) as connection:
            row = connection.execute(
                select(PHOTOS.c.sha256).where(PHOTOS.c.sha256 == sha256)
            ).first()
        return row is not None

    def held(self, hashes: Collection[str]) -> set[str]:
        """Those of some photos of which there is a row or a file."""
        names = list(hashes)
        return set(self._acknowledged(names)) | set(self.store.sizes_bytes(names))

    def missing(self, hashes: Sequence[str]) -> list[str]:
        """Those of `hashes` that are not held, in the order asked. Raises ApiError "photos".

        A photo is held when it was acknowledged and its file is there in its full length; what
        `ask_again` has named is not. What was erased on request is not asked for.
        """
        noted = self._acknowledged(hashes)
        stored = self.store.sizes_bytes([sha256 for sha256 in noted if sha256 not in self._damaged])
        missing = [
            sha256 for sha256 in hashes if sha256 not in stored or stored[sha256] != noted[sha256]
        ]
        erased = self._erased(missing) if missing else ()
        return [sha256 for sha256 in missing if sha256 not in erased]

    def not_arrived(self, hashes: Sequence[str]) -> list[str]:
        """Those of `hashes` that were never acknowledged, in the order asked; for pages.

        What the disk lost since is found by `missing`, which looks at each file. Raises ApiError.
        """
        noted = self._acknowledged(hashes)
        return [sha256 for sha256 in hashes if sha256 not in noted]

    def _acknowledged(self, hashes: Sequence[str]) -> dict[str, int]:
        """The size in bytes of each of `hashes` that was acknowledged. Raises ApiError."""
        for sha256 in hashes:
            check_name(sha256)
        noted: dict[str, int] = {}
        with reading(self._engine) as connection:
            for start in range(0, len(hashes), MAX_ASKED):
                part = list(hashes[start : start + MAX_ASKED])
                rows = connection.execute(
                    select(PHOTOS.c.sha256, PHOTOS.c.bytes).where(PHOTOS.c.sha256.in_(part))
                )
                noted.update((row.sha256, row.bytes) for row in rows)
        return noted

    def ask_again(self, hashes: Collection[str]) -> None:
        """Take damaged photos for not held, until each has come once more or the server ends."""
        self._damaged = set(hashes)

    def arriving(self, sha256: str, declared: str = "") -> Arrival:
        """A place for the bytes of a photo or recording that is being sent as type `declared`.

        Raises OSError ENOSPC while there is still room for events: they are small, and nobody
        can take them again; ApiError "erased" for what was erased on request.
        """
        check_name(sha256)
        if self._erased([sha256]):
            raise ApiError(
                "erased",
                message("server-photo-erased"),
                410,
            )
        if not self.store.incoming.is_dir():
            self.store.make_ready()
        if shutil.disk_usage(self.store.incoming).free < RESERVE_BYTES:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return Arrival(self.store.incoming, sha256, declared)

    def keep(self, arrival: Arrival, device: str) -> bool:
        """Check what has arrived and keep it; False when it was held already.

        When this returns, the original and its row are on the disk. Raises ApiError.
        """
        facts = arrival.facts()
        arrival.keep(self.store)
        self._unshowable.pop(arrival.sha256, None)  # its file may have been damaged
        row = {
            "sha256": arrival.sha256,
            "type": facts.type,
            "bytes": arrival.count,
            "width": facts.width,
            "height": facts.height,
            "device": device,
            "received_ms": self._clock(),
        }
        new = self._rows.add(row)
        activity.blob_kept(arrival.sha256, facts.type, arrival.count, new=new)
        self._damaged.discard(arrival.sha256)
        if not new:
            return False
        if facts.type in RECORDING_TYPES:
            return True
        self._busy_until = time.monotonic() + QUIET_S
        self._copies.submit(self._make_copy_when_quiet, arrival.sha256)
        return True

    def recording(self, sha256: str) -> tuple[str, bytes] | None:
        """A recording's media type and bytes; None for a photo and for what is not held."""
        with reading(self._engine) as connection:
            kind = connection.execute(
                select(PHOTOS.c.type).where(PHOTOS.c.sha256 == sha256)
            ).scalar()
        data = self.original(sha256) if kind in RECORDING_TYPES else None
        return None if data is None else (str(kind), data)

    def erase(self, sha256: str) -> None:
        """Delete a photo for good: row, original, served copy. Raises OSError."""
        with self._making:  # a copy that is being made now would stay behind
            with writing(self._engine) as connection:
                connection.execute(delete(PHOTOS).where(PHOTOS.c.sha256 == sha256))
            self.store.remove(sha256)
            self._unshowable.pop(sha256, None)

    def disown(self, sha256: str) -> None:
        """Forget that a photo is held; its file stays until a whole one replaces it."""
        with writing(self._engine) as connection:
            connection.execute(delete(PHOTOS).where(PHOTOS.c.sha256 == sha256))

    def original(self, sha256: str) -> bytes | None:
        """The photo as it came, or None: also where its file holds something else by now."""
        if not is_hash(sha256) or not self.has(sha256):
            return None
        data = self.store.read(sha256, "original")
        if data is not None and hashlib.sha256(data).hexdigest() != sha256:
            logger.error("Photo %s was changed after it was taken in", sha256)
            return None
        return data

    def served(self, sha256: str) -> bytes | None:
        """The copy to show, made now when it is not there yet; None when the photo is not held.

        Raises PictureError when the photo's pixels cannot be decoded, or not in the memory that
        is set aside for it.
        """
        return (self._copy(sha256) or self._make_copy(sha256)) if is_hash(sha256) else None

    def copy_is_another(self, sha256: str) -> bool:
        """Whether there is a copy to show that is not the one that was made of the photo.

        One that was never noted is made again before anybody sees it, and is no fault: its note
        may have found no room, or lies behind a restore.
        """
        copy = self.store.read(sha256, "served")
        return copy is not None and self._served.is_another(sha256, copy)

    def remake(self, sha256: str) -> bool:
        """Make the copy to show once more; False when the photo itself is not whole.

        Raises PictureError.
        """
        self._served.forget(sha256)
        return self._make_copy(sha256) is not None

    def _copy(self, sha256: str) -> bytes | None:
        """The copy that was made of a photo; None when there is none, or another."""
        copy = self.store.read(sha256, "served")
        return copy if copy is not None and self._served.is_the_one(sha256, copy) else None

    def finish(self) -> None:
        """Make every served copy that is still to be made, now."""
        self._hurry.set()
        self._copies.submit(self._hurry.clear).result()

    def close(self) -> None:
        """Give up copies not yet begun; they are made when first asked for."""
        self._hurry.set()
        self._copies.shutdown(wait=True, cancel_futures=True)

    def _make_copy(self, sha256: str) -> bytes | None:
        with self._making:
            # whoever asked for the same photo at the same moment may have made it
            return self._copy(sha256) or self._make_new_copy(sha256)

    def _make_new_copy(self, sha256: str) -> bytes | None:
        from bradawl.log.photos import images

        if not self.has(sha256):
            return None
        if sha256 in self._unshowable:
            raise self._unshowable[sha256].with_traceback(None)
        original = self.store.opened(sha256, "original")
        if original is None:
            return None
        try:
            with original:
                if _digest_of(original) != sha256:
                    logger.error("Photo %s was changed after it was taken in", sha256)
                    return None
                original.seek(0)
                copy = images.served_copy(original)
        except images.PictureError as error:
            if len(self._unshowable) >= REMEMBERED:
                self._unshowable.pop(next(iter(self._unshowable)))
            self._unshowable[sha256] = error
            raise
        path = self.store.incoming / f"{sha256}.{secrets.token_hex(4)}.served"
        try:
            with path.open("xb", buffering=0) as file:
                write_all(file, copy)
                self.store.keep(sha256, "served", file)
        except OSError:
            # it can be shown without being kept: a full disk must not hide a photo
            logger.warning("The served copy of a photo could not be stored.", exc_info=True)
            with suppress(OSError):
                path.unlink(missing_ok=True)
        else:
            self._served.note(sha256, copy)
        return copy

    def _make_copy_when_quiet(self, sha256: str) -> None:
        while (wait := self._busy_until - time.monotonic()) > 0 and not self._hurry.wait(wait):
            pass
        try:
            self._make_copy(sha256)
        except ApiError:
            logger.warning("Photo %s is held but cannot be decoded.", sha256)
        except Exception:
            logger.exception("The served copy of photo %s could not be made.", sha256)


def _digest_of(file: IO[bytes]) -> str:
    digest = hashlib.sha256()
    while piece := file.read(HASHED_BYTES):
        digest.update(piece)
    return digest.hexdigest()
