"""`bradawl backup`, `restore` and `forget`: what is kept, and what no longer is."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bradawl.access.backup import Contents


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add these commands."""
    backup = sub.add_parser(
        "backup",
        help="write everything that was recorded to one file, also while the server runs",
        description="The keys folder is not in it: keep a copy of that apart, under lock.",
    )
    backup.add_argument("file", type=Path, metavar="FILE")
    backup.set_defaults(run=_backup)

    restore = sub.add_parser(
        "restore", help="put a backup in place; the server must not run meanwhile"
    )
    restore.add_argument("file", type=Path, metavar="FILE")
    restore.add_argument(
        "--replace", action="store_true", help="set aside a database that is here already"
    )
    restore.set_defaults(run=_restore)

    forget = sub.add_parser(
        "forget",
        help="forget a seller's name, address and phone number in one visit",
        description=(
            "Takes the values back for every phone and withholds the old ones from all pages, "
            "reports and phones. The log's hashes and seals stay valid. Cannot be undone."
        ),
    )
    forget.add_argument("visit", metavar="VISIT", help="the visit's id, or its first characters")
    forget.add_argument(
        "--also",
        action="append",
        default=[],
        metavar="PATH",
        help="another entry to forget, such as items/papers.receipts/note or a photo's path",
    )
    forget.add_argument("--yes", action="store_true", help="do not ask")
    forget.set_defaults(run=_forget)


def _backup(args: argparse.Namespace) -> int:
    from bradawl.access.backup import BackupError, database_file, write_backup
    from bradawl.log import open_photo_store
    from bradawl.report.signers import Signers
    from bradawl.settings import from_environment

    settings = from_environment()
    try:
        Signers(settings.data, settings.keys).note_own()
        contents = write_backup(
            database_file(settings.database_url),
            settings.data,
            open_photo_store(settings.photo_store),
            args.file,
        )
    except (BackupError, OSError) as error:
        print(error, file=sys.stderr)
        return 1
    print(f"{args.file}: {_said(contents)}, {contents.bytes / 1e6:.1f} MB.")
    print(f"The keys in {settings.keys} are not in it; keep a copy of them apart, under lock.")
    return 0


def _restore(args: argparse.Namespace) -> int:
    from bradawl.access.access import Access
    from bradawl.access.audit import SHELL
    from bradawl.access.backup import BackupError, database_file, restore
    from bradawl.access.private_files import make_private
    from bradawl.database import DatabaseTooNewError, migrate, open_engine
    from bradawl.log import open_photo_store
    from bradawl.settings import from_environment

    settings = from_environment()
    try:
        contents = restore(
            args.file,
            database_file(settings.database_url),
            settings.data,
            open_photo_store(settings.photo_store),
            replace=args.replace,
        )
        engine = open_engine(settings.database_url)
        try:
            migrate(engine)
            access = Access(engine)
            access.sessions.end_all()
            access.audit.record(SHELL, "restored from a backup", contents.made)
            phones = [one.name for one in access.devices.all() if one.revoked_ms is None]
        finally:
            engine.dispose()
        make_private(settings)
    except (BackupError, DatabaseTooNewError, OSError) as error:
        print(error, file=sys.stderr)
        return 1
    print(f"Restored the state of {contents.made}: {_said(contents)}.")
    print(
        "What was recorded since comes back when each phone next reaches the server, as far as",
        "the phones still hold it; the desk (Phones and people › Backup) lists what is missing.",
        f"Everybody signs in anew. Phones that may send: {', '.join(phones) or 'none'}.",
        "Revoke again any phone that was revoked after the backup, and pair those added since.",
        sep="\n",
    )
    return 0


def _said(contents: Contents) -> str:
    return f"{contents.events} entries of {contents.devices} devices, {contents.photos} photos"


def _forget(args: argparse.Namespace) -> int:
    from bradawl.access.audit import SHELL
    from bradawl.access.people import desk_device
    from bradawl.access.withholding import WHOLE
    from bradawl.app import Bradawl
    from bradawl.errors import ApiError
    from bradawl.settings import from_environment

    core = Bradawl(from_environment())
    try:
        known = [line.visit for line in core.log.visits() if line.visit.startswith(args.visit)]
        if len(known) != 1:
            many = "More than one visit begins" if known else "No visit on this server begins"
            print(f"{many} with “{args.visit}”. The desk lists them all.", file=sys.stderr)
            return 1
        visit = known[0]
        found = core.forgetting.find(visit)
        chosen = [(one.put, one.part) for one in found if one.certain]
        chosen += [(path, WHOLE) for path in args.also]
        for one in found:
            if one.certain or one.put in args.also:
                print(f"To forget: {one.what} ({one.put}): {one.text}")
            else:
                print(f"Perhaps: {one.what}: {one.text}\n    add it with --also {one.put}")
        if not chosen:
            print("Nothing in this visit names the seller or an address.")
            return 0
        if not args.yes and input("This cannot be undone. Type “forget” to go on: ") != "forget":
            print("Nothing was changed.")
            return 1
        owner = core.access.first_owner()
        done = core.forgetting.forget(visit, chosen, desk_device(owner.id))
        core.access.audit.record(SHELL, f"forgot {done} values", core.title_of(visit) or visit)
        print(f"Forgotten: {done} values.")
        return 0
    except ApiError as error:
        print(error.message, file=sys.stderr)
        return 1
    finally:
        core.close()
