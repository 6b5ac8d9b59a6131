"""Makes the daily backup: written, proven by a test restore, old ones pruned."""

from __future__ import annotations

import contextlib
import logging
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.common.settings import Settings
from bradawl.language import text
from bradawl.language.counts import counts
from bradawl.operations import note

if TYPE_CHECKING:
    from bradawl.backup.create import Contents
    from bradawl.backup.history import History, Proof
    from bradawl.backup.parts import Store

logger = logging.getLogger(__name__)

#: Beyond a backup's own size: what must stay free on its disk, which may be that of the records.
SPARE_BYTES = 300_000_000


def back_up(settings: Settings) -> int:
    """Make a backup as scheduled; the exit code of `bradawl backup` without a file."""
    from bradawl.backup.archive import BackupError
    from bradawl.serving.backups.state import history_of

    history = history_of(settings)
    if history is None:
        _say(text("cli-backup-unscheduled"))
        return 1
    os.nice(10)  # requests come first
    try:
        with history.turn() as mine:
            if not mine:
                print(text("cli-backup-busy"))
                return 0
            history.sweep()
            try:
                return _made(settings, history)
            finally:
                for old in history.prune():
                    print(text("cli-backup-removed", file=old.name))
    except (BackupError, OSError) as error:
        return _failed(history, error, history.folder)


def _made(settings: Settings, history: History) -> int:
    from bradawl.backup.create import described, write_backup
    from bradawl.backup.history import now
    from bradawl.backup.prove import prove
    from bradawl.report.signing.known_signers import Signers
    from bradawl.serving.backups.records import store_of

    with contextlib.suppress(OSError):  # a full data folder must not stop a backup
        Signers(settings.data, settings.keys).note_own()
    store = store_of(settings)
    _find_room(store, history)
    archive = history.name_at(now())
    contents = write_backup(store, archive)
    print(described(archive, contents))
    proof = _with_lacks(prove(archive, store.records, [history.folder, settings.data]), contents)
    history.note_proof(archive, proof)
    note(
        logger, "backup.proven", level=logging.INFO if proof.whole else logging.WARNING,
        file=archive, events=proof.events, photos=proof.photos, faults=len(proof.faults),
    )  # fmt: skip
    print(text("cli-backup-proven", **counts(events=proof.events, photos=proof.photos)))
    _say(*proof.faults)
    return 0 if proof.whole else 1


def _with_lacks(proof: Proof, contents: Contents) -> Proof:
    """The proof with what was found while the backup was made, each said once."""
    lacks = [*contents.damaged, *contents.missing]
    named = {lack.name.removeprefix("photos/") for lack in lacks if "photos/" in lack.name}
    named_before = [text("server-backup-then", what=fault) for fault in contents.faults]
    return replace(
        proof,
        faults=(*contents.faults, *(fault for fault in proof.faults if fault not in named_before)),
        photos_lacking=tuple(sorted({*proof.photos_lacking, *named})),
    )


def _find_room(store: Store, history: History) -> None:
    """Make room for another backup, of old ones if need be. Raises BackupError."""
    from bradawl.backup.archive import BackupError
    from bradawl.backup.database_copy import size_of
    from bradawl.backup.inspect import DATABASE_ROOM
    from bradawl.backup.room import require_room
    from bradawl.common.disk_errors import free_bytes

    photos = 0
    with contextlib.suppress(BackupError):  # the backup itself will say what is wrong with it
        if store.database.is_file():
            photos = sum(store.records.count(store.database).photos.values())
    need = photos + (1 + DATABASE_ROOM) * size_of(store.database) + SPARE_BYTES
    lacking = need - free_bytes(history.folder)
    if lacking > 0:
        for old in history.make_room(lacking):
            print(text("cli-backup-removed-room", file=old.name))
    require_room(need, history.folder, text("server-room-daily"))


def _failed(history: History, error: Exception, place: Path) -> int:
    from bradawl.backup.archive import BackupError
    from bradawl.backup.history import now
    from bradawl.common.disk_errors import explained

    why = str(error) if isinstance(error, BackupError) else explained(error, place)
    note(logger, "backup.failed", level=logging.ERROR, why=why)
    with contextlib.suppress(OSError):  # it is in the log, and the desk sees how old the last is
        history.note_failure(now(), why)
    _say(why)
    return 1


def _say(*sentences: str) -> None:
    from bradawl.backup.create import listed

    for sentence in listed(sentences):
        print(sentence, file=sys.stderr)
