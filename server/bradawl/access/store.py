"""Database sessions for access: reading waits for no writer, writing takes the lock at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Engine
from sqlmodel import Session

from bradawl import database


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
