"""Photos at the size in which they are printed, kept so that each is reduced once.

A photo that is wider than its place on the paper needs is decoded and reduced, which takes ten
times as long as laying its page out; the next edition of the report finds it here.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from bradawl.imaging import Copy
from bradawl.imaging.decoder import DECODER, on_disk

__all__ = ["PRINT_DPI", "PrintCopies", "print_copy"]

#: Dots an inch: what a printed photo shows at reading distance.
PRINT_DPI = 220
QUALITY = 82
_DIGEST = hashlib.sha256().digest_size


def print_copy(data: bytes, edge_px: int) -> Copy:
    """A JPEG of at most `edge_px` on the longer side. Raises PictureError."""
    with on_disk(data) as file:
        return DECODER.copy(file, edge_px, QUALITY)


class PrintCopies:
    """Copies in a folder of their own, by the digest of what they were made from and their size.

    Nothing here is needed: a copy that is damaged, gone or cannot be written is made again.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, data: bytes, edge_px: int) -> bytes:
        """The copy of these bytes. Raises PictureError."""
        name = f"{hashlib.sha256(data).hexdigest()}-{edge_px}.jpg"
        kept = self._kept(self._folder / name)
        if kept is None:
            kept = print_copy(data, edge_px).data
            self._keep(name, kept)
        return kept

    def clear(self) -> None:
        """Delete all of them: a photo was erased, and nobody looks for which."""
        shutil.rmtree(self._folder, ignore_errors=True)

    def _kept(self, path: Path) -> bytes | None:
        try:
            held = path.read_bytes()
        except OSError:
            return None
        body, digest = held[:-_DIGEST], held[-_DIGEST:]
        return body if hashlib.sha256(body).digest() == digest else None

    def _keep(self, name: str, body: bytes) -> None:
        with suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            with tempfile.NamedTemporaryFile(dir=self._folder, delete=False) as file:
                file.write(body + hashlib.sha256(body).digest())
            os.replace(file.name, self._folder / name)
