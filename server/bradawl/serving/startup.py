"""Faults that keep Bradawl from starting, put into sentences."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from bradawl.common.settings import Settings, StartError
from bradawl.language import Message, message


@contextmanager
def explained(settings: Settings) -> Iterator[None]:
    """Faults of the database, the folders and the checklists as StartError; bugs as they are."""
    try:
        yield
    except Exception as error:
        sentence = _sentence(error, settings)
        if sentence is None:
            raise
        raise StartError(sentence) from error


def _sentence(error: Exception, settings: Settings) -> Message | None:
    from sqlalchemy.engine import make_url
    from sqlalchemy.exc import ArgumentError, DBAPIError

    from bradawl.checklists.files import ChecklistError
    from bradawl.common.file_swap import SwapError
    from bradawl.database.connection import DatabaseTooNewError, DatabaseTooOldError

    match error:
        case DatabaseTooNewError() | DatabaseTooOldError() | SwapError():
            said: Message = error.args[0]
            return said
        case ChecklistError():
            return message("cli-start-checklists", why=str(error))
        case ArgumentError():
            return message("cli-start-url")
        case DBAPIError():
            place = make_url(settings.database_url).render_as_string(hide_password=True)
            why = str(error.orig).strip().splitlines()[0]
            return message("cli-start-database", place=place, why=why)
        case ModuleNotFoundError() if not (error.name or "").startswith("bradawl"):
            return message("cli-start-library", name=str(error.name))
        case OSError() if error.filename is not None:
            return message("cli-start-file", file=str(error.filename), why=str(error.strerror))
        case OSError():
            return message("cli-start-other", why=str(error))
    return None
