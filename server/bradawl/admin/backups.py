"""`bradawl backup` and `bradawl restore`."""

from __future__ import annotations

import argparse
import contextlib
import logging
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from bradawl.admin import scheduled
from bradawl.language import text
from bradawl.language.counts import counts
from bradawl.operations import note

if TYPE_CHECKING:
    from pathlib import Path

    from bradawl.common.settings import Settings

logger = logging.getLogger(__name__)


def backup(args: argparse.Namespace) -> int:
    from bradawl.backup.create import described, write_backup
    from bradawl.common.settings import from_environment
    from bradawl.report.signing.known_signers import Signers
    from bradawl.serving.backups.records import store_of

    settings = from_environment()
    if args.file is None:
        return scheduled.back_up(settings)

    def run() -> int:
        with contextlib.suppress(OSError):  # a full data folder must not stop a backup
            Signers(settings.data, settings.keys).note_own()
        store = store_of(settings)
        contents = write_backup(store, args.file)
        if store.database.is_file():
            note_written(settings, args.file)
        print(described(args.file, contents))
        print(text("cli-backup-keys", folder=str(settings.keys)))
        for sentence in contents.notes:
            print(sentence)
        if not contents.faults:
            return 0
        complain(contents.faults)
        print(text("cli-backup-faults", count=len(contents.faults)), file=sys.stderr)
        return 1

    return answered(run, settings)


def note_written(settings: Settings, file: Path) -> None:
    """Keep in the trail where a backup went: it holds what may have to be erased one day."""
    from sqlalchemy.exc import SQLAlchemyError

    from bradawl.access.core.audit import SHELL
    from bradawl.access.web.auth import Access
    from bradawl.database.connection import open_engine

    engine = open_engine(settings.database_url)
    try:
        # a database that may only be read, or a full disk: the backup is made all the same
        with contextlib.suppress(SQLAlchemyError, OSError):
            Access(engine).audit.record(SHELL, "backup written", str(file.resolve()))
    finally:
        engine.dispose()


def restore(args: argparse.Namespace) -> int:
    from bradawl.common.settings import from_environment

    settings = from_environment()
    if args.check:
        return answered(lambda: _check(settings, args.file), settings)
    return answered(lambda: _restore(settings, args), settings)


def _restore(settings: Settings, args: argparse.Namespace) -> int:
    from bradawl.access.core.private_files import make_private
    from bradawl.backup.history import moment_of
    from bradawl.backup.restore import restore
    from bradawl.serving.backups.records import store_of

    done = restore(args.file, store_of(settings), replace=args.replace, partial=args.partial)
    make_private(settings)
    print(
        text(
            "cli-restored",
            made=moment_of(done.made),
            **counts(events=done.events, devices=done.devices, photos=done.photos),
        )
    )
    if done.aside:
        print(text("cli-restored-before"), *(f"  {path}" for path in done.aside), sep="\n")
    print(
        text("cli-restored-since"),
        *erased_again(settings),
        text("cli-restored-sign-in"),
        text("cli-restored-phones", names=", ".join(done.phones))
        if done.phones
        else text("cli-restored-no-phones"),
        text("cli-restored-block"),
        sep="\n",
    )
    if not done.faults:
        return 0
    complain(done.faults)
    print(text("cli-restored-faults", count=len(done.faults)), file=sys.stderr)
    return 1


def erased_again(settings: Settings) -> list[str]:
    """Erase what the backup brought back, as far as this machine knows; sentences about it."""
    from bradawl.database.connection import open_engine
    from bradawl.log.chains.own_keys import OwnKeys
    from bradawl.log.event_log import Log
    from bradawl.log.photos.storage import open_photo_store

    log = Log(
        open_engine(settings.database_url),
        open_photo_store(settings.photo_store),
        keys=OwnKeys(settings.chain_keys, settings.chain_notes),
        erased=settings.erased_list,
    )
    try:
        count = log.erasures.obey()
    finally:
        log.close()
    again = [text("cli-restored-erased", count=count)] if count else []
    return [*again, text("cli-restored-elsewhere")]


def _check(settings: Settings, file: Path) -> int:
    from bradawl.backup.history import moment_of
    from bradawl.backup.prove import prove
    from bradawl.serving.backups.records import ServerRecords

    proof = prove(file, ServerRecords(), [settings.data])
    print(
        text(
            "cli-checked",
            file=str(file),
            made=moment_of(proof.made),
            **counts(events=proof.events, photos=proof.photos),
        )
    )
    if proof.whole:
        print(text("cli-checked-whole"))
        return 0
    complain(proof.faults)
    print(text("cli-checked-faults", count=len(proof.faults)), file=sys.stderr)
    return 1


def answered(run: Callable[[], int], settings: Settings) -> int:
    """The exit code of a command, its errors said in a sentence, and in the log."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.backup.archive import BackupError
    from bradawl.common.disk_errors import explained
    from bradawl.common.file_swap import SwapError

    try:
        return run()
    except (BackupError, SwapError) as error:
        why = str(error)
    except (OSError, DBAPIError) as error:
        why = explained(error, settings.data)
    except KeyboardInterrupt:
        why = text("cli-given-up")
    note(logger, "backup.failed", level=logging.ERROR, why=why)
    print(why, file=sys.stderr)
    return 1


def complain(faults: Sequence[str]) -> None:
    from bradawl.backup.create import listed

    for fault in listed(faults):
        print(fault, file=sys.stderr)
