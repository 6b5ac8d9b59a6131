"""Which copy of a photo was made to be shown: its digest, so that no other picture is shown.

An original is known by its name, which is its hash. Its served copy lies under the same name, so
what it holds has to be noted when it is made; a copy that is another can always be made again.
"""

from __future__ import annotations

import hashlib
import logging

from sqlalchemy import Column, Engine, MetaData, String, Table, bindparam, delete, select, text
from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel

from bradawl.database.connection import Prepared, asking, writing

logger = logging.getLogger(__name__)
_METADATA: MetaData = SQLModel.metadata

#: The SHA-256 of the copy that was made last of each photo.
SERVED_COPIES = Table(
    "served_copy",
    _METADATA,
    Column("sha256", String(64), primary_key=True),
    Column("copy_sha256", String(64), nullable=False),
)
# A statement of both databases: SQLAlchemy has one for each, and neither compiles for the other.
_NOTE = text(
    "INSERT INTO served_copy (sha256, copy_sha256) VALUES (:sha256, :copy_sha256) "
    "ON CONFLICT (sha256) DO UPDATE SET copy_sha256 = excluded.copy_sha256"
)


class ServedCopies:
    """The digests in `engine`."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._noted = Prepared(
            engine,
            select(SERVED_COPIES.c.copy_sha256).where(
                SERVED_COPIES.c.sha256 == bindparam("sha256")
            ),
        )

    def is_the_one(self, sha256: str, copy: bytes) -> bool:
        """Whether this is the copy that was made of a photo."""
        return self._digest(sha256) == hashlib.sha256(copy).hexdigest()

    def is_another(self, sha256: str, copy: bytes) -> bool:
        """Whether another was made. Of a copy that was never noted nobody knows."""
        return self._digest(sha256) not in ("", hashlib.sha256(copy).hexdigest())

    def _digest(self, sha256: str) -> str:
        """The copy's that was made last, or ""."""
        with asking(self._engine) as connection:
            noted = self._noted.run(connection, {"sha256": sha256}).fetchone()
        return "" if noted is None else str(noted[0])

    def note(self, sha256: str, copy: bytes) -> None:
        """Remember a copy. Where nothing can be written it is made again when asked for."""
        digest = hashlib.sha256(copy).hexdigest()
        try:
            with writing(self._engine) as connection:
                connection.execute(_NOTE, {"sha256": sha256, "copy_sha256": digest})
        except DBAPIError as error:
            logger.warning("Which copy of a photo was made could not be noted: %s", error.orig)

    def forget(self, sha256: str) -> None:
        """No copy of this photo counts any more."""
        with writing(self._engine) as connection:
            connection.execute(delete(SERVED_COPIES).where(SERVED_COPIES.c.sha256 == sha256))
