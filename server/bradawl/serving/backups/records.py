"""What a backup asks of the log and of access about a database file."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Collection, Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, cast

from bradawl.backup.archive import BackupError
from bradawl.backup.parts import Counts
from bradawl.language import listed, message, text

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from bradawl.backup.parts import Store
    from bradawl.common.settings import Settings
    from bradawl.log.event_log import Log
    from bradawl.log.photos.storage import PhotoStore


class ServerRecords:
    """`backup.parts.Records` for a server's SQLite database."""

    def count(self, database: Path) -> Counts:
        """How much a database holds. Raises BackupError when it is none of Bradawl's."""
        from sqlalchemy import func, select

        from bradawl.database.connection import reading
        from bradawl.log.format.tables import DEVICES, PHOTOS

        _require_tables_only(database)
        with _opened(database) as engine, reading(engine) as connection:
            row = connection.execute(
                select(func.coalesce(func.sum(DEVICES.c.held), 0), func.count())
            ).one()
            photos = connection.execute(select(PHOTOS.c.sha256, PHOTOS.c.bytes)).all()
        return Counts(int(row[0]), int(row[1]), {name: int(size) for name, size in photos})

    def verify(self, database: Path) -> list[str]:
        """Every event checked along its chain, every page read; a sentence for each fault."""
        from bradawl.log.integrity.doctor import examine_database

        try:
            with _opened(database) as engine:
                return [str(finding.what) for finding in examine_database(engine).findings]
        except BackupError as error:
            return [str(error)]

    def places(self, database: Path, hashes: Collection[str]) -> Mapping[str, str]:
        """Which visits and items name photos, in words; as far as events can be read."""
        from bradawl.log.event_log import Log

        with _opened(database) as engine:
            log = Log(engine, cast("PhotoStore", None))  # it is asked about events alone
            try:
                return _places_in(log, hashes)
            finally:
                log.photos.close()

    def close_chains(self, database: Path) -> None:
        """End the server's own chains in a copy: restored, they would go on under numbers that
        phones may have seen with other events. What the desk writes then begins a new chain.
        """
        from sqlalchemy import update

        from bradawl.database.connection import writing
        from bradawl.log.format.tables import DEVICES

        with _opened(database) as engine, writing(engine) as connection:
            connection.execute(
                update(DEVICES).where(DEVICES.c.stands_for != "").values(closed=True)
            )
            connection.exec_driver_sql("PRAGMA user_version = 1").close()

    def bring_up(self, database: Path, made: str) -> list[str]:
        """Migrate a restored database, set damaged entries aside, sign everybody out; the names of
        phones that may send.
        """
        from bradawl.access.core.audit import SHELL
        from bradawl.access.web.auth import Access
        from bradawl.database.connection import (
            DatabaseTooNewError,
            DatabaseTooOldError,
            migrate,
            writing,
        )
        from bradawl.log.chains.repair import repair

        with _opened(database) as engine:
            try:
                migrate(engine)
            except (DatabaseTooNewError, DatabaseTooOldError) as error:
                raise BackupError(*error.args) from error
            _require_all_tables(engine)
            with writing(engine) as connection:
                repair(connection)
            access = Access(engine)
            access.sessions.end_all()
            access.audit.record(SHELL, "restored from a backup", made)
            return [phone.name for phone in access.devices.all() if phone.revoked_ms is None]


def _require_all_tables(engine: Engine) -> None:
    """Raises BackupError for a database that lacks what this version reads."""
    from sqlalchemy import inspect
    from sqlmodel import SQLModel

    here = inspect(engine)
    present = set(here.get_table_names())
    for name, table in SQLModel.metadata.tables.items():
        if name not in present:
            raise BackupError(message("server-restore-table", name=name))
        lacking = set(table.columns.keys()) - {column["name"] for column in here.get_columns(name)}
        if lacking:
            raise BackupError(message("server-restore-column", name=name, column=min(lacking)))


def _require_tables_only(database: Path) -> None:
    """Raises BackupError for a database that does more by itself than Bradawl's do.

    It may come from anywhere. A view or a recursive query in a trigger could run for ever.
    """
    try:
        with closing(sqlite3.connect(database)) as connection:
            kinds = [
                (str(kind), str(sql or "").upper())
                for kind, sql in connection.execute("SELECT type, sql FROM sqlite_master")
            ]
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise BackupError(
            message("server-restore-foreign", file=database.name, why=str(error))
        ) from error
    for kind, sql in kinds:
        foreign = kind == "view" or re.search(r"\bVIRTUAL\b", sql)
        if foreign or (kind == "trigger" and re.search(r"\bWITH\b", sql)):
            raise BackupError(message("server-restore-holds", file=database.name, kind=kind))


@contextmanager
def _opened(database: Path) -> Iterator[Engine]:
    """A database file as the server opens it. Raises BackupError for what it cannot read."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.common.disk_errors import cause_of, explained
    from bradawl.database.connection import open_engine

    engine = open_engine(f"sqlite:///{database}")
    try:
        yield engine
    except DBAPIError as error:
        if cause_of(error, database) is None:
            why = str(error.orig).strip().splitlines() or [""]
            raise BackupError(
                message("server-restore-foreign", file=database.name, why=why[0])
            ) from error
        raise BackupError(explained(error, database)) from error
    except UnicodeDecodeError as error:  # the driver's, of what SQLite quotes from damaged pages
        raise BackupError(message("server-restore-text", file=database.name)) from error
    finally:
        engine.dispose()


def _places_in(log: Log, hashes: Collection[str]) -> dict[str, str]:
    from bradawl.common.errors import ApiError
    from bradawl.desk.model.labels import car_name
    from bradawl.judge import fold

    wanted = set(hashes)
    places: dict[str, list[str]] = {}
    for visit in (line.visit for line in log.visits()):
        try:
            events = log.events_of(visit)
        except ApiError:
            continue  # damaged: the database's own faults say so
        named = {(event["put"].rpartition("/")[2], event["put"]) for event in events}
        hits = sorted((sha256, put) for sha256, put in named if sha256 in wanted)
        for sha256, put in hits:
            parts = put.split("/")
            item = parts[1] if parts[0] == "items" and len(parts) == 4 else ""
            said = "server-place-item" if item else "server-place"
            car = car_name(fold(events))
            places.setdefault(sha256, []).append(text(said, car=car, id=visit[:8], item=item))
    return {sha256: listed(named) for sha256, named in places.items()}


def store_of(settings: Settings) -> Store:
    """Everything that a data folder's server keeps. Raises BackupError, OSError."""
    from bradawl.backup.parts import Store, database_file
    from bradawl.log.photos.storage import open_photo_store

    return Store(
        database_file(settings.database_url),
        settings.data,
        open_photo_store(settings.photo_store),
        ServerRecords(),
    )
