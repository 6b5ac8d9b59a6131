"""The server of a world: the real routes, access and log, with faults that a test can switch on."""

from __future__ import annotations

import errno
import random
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import IO, Any

from fastapi import FastAPI
from sqlalchemy import Engine, event, select, update

from bradawl.access.web.auth import DEVICE_COOKIE, Access
from bradawl.backup import database_copy
from bradawl.common import errors
from bradawl.common.device_keys import DeviceKey
from bradawl.database.connection import migrate, open_engine, reading, writing
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.chains.repair import repair, wanted
from bradawl.log.event_log import Log
from bradawl.log.format import events as ev
from bradawl.log.format.tables import BATCHES
from bradawl.log.photos.storage import FolderPhotoStore, Kind
from bradawl.log.routes import router
from bradawl.serving.backups.records import ServerRecords
from tests.log.sync.reference import JSON
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
    """One server over a folder; it can be stopped, started, and set back to an older state.

    `home/data` is its data folder, `home/notes` lies outside of it. `new_key` makes the keys of
    its own chains, `new_run` names each run.
    """

    def __init__(
        self,
        home: Path,
        clock: Callable[[], int],
        template: Path,
        new_key: Callable[[], DeviceKey],
        new_run: Callable[[], str],
    ) -> None:
        self.home = home
        self.folder = home / "data"
        self.clock = clock
        self._new_key = new_key
        self._new_run = new_run
        self.faults = Faults()
        self.folder.mkdir(parents=True)
        shutil.copyfile(template, self.folder / "log.db")
        self._open()

    def _open(self) -> None:
        engine = open_engine(f"sqlite:///{self.folder / 'log.db'}")
        event.listen(engine, "begin", self._limit_pages)
        event.listen(engine, "commit", self._fail_commit)
        self.access = Access(engine, clock=self.clock)
        self.log = Log(
            engine,
            TightStore(self.folder / "photos", self.faults),
            clock=self.clock,
            run=self._new_run(),
            keys=OwnKeys(self.folder / "keys", self.home / "notes", self._new_key),
            registered=self.access.is_paired,
        )
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

    def events(self) -> dict[str, list[JSON]]:
        """Every event that the database holds whole, by device and in order."""
        return events_in(self.log.engine)

    def damaged(self) -> dict[str, int]:
        """Per device, after which event the first damaged ones lie."""
        with reading(self.log.engine) as connection:
            return wanted(connection)

    # what becomes of its folder

    def back_up(self, place: Path) -> None:
        """A copy of database and photos, taken while the server runs; no private keys."""
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        database_copy.take(self.folder / "log.db", place / "log.db")
        ServerRecords().close_chains(place / "log.db")
        database_copy.settle(place / "log.db")
        self.log.photos.finish()
        shutil.copytree(self.folder / "photos", place / "photos")

    def restore(self, place: Path, *, keep_keys: bool) -> None:
        """Restore what `back_up` made, over the folder or on a new machine."""
        self.close()
        keys = self.home / "kept keys"
        if keep_keys and (self.folder / "keys").exists():
            (self.folder / "keys").rename(keys)
        else:
            shutil.rmtree(self.home / "notes", ignore_errors=True)
        self._replace_by(place)
        if keys.exists():
            keys.rename(self.folder / "keys")
        self._open()

    def copy_folder(self, place: Path) -> None:
        """Copy the data folder with the tools of the machine, the server stopped; its notes too."""
        self.close()
        shutil.rmtree(place, ignore_errors=True)
        shutil.copytree(self.folder, place / "data")
        if (self.home / "notes").exists():
            shutil.copytree(self.home / "notes", place / "notes")
        self._open()

    def copy_back(self, place: Path, *, with_notes: bool) -> None:
        """Put a copied folder back."""
        self.close()
        self._replace_by(place / "data")
        if with_notes:
            shutil.rmtree(self.home / "notes", ignore_errors=True)
            if (place / "notes").exists():
                shutil.copytree(place / "notes", self.home / "notes")
        self._open()

    def _replace_by(self, place: Path) -> None:
        shutil.rmtree(self.folder)
        shutil.copytree(place, self.folder)

    def flip_a_bit(self, chance: random.Random) -> None:
        """A bit of a stored batch turns over, and the owner lets the doctor repair what he can."""
        with writing(self.log.engine) as connection:
            rows = connection.execute(select(BATCHES)).all()
            if rows:
                row = rows[chance.randrange(len(rows))]
                body = bytearray(row.body)
                body[chance.randrange(len(body))] ^= 1 << chance.randrange(8)
                connection.execute(
                    update(BATCHES)
                    .where(BATCHES.c.device == row.device, BATCHES.c.from_seq == row.from_seq)
                    .values(body=bytes(body))
                )
            repair(connection)


def events_in(engine: Engine) -> dict[str, list[JSON]]:
    """Every event that a database holds whole, by device and in order."""
    found: dict[str, list[JSON]] = {}
    with reading(engine) as connection:
        rows = connection.execute(
            select(BATCHES)
            .where(BATCHES.c.damaged.is_(False))
            .order_by(BATCHES.c.device, BATCHES.c.from_seq)
        )
        for row in rows:
            written = ev.unpack(row.body)
            full = ev.chain(row.device, row.from_seq, row.prev, written)
            for hashed, one in zip(full, written, strict=True):
                fields = {name: getattr(hashed, name) for name in hashed.__struct_fields__}
                if not one.erased:
                    fields |= {"value": one.value, "salt": one.salt}
                found.setdefault(row.device, []).append(fields)
    return found


def make_template(place: Path) -> None:
    """A migrated, empty database, so that not every world waits for the migrations."""
    engine = open_engine(f"sqlite:///{place}")
    migrate(engine)
    with engine.connect() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    engine.dispose()
