"""Database sessions for access: reading waits for no writer, writing takes the lock at once."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError
from sqlalchemy.sql.dml import UpdateBase
from sqlmodel import Session

from bradawl import database

logger = logging.getLogger(__name__)


@contextmanager
def reading(engine: Engine) -> Iterator[Session]:
    """A session that sees one consistent state; what it loads may be used after it ends."""
    with (
        database.reading(engine) as connection,
        Session(connection, expire_on_commit=False) as session,
    ):
        yield session


def note(engine: Engine, statement: UpdateBase) -> None:
    """Write down what is good to know and nothing depends on, such as when somebody was last seen.

    A full disk or a busy database must not turn away who only came to read.
    """
    try:
        with writing(engine) as session:
            session.exec(statement)
    except DBAPIError as error:
        logger.warning("Not noted: %s", error)


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that commits at the end of the block, or leaves nothing behind."""
    with Session(engine, expire_on_commit=False) as session, session.begin():
        yield session
