"""`bradawl backup` and `bradawl restore`."""

from __future__ import annotations

import argparse
import contextlib
import logging
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from bradawl.admin import scheduled
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
            _note_written(settings, args.file)
        print(f"{args.file}: {described(contents)}.")
        print(f"The keys in {settings.keys} are not in it; keep a copy of them apart, under lock.")
        for sentence in contents.notes:
            print(sentence)
        if not contents.faults:
            return 0
        _complain(contents.faults)
        print(
            f"{_faults(len(contents.faults))}. Everything else is in the backup. "
            "`bradawl doctor` says what to do about each.",
            file=sys.stderr,
        )
        return 1

    return _answered(run, settings, "Backup could not be made")


def _note_written(settings: Settings, file: Path) -> None:
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
        failed = "Backup could not be checked"
        return _answered(lambda: _check(settings, args.file), settings, failed)
    return _answered(lambda: _restore(settings, args), settings, "Backup could not be restored")


def _restore(settings: Settings, args: argparse.Namespace) -> int:
    from bradawl.access.core.private_files import make_private
    from bradawl.backup.restore import restore
    from bradawl.serving.backups.records import store_of

    done = restore(args.file, store_of(settings), replace=args.replace, partial=args.partial)
    make_private(settings)
    print(
        f"Restored the state of {done.made}: {done.events} entries of {done.devices} devices, "
        f"{done.photos} photos."
    )
    if done.aside:
        print("What was here before:", *(f"  {path}" for path in done.aside), sep="\n")
    print(
        "What was recorded since comes back when each phone next reaches the server, as far as",
        "the phones still hold it; the desk (Phones and people › Backup) lists what is missing.",
        _erased_again(settings),
        f"Everybody signs in anew. Phones that may send: {', '.join(done.phones) or 'none'}.",
        "Revoke again any phone that was revoked after the backup, and pair those added since.",
        sep="\n",
    )
    if not done.faults:
        return 0
    _complain(done.faults)
    print(
        f"{_faults(len(done.faults))}. Everything else is restored. Photos that are not whole here "
        "are asked of the phones again.",
        file=sys.stderr,
    )
    return 1


def _erased_again(settings: Settings) -> str:
    """Erase what the backup brought back, as far as this machine knows; a sentence about it."""
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
    again = (
        f"{count} values that were erased after this backup were erased again. " if count else ""
    )
    return (
        f"{again}Whatever was erased since on another machine is here again until a phone that "
        "knows of it has synced: repeat it with “bradawl forget”."
    )


def _check(settings: Settings, file: Path) -> int:
    from bradawl.backup.prove import prove
    from bradawl.serving.backups.records import ServerRecords

    proof = prove(file, ServerRecords(), [settings.data])
    print(
        f"Restored {file} into a temporary place: the state of {proof.made}, {proof.events} "
        f"entries, {proof.photos} photos. Nothing here was changed."
    )
    if proof.whole:
        print("All of it is whole.")
        return 0
    _complain(proof.faults)
    print(f"{_faults(len(proof.faults))}. Everything else can be restored.", file=sys.stderr)
    return 1


def _answered(run: Callable[[], int], settings: Settings, failed: str) -> int:
    """The exit code of a command, its errors said in a sentence, and in the log as `failed`."""
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
        why = "Given up; nothing was changed."
    note(logger, "backup.failed", failed, level=logging.ERROR, why=why)
    print(why, file=sys.stderr)
    return 1


def _complain(faults: Sequence[str]) -> None:
    from bradawl.backup.create import listed

    for fault in listed(faults):
        print(fault, file=sys.stderr)


def _faults(count: int) -> str:
    return "1 fault" if count == 1 else f"{count} faults"
