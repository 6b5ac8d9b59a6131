"""Database sessions for access: reading waits for no writer, writing takes the lock at once."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError
from sqlalchemy.sql.dml import UpdateBase
from sqlmodel import Session

from bradawl import operations
from bradawl.common import disk_errors
from bradawl.database import connection as database

logger = logging.getLogger(__name__)


@contextmanager
def reading(engine: Engine) -> Iterator[Session]:
    """A session that sees one consistent state; what it loads may be used after it ends."""
    with (
        database.reading(engine) as connection,
        Session(connection, expire_on_commit=False) as session,
    ):
        yield session


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that commits at the end of the block, or leaves nothing behind."""
    with Session(engine, expire_on_commit=False) as session, session.begin():
        yield session


@contextmanager
def noting(engine: Engine) -> Iterator[Session]:
    """`writing` for what is only noted in passing, such as when somebody was last seen.

    A disk that is full or may only be read costs the note, never the request that caused it.
    """
    try:
        with writing(engine) as session:
            yield session
    except (DBAPIError, OSError) as error:
        cause = disk_errors.cause_of(error)
        if cause is None:
            raise
        _say(cause)


def note(engine: Engine, statement: UpdateBase) -> None:
    """One statement of that kind."""
    with noting(engine) as session:
        session.exec(statement)


def _say(cause: str) -> None:
    operations.note(
        logger, "storage.failed", "Not noted when somebody was last seen",  # log: not shown
        level=logging.WARNING, same=("code",), code=cause,
    )  # fmt: skip
