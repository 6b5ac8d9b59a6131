"""A data folder and a phone, as the tests of backup and restore use them."""

from __future__ import annotations

import hashlib
import io
import tarfile
from pathlib import Path
from typing import Any

from PIL import Image

from bradawl.access.web.auth import Access
from bradawl.backup.create import Contents, write_backup
from bradawl.backup.parts import Store
from bradawl.backup.restore import Restored, restore
from bradawl.common.errors import ApiError
from bradawl.database.connection import open_engine
from bradawl.log.event_log import Log
from bradawl.log.photos.storage import FolderPhotoStore
from bradawl.serving.backups.records import ServerRecords
from tests.fresh import migrated
from tests.log.server import MS
from tests.log.writer import Writer
from tests.writing import key_of, plain

KEYS = {key.device: key for key in map(key_of, ("first", "second"))}
PHONE, OTHER = KEYS
VISIT = "a1" * 16


class Data:
    """A data folder as the settings lay it out, and a server over it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.database = folder / "bradawl.sqlite3"
        self.ledger = folder / "reports.jsonl"
        self.photos = FolderPhotoStore(folder / "photos")
        self._log: Log | None = None

    @property
    def store(self) -> Store:
        return Store(self.database, self.folder, self.photos, ServerRecords())

    def start(self) -> Log:
        engine = open_engine(f"sqlite:///{self.database}")
        migrated(engine)
        self.access = Access(engine)
        self._log = Log(engine, self.photos, on_pull=self.access.missing.note)
        return self._log

    def stop(self) -> None:
        if self._log is not None:
            self._log.close()
            self._log = None

    def backup(self, target: Path) -> Contents:
        return write_backup(self.store, target)

    def restore(self, source: Path, *, replace: bool = False, partial: bool = False) -> Restored:
        return restore(source, self.store, replace=replace, partial=partial)

    def photo(self, sha256: str) -> Path:
        """Where a photo's file is."""
        return self.photos.path_of(sha256, "original")


class Phone:
    """A phone that keeps what it wrote and sends what the server lacks (README of the log)."""

    def __init__(self, device: str) -> None:
        self.writer = Writer(KEYS[device], VISIT)
        self.photos: dict[str, bytes] = {}

    @property
    def written(self) -> list[dict[str, Any]]:
        """Its events as the log gives them."""
        return [plain(event) for event in self.writer.events]

    def write(self, count: int) -> None:
        for _ in range(count):
            number = len(self.writer.events) + 1
            self.put(f"items/a.b{number}/note", f"note {number}")

    def put(self, path: str, value: Any) -> None:
        self.writer.put(path, value)

    def shoot(self, shade: int) -> None:
        picture = io.BytesIO()
        Image.new("RGB", (32, 24), (shade, 40, 90)).save(picture, "JPEG")
        data = picture.getvalue()
        self.photos[hashlib.sha256(data).hexdigest()] = data

    def name_photo(self, item: str = "rust.sills") -> str:
        """Note the last photo at an item; its hash."""
        sha256 = list(self.photos)[-1]
        self.put(f"items/{item}/photos/{sha256}", {"bytes": len(self.photos[sha256])})
        return sha256

    def send(self, log: Log) -> None:
        try:
            log.push(self.writer.batch(len(self.writer.events)), received_ms=MS)
        except ApiError as refused:
            if refused.code != "gap":
                raise
            log.push(self.writer.batch(refused.more["held"] + 1), received_ms=MS)
        for sha256 in log.photos.missing(list(self.photos)):
            with log.photos.arriving(sha256) as arrival:
                arrival.add(self.photos[sha256])
                log.photos.keep(arrival, self.writer.device)


def filled(data: Data, *, entries: int = 3, photos: int = 1) -> Phone:
    """A server that has a phone's entries and photos, stopped again; the phone."""
    log = data.start()
    phone = Phone(PHONE)
    phone.write(entries)
    for number in range(photos):
        phone.shoot(10 + 40 * number)
        phone.name_photo()
    phone.send(log)
    data.ledger.write_text('{"number": "20261125-ABC"}\n')
    data.stop()
    return phone


Entries = list[tuple[str, bytes]]


def entries_of(archive: Path) -> Entries:
    """Names and bytes in an archive, in order."""
    with tarfile.open(archive) as tar:
        return [(one.name, tar.extractfile(one).read()) for one in tar]  # type: ignore[union-attr]


def write_archive(archive: Path, entries: Entries) -> None:
    """A tar with these files, as any tar program writes it."""
    with tarfile.open(archive, "w", format=tarfile.GNU_FORMAT) as tar:
        for name, content in entries:
            entry = tarfile.TarInfo(name)
            entry.size = len(content)
            tar.addfile(entry, io.BytesIO(content))
