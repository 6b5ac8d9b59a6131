"""Keeps a backup of a data folder of an older Bradawl, before this one changes its database."""

from __future__ import annotations

import logging
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.common.settings import Settings, StartError
from bradawl.database.connection import older_revision
from bradawl.language import message
from bradawl.operations import note

if TYPE_CHECKING:
    from sqlalchemy import Engine

logger = logging.getLogger(__name__)

#: Not the daily ones' name: these are never removed to make room.
PREFIX = "before-update"


def keep_backup(settings: Settings, engine: Engine) -> Path | None:
    """The backup's file; None where the database needs no update, or is another engine's.

    It lies with the daily backups; with these turned off, where they would be by default.
    Raises StartError where no backup can be made: then nothing was changed.
    """
    revision = older_revision(engine)
    if revision is None or engine.dialect.name != "sqlite":
        return None
    from bradawl.backup.archive import BackupError
    from bradawl.backup.create import write_backup
    from bradawl.serving.backups.records import store_of

    folder = settings.backups or settings.data / "backups"
    moment = datetime.now(UTC).strftime("%Y-%m-%d-%H%M%S")
    file = folder / f"{PREFIX}-{revision}-{moment}.tar"
    try:
        write_backup(store_of(settings), file)
    except (BackupError, OSError) as error:
        raise StartError(message("server-update-no-backup", why=str(error))) from error
    note(logger, "update.backed_up", level=logging.WARNING, file=file, revision=revision)
    return file
