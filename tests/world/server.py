"""The server of a world: the real routes, access and log, with faults that a test can switch on."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import IO, Any

from fastapi import FastAPI
from sqlalchemy import event

from bradawl import errors
from bradawl.access import DEVICE_COOKIE, Access
from bradawl.backup import database_copy
from bradawl.database import migrate, open_engine
from bradawl.keeping.records import ServerRecords
from bradawl.log import FolderPhotoStore, Log
from bradawl.log.photo_store import Kind
from bradawl.log.routes import router
from tests.world.asgi import call

MANY_PAGES = 1_073_741_823


class Faults:
    """What is wrong with the server's machine at the moment."""

    def __init__(self) -> None:
        self.full = False  # no room: SQLite may not grow, no photo can be moved in
        self.commits_fail = 0  # that many commits die before they reach the disk


class TightStore(FolderPhotoStore):
    """A folder of photos on a disk that can be full."""

    def __init__(self, root: Path, faults: Faults) -> None:
        super().__init__(root)
        self._faults = faults

    def keep(self, sha256: str, kind: Kind, file: IO[bytes]) -> None:
        if self._faults.full:
            raise OSError(errno.ENOSPC, "No space left on device")
        super().keep(sha256, kind, file)


class Server:
    """One server over a folder; it can be stopped, started, and set back to an older state."""

    def __init__(
        self, folder: Path, clock: Callable[[], int], new_id: Callable[[], str], template: Path
    ) -> None:
        self.folder = folder
        self.clock = clock
        self.new_id = new_id
        self.faults = Faults()
        self.down = False
        folder.mkdir(parents=True)
        shutil.copyfile(template, folder / "log.db")
        self._open()

    def _open(self) -> None:
        engine = open_engine(f"sqlite:///{self.folder / 'log.db'}")
        event.listen(engine, "begin", self._limit_pages)
        event.listen(engine, "commit", self._fail_commit)
        self.log = Log(
            engine,
            TightStore(self.folder / "photos", self.faults),
            clock=self.clock,
            new_id=self.new_id,
        )
        self.access = Access(engine, clock=self.clock)
        app = FastAPI()
        errors.install(app)
        app.include_router(router(self.log, self.access.device))
        self.access.install(app)
        self.app = app

    def _limit_pages(self, connection: Any) -> None:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        limit = pages if self.faults.full else MANY_PAGES
        connection.exec_driver_sql(f"PRAGMA max_page_count={limit}").close()

    def _fail_commit(self, _connection: Any) -> None:
        if self.faults.commits_fail:
            self.faults.commits_fail -= 1
            raise OSError(errno.EIO, "Input/output error")

    def close(self) -> None:
        self.log.close()

    def restart(self) -> None:
        self.close()
        self._open()

    def pair(self, device: str) -> str:
        """Pair a device as its owner would; its cookie."""
        owner = self.access.first_owner()
        token = self.access.pairing.pair_at_once(device, "phone", owner.id)
        return f"{DEVICE_COOKIE}={token}"

    async def answer(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> tuple[int, bytes]:
        """One request to the application."""
        return await call(self.app, method, path, headers, body)

    def back_up(self, place: Path) -> None:
        """A copy of database and photos, taken while the server runs."""
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        database_copy.take(self.folder / "log.db", place / "log.db")
        ServerRecords().close_chains(place / "log.db")
        database_copy.settle(place / "log.db")
        self.log.photos.finish()
        shutil.copytree(self.folder / "photos", place / "photos")

    def set_back(self, place: Path) -> None:
        """Restore what `back_up` made: what came after it is gone from this server."""
        self.close()
        shutil.rmtree(self.folder)
        shutil.copytree(place, self.folder)
        self._open()


def make_template(place: Path) -> None:
    """A migrated, empty database, so that not every world waits for the migrations."""
    engine = open_engine(f"sqlite:///{place}")
    migrate(engine)
    with engine.connect() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    engine.dispose()
