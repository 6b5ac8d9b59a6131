"""The backups of a running server: the daily ones, and one to download."""

from __future__ import annotations

import logging
import secrets
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import IO, TYPE_CHECKING

from bradawl.backup.archive import BackupError
from bradawl.backup.create import Contents, note_made, stream_backup
from bradawl.backup.parts import Store, database_file
from bradawl.common.disk_errors import free_bytes
from bradawl.common.errors import ApiError
from bradawl.language import message
from bradawl.operations import note
from bradawl.serving.backups.records import ServerRecords
from bradawl.serving.backups.state import BackupState, history_of, state_of

if TYPE_CHECKING:
    from bradawl.common.settings import Settings
    from bradawl.log.event_log import Log
    from bradawl.report.signing.known_signers import Signers

logger = logging.getLogger(__name__)


class ServerBackups:
    """What the desk does with backups, and what phones are asked for after one."""

    def __init__(self, settings: Settings, log: Log, signers: Signers) -> None:
        self._settings = settings
        self._log = log
        self._signers = signers

    def download(self) -> tuple[IO[bytes], Contents]:
        """A backup in a temporary file, and what it holds. Raises ApiError."""
        with suppress(OSError):  # a full data folder must not stop a backup
            self._signers.note_own()
        temporary = Path(tempfile.gettempdir())
        place = max((temporary, self._settings.data), key=free_bytes)
        file = tempfile.TemporaryFile(prefix="bradawl-backup-", dir=place)  # noqa: SIM115
        try:
            database = database_file(self._settings.database_url)
            store = Store(database, self._settings.data, self._log.photos.store, ServerRecords())
            contents = stream_backup(store, file, place)
            note_made(contents)
            return file, contents
        except (BackupError, OSError) as error:
            file.close()
            note(logger, "backup.failed", level=logging.ERROR, why=error)
            raise ApiError("backup", message("server-no-backup", why=str(error)), 503) from error

    def state(self) -> BackupState:
        """What there is to say of the daily ones."""
        return state_of(history_of(self._settings), switched_off=self._settings.backups is None)

    def ask_for_damaged(self) -> None:
        """Let phones send again what the last daily one found damaged or missing."""
        history = history_of(self._settings)
        newest = next(iter(history.runs()), None) if history is not None else None
        if newest is not None and newest.proof is not None and newest.proof.photos_lacking:
            self._log.photos.ask_again(newest.proof.photos_lacking)
            # phones that hear of another run ask about all their photos
            self._log.run = secrets.token_hex(8)
