"""The database: opened so that a commit is on the disk, and brought up to date by Alembic.

SQLite runs in WAL with `synchronous=FULL`: a commit returns after its bytes were fsynced.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from sqlalchemy import ClauseElement, Connection, Engine, create_engine, event, inspect
from sqlalchemy import text as sql_text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError, DisconnectionError

from bradawl.common.disk_errors import is_unchanging, uri_to_read
from bradawl.common.file_swap import Use, complete
from bradawl.database import row_copies
from bradawl.database.schema_version import MIGRATIONS, REVISION_QUERY, newest_revision
from bradawl.language import message

BUSY_MS = 15_000
OLDEST = "0104"  # revision; older ones are of Bradawl 0.1 or of versions between that and 0.2
_UNCHANGING = "unchanging"  # marks a connection that can only read, as long as nobody can write


class DatabaseTooNewError(RuntimeError):
    """The database was written by a newer Bradawl than this one."""


class DatabaseTooOldError(RuntimeError):
    """The database was written by a Bradawl whose entries this one does not read."""


def open_engine(url: str) -> Engine:
    """An engine for `sqlite:///PATH` or `postgresql+psycopg://…`.

    The folder of an SQLite file is made when it is missing. A transaction begun on the engine
    takes the write lock at once, so that what it has read cannot change before it writes; use
    `reading` where nothing will be written. A restore that was cut off is completed first; here
    and in the first connection SwapError is raised while another process restores.
    """
    parsed = make_url(url)
    if parsed.get_backend_name() != "sqlite":
        return create_engine(
            parsed, pool_pre_ping=True, pool_size=10, max_overflow=30, hide_parameters=True
        )
    place = Path(parsed.database) if parsed.database and parsed.database != ":memory:" else None
    if place is not None:
        place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        complete(place)  # a restore that was cut off
        _begin_private(place)
    engine = create_engine(
        parsed,
        connect_args={"timeout": BUSY_MS / 1000},
        pool_size=10,
        max_overflow=30,
        # the connection used last: what it has written itself it need not read again
        pool_use_lifo=True,
        hide_parameters=True,  # what is recorded about people has no place in a server's log
    )
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    if place is not None:
        _keep_in_use(engine, place)
    return engine


def _begin_private(database: Path) -> None:
    """Begin a database that is not there as an empty file that only its owner can read.

    SQLite would leave its mode to the umask; the files beside it take theirs from it.
    """
    # what forbids it will be said by whoever opens the database
    with suppress(OSError):
        os.close(os.open(database, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def _keep_in_use(engine: Engine, place: Path) -> None:
    """Say that the database is used, for as long as the engine has connections.

    On a disk that may only be read, or has no room at all, it is opened as what does not change,
    so that it can be read; see `storage.is_unchanging`.
    """
    use = Use(place)

    def connect(_dialect: Any, record: Any, _args: Any, options: dict[str, Any]) -> Any:
        use.begin()
        record.info.pop(_UNCHANGING, None)
        if not is_unchanging(place):
            return None  # as SQLAlchemy does it
        record.info[_UNCHANGING] = True
        return sqlite3.connect(uri_to_read(place), uri=True, **options)

    def check_out(_connection: Any, record: Any, _proxy: Any) -> None:
        if record.info.get(_UNCHANGING) and not is_unchanging(place):
            raise DisconnectionError  # it can be written again: the pool opens it anew

    event.listen(engine, "do_connect", connect)
    event.listen(engine, "checkout", check_out)
    event.listen(engine, "engine_disposed", lambda _engine: use.end())


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    assert isinstance(connection, sqlite3.Connection)
    connection.isolation_level = None  # transactions are begun by `_begin_sqlite` alone
    cursor = connection.cursor()
    try:
        # A database that may only be read can still be read; writing will say what is wrong.
        with suppress(sqlite3.OperationalError):
            cursor.execute("PRAGMA journal_mode=WAL")
        cursor.execute("PRAGMA synchronous=FULL")
        cursor.execute("PRAGMA foreign_keys=ON")
        # what is erased is overwritten, not only given free
        cursor.execute("PRAGMA secure_delete=ON")
    except UnicodeDecodeError as error:
        # what SQLite says of a damaged schema quotes it, and the driver cannot decode that
        why = "database disk image is malformed (its schema)"  # as SQLite says it: not shown
        raise sqlite3.DatabaseError(why) from error
    finally:
        cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    statement = connection.get_execution_options().get("begin", "BEGIN IMMEDIATE")
    if not statement:
        return
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    try:
        # past SQLAlchemy, whose way to one word costs as much as the query that follows
        driver.execute(statement)
    except sqlite3.Error as error:
        raise _told(error, statement, sqlite3.Error) from error


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A connection that sees one consistent state and waits for no writer."""
    with engine.connect() as connection:
        yield connection.execution_options(begin="BEGIN")


