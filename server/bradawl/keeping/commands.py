"""`bradawl backup`, `restore`, `doctor` and `forget`: what is kept, and what no longer is."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bradawl.keeping import backups, doctor


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add these commands."""
    doctor.register(sub)
    backup = sub.add_parser(
        "backup",
        help="write everything that was recorded to one file, also while the server runs",
        description=(
            "Everything that is whole is written, whatever is damaged or missing is named. Ends "
            "with 0 when all is whole, 1 when not. The keys folder is not in it: keep a copy of "
            "that apart, under lock."
        ),
    )
    backup.add_argument("file", type=Path, metavar="FILE")
    backup.set_defaults(run=backups.backup)

    restore = sub.add_parser(
        "restore",
        help="put a backup in place; the server must not run meanwhile",
        description=(
            "Everything that is whole comes back, at once or not at all, and the rest is named. "
            "Ends with 0 when all came back, 1 when something did not or nothing was changed."
        ),
    )
    restore.add_argument("file", type=Path, metavar="FILE")
    restore.add_argument(
        "--replace", action="store_true", help="set aside a database that is here already"
    )
    restore.add_argument(
        "--partial",
        action="store_true",
        help="restore what is whole in a file that was cut off, when there is no better one",
    )
    restore.add_argument(
        "--check",
        action="store_true",
        help="restore it into a temporary place and say what comes back; nothing is changed",
    )
    restore.set_defaults(run=backups.restore)

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


def _forget(args: argparse.Namespace) -> int:
    from bradawl.access.audit import SHELL
    from bradawl.access.people import desk_device
    from bradawl.access.withholding import WHOLE
    from bradawl.app import Bradawl
    from bradawl.errors import ApiError
    from bradawl.settings import from_environment
    from bradawl.showable import for_terminal

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
            text = for_terminal(one.text)  # on its own line alone
            if one.certain or one.put in args.also:
                print(f"To forget: {one.what} ({one.put}): {text}")
            else:
                print(f"Perhaps: {one.what}: {text}\n    add it with --also {one.put}")
        if not chosen:
            print("Nothing in this visit names the seller or an address.")
            return 0
        if not args.yes and input("This cannot be undone. Type “forget” to go on: ") != "forget":
            print("Nothing was changed.")
            return 1
        owner = core.access.first_owner()
        done = core.forgetting.forget(visit, chosen, desk_device(owner.id))
        core.access.audit.record(
            SHELL, f"forgot {done} values", core.title_of(visit) or visit, visit=visit
        )
        print(f"Forgotten: {done} values.")
        return 0
    except ApiError as error:
        print(error.message, file=sys.stderr)
        return 1
    finally:
        core.close()
