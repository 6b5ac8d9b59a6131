"""Where photos lie: a folder, or any S3-compatible store. Named by SHA-256, never changed.

Every photo may have two files: the `original` as it came, kept as evidence and not served, and
the `served` copy. A name exists only when its bytes are whole and durable.
"""

from __future__ import annotations

import functools
import os
import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, Literal, Protocol
from urllib.parse import urlsplit

from bradawl.common.disk_errors import sync_folder
from bradawl.common.private_folder import make_own_folder, remove_leftovers
from bradawl.language import message

Kind = Literal["original", "served"]
KINDS: tuple[Kind, ...] = ("original", "served")
STALE_SECONDS = 3_600
AT_ONCE = 8  # questions to a store behind a network


class PhotoStore(Protocol):
    """What the log needs of a store of photos. OSError where the store cannot be used."""

    @property
    def incoming(self) -> Path:
        """A folder on this machine for files that are still arriving."""

    def keep(self, sha256: str, kind: Kind, file: IO[bytes]) -> None:
        """Move a whole file into the store: its bytes are durable when this returns."""

    def settle(self, hashes: Sequence[str]) -> None:
        """Make the names of originals durable that were kept."""

    def read(self, sha256: str, kind: Kind) -> bytes | None:
        """The bytes, or None when there are none under that name."""

    def opened(self, sha256: str, kind: Kind) -> IO[bytes] | None:
        """The same as a file on this machine's disk, to be closed, or None."""

    def size_bytes(self, sha256: str, kind: Kind) -> int | None:
        """How many bytes it has under that name, None for none."""

    def sizes_bytes(self, hashes: Sequence[str]) -> dict[str, int]:
        """Of many originals at once: the size of each that is there."""

    def remove(self, sha256: str) -> None:
        """Delete both files of a photo, and what is left of its arrivals; durable when it returns.

        What is not there is no error.
        """

    def names(self, kind: Kind) -> Iterator[str]:
        """Every SHA-256 that the store holds, in any order."""

    def make_ready(self) -> None:
        """Make its folders, where somebody removed them."""


def open_photo_store(place: str | Path, arriving: Path | None = None) -> PhotoStore:
    """A store at a folder, or at `s3://bucket/prefix`; stale arrivals are swept.

    With a bucket, what is arriving waits in a folder of this process below `arriving`; without
    that, below the system's temporary folder.
    """
    if str(place).startswith("s3://"):
        parts = urlsplit(str(place))
        if arriving is not None:
            with suppress(OSError):  # a folder that may only be read; uploads will say so
                remove_leftovers(arriving)
        return S3PhotoStore(parts.netloc, parts.path.strip("/"), arriving)
    store = FolderPhotoStore(Path(place))
    sweep(store.incoming)
    return store


def sweep(incoming: Path, older_than_s: float = STALE_SECONDS) -> int:
    """Remove what was left behind by uploads that were cut off; how many files went."""
    limit = time.time() - older_than_s
    gone = 0
    for path in incoming.iterdir():
        try:
            if path.stat().st_mtime <= limit:
                path.unlink()
                gone += 1
        except OSError:
            # another process was quicker, the upload has just ended, or the disk may only be read
            continue
    return gone