@contextmanager
def asking(engine: Engine) -> Iterator[Connection]:
    """A connection for a single query, which needs no transaction to see one state."""
    with engine.connect() as connection:
        yield connection.execution_options(begin="")


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that commits at the end of the block, or leaves nothing behind."""
    with engine.begin() as connection:
        yield connection


def scrub(engine: Engine) -> bool:
    """Leave nothing of what was overwritten in the database's journal; False while one reads it.

    SQLite: the write-ahead log is carried over and cut to nothing. PostgreSQL: dead rows are given
    free; its own log and backups keep what they hold until they are recycled.
    """
    if engine.dialect.name == "sqlite":
        with asking(engine) as connection:
            driver = connection.connection.driver_connection
            assert isinstance(driver, sqlite3.Connection)
            busy, _, _ = driver.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
            return not busy
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(sql_text("VACUUM log_batch"))
    return True


class Prepared:
    """A statement compiled once and handed to the driver as it is.

    For what is asked with every request: SQLAlchemy's way to the driver costs several times what
    SQLite needs to answer. Values go in and rows come out as the driver takes and gives them.
    """

    def __init__(self, engine: Engine, statement: ClauseElement) -> None:
        compiled = statement.compile(dialect=engine.dialect)
        self._text = str(compiled)
        self._order: Sequence[str] | None = getattr(compiled, "positiontup", None)
        self._error = engine.dialect.loaded_dbapi.Error

    def run(self, connection: Connection, values: Mapping[str, Any]) -> Any:
        """The driver's cursor after the statement. Raises DBAPIError."""
        given = values if self._order is None else [values[name] for name in self._order]
        cursor = connection.connection.cursor()
        try:
            cursor.execute(self._text, given)
        except self._error as error:
            raise _told(error, self._text, self._error) from error
        return cursor


def _told(error: Exception, statement: str, base: type[Exception]) -> BaseException:
    """A driver's error as SQLAlchemy raises it."""
    return DBAPIError.instance(statement, None, error, base, hide_parameters=True)


def migrate(engine: Engine) -> None:
    """Bring the database to the newest revision; what is up to date is left alone.

    Raises DatabaseTooNewError when a newer Bradawl has written it.
    """
    revision = _revision_of(engine)
    newest = newest_revision()
    if revision == newest:
        return  # and Alembic, slow to import, stays unimported
    if revision is not None and revision < OLDEST:
        raise DatabaseTooOldError(message("server-database-old"))
    if revision is not None and revision > newest:
        raise DatabaseTooNewError(message("server-database-new", revision=revision, newest=newest))
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with engine.begin() as connection:
        if connection.dialect.name == "postgresql":
            # Several servers may start at once; the first migrates, the others wait.
            connection.execute(sql_text("SELECT pg_advisory_xact_lock(20261125)"))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        row_copies.install(connection)


def older_revision(engine: Engine) -> str | None:
    """The revision of a database that `migrate` would bring up to date; None for every other."""
    revision = _revision_of(engine)
    is_older = revision is not None and OLDEST <= revision < newest_revision()
    return revision if is_older else None


def _revision_of(engine: Engine) -> str | None:
    with reading(engine) as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        row = connection.execute(sql_text(REVISION_QUERY)).first()
        return None if row is None else str(row[0])