class FolderPhotoStore:
    """Photos below a folder: `original/ab/abcd…`, `served/ab/abcd….jpg`, `incoming/`."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.incoming = root / "incoming"
        if not self.incoming.is_dir():
            self.make_ready()

    def make_ready(self) -> None:
        # all folders at once: one made later would have to be made durable for its first photo
        for folder in (self.root / "original", self.root / "served"):
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for number in range(256):
                (folder / f"{number:02x}").mkdir(exist_ok=True, mode=0o700)
            sync_folder(folder)
        self.incoming.mkdir(exist_ok=True, mode=0o700)
        sync_folder(self.root)

    def path_of(self, sha256: str, kind: Kind) -> Path:
        suffix = ".jpg" if kind == "served" else ""
        return self.root / kind / sha256[:2] / f"{sha256}{suffix}"

    def keep(self, sha256: str, kind: Kind, file: IO[bytes]) -> None:
        os.fchmod(file.fileno(), 0o600)  # whoever wrote it, under whatever umask
        os.fsync(file.fileno())
        place = self.path_of(sha256, kind)
        try:
            os.replace(file.name, place)
        except FileNotFoundError:
            self.make_ready()  # somebody removed the folder
            os.replace(file.name, place)

    def settle(self, hashes: Sequence[str]) -> None:
        for folder in {self.path_of(sha256, "original").parent for sha256 in hashes}:
            sync_folder(folder)

    def read(self, sha256: str, kind: Kind) -> bytes | None:
        try:
            return self.path_of(sha256, kind).read_bytes()
        except FileNotFoundError:
            return None

    def opened(self, sha256: str, kind: Kind) -> IO[bytes] | None:
        try:
            return open(self.path_of(sha256, kind), "rb")
        except FileNotFoundError:
            return None

    def size_bytes(self, sha256: str, kind: Kind) -> int | None:
        try:
            return self.path_of(sha256, kind).stat().st_size
        except FileNotFoundError:
            return None

    def sizes_bytes(self, hashes: Sequence[str]) -> dict[str, int]:
        sizes = ((sha256, self.size_bytes(sha256, "original")) for sha256 in hashes)
        return {sha256: size for sha256, size in sizes if size is not None}

    def remove(self, sha256: str) -> None:
        for path in self.incoming.glob(f"{sha256}.*"):
            path.unlink(missing_ok=True)
        for kind in KINDS:
            path = self.path_of(sha256, kind)
            if path.exists():
                path.unlink(missing_ok=True)
                sync_folder(path.parent)

    def names(self, kind: Kind) -> Iterator[str]:
        folder = self.root / kind
        if folder.is_dir():
            for path in folder.glob("??/*"):
                yield path.name.partition(".")[0]


class S3PhotoStore:
    """Photos in a bucket: `prefix/original/abcd…` and `prefix/served/abcd…`.

    Credentials, region and endpoint come from boto3's own environment variables
    (`AWS_ENDPOINT_URL_S3` for a store that is not Amazon's). A put is durable when it returns.
    """

    def __init__(self, bucket: str, prefix: str, arriving: Path | None = None) -> None:
        import boto3

        self.bucket = bucket
        self.prefix = f"{prefix}/" if prefix else ""
        self._arriving = arriving
        self._client: Any = boto3.client("s3")

    @functools.cached_property
    def incoming(self) -> Path:
        """Made when something arrives: whoever only reads leaves no folder."""
        return make_own_folder(self._arriving)

    def _key(self, sha256: str, kind: Kind) -> str:
        return f"{self.prefix}{kind}/{sha256}"

    def keep(self, sha256: str, kind: Kind, file: IO[bytes]) -> None:
        path = Path(file.name)
        self._ask(
            "put_object", Key=self._key(sha256, kind), Body=path.read_bytes(), ContentType="image/*"
        )
        path.unlink()

    def settle(self, hashes: Sequence[str]) -> None:
        pass  # a put is durable with its name

    def read(self, sha256: str, kind: Kind) -> bytes | None:
        answer = self._ask("get_object", Key=self._key(sha256, kind))
        return None if answer is None else bytes(answer["Body"].read())

    def opened(self, sha256: str, kind: Kind) -> IO[bytes] | None:
        answer = self._ask("get_object", Key=self._key(sha256, kind))
        if answer is None:
            return None
        file = tempfile.TemporaryFile()  # noqa: SIM115 - nameless; closed by the caller
        shutil.copyfileobj(answer["Body"], file)
        file.seek(0)  # flushed, and read from its beginning
        return file

    def size_bytes(self, sha256: str, kind: Kind) -> int | None:
        answer = self._ask("head_object", Key=self._key(sha256, kind))
        return None if answer is None else int(answer["ContentLength"])

    def sizes_bytes(self, hashes: Sequence[str]) -> dict[str, int]:
        # each is a request of its own, and they wait for the network, not for one another
        with ThreadPoolExecutor(min(AT_ONCE, max(1, len(hashes)))) as pool:
            sizes = pool.map(lambda sha256: self.size_bytes(sha256, "original"), hashes)
            return {
                sha256: size for sha256, size in zip(hashes, sizes, strict=True) if size is not None
            }

    def remove(self, sha256: str) -> None:
        for path in self.incoming.glob(f"{sha256}.*"):
            path.unlink(missing_ok=True)
        for kind in KINDS:
            self._ask("delete_object", Key=self._key(sha256, kind))

    def make_ready(self) -> None:
        self.incoming.mkdir(parents=True, exist_ok=True)

    def names(self, kind: Kind) -> Iterator[str]:
        pages = self._client.get_paginator("list_objects_v2")
        for page in pages.paginate(Bucket=self.bucket, Prefix=f"{self.prefix}{kind}/"):
            for entry in page.get("Contents", ()):
                yield entry["Key"].rpartition("/")[2]

    def _ask(self, operation: str, **arguments: Any) -> Any:
        from botocore.exceptions import BotoCoreError, ClientError

        try:
            return getattr(self._client, operation)(Bucket=self.bucket, **arguments)
        except ClientError as error:
            if error.response.get("Error", {}).get("Code") in ("NoSuchKey", "404"):
                return None
            raise OSError(
                message("server-store-refused", what=operation, why=str(error))
            ) from error
        except BotoCoreError as error:
            raise OSError(message("server-store-unreached", why=str(error))) from error
