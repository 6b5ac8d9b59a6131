"""Registers the commands `bradawl backup`, `restore`, `doctor` and `forget`."""

from __future__ import annotations

import argparse
from pathlib import Path

from bradawl.admin import backups, doctor, forget


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
    backup.add_argument(
        "file",
        type=Path,
        metavar="FILE",
        nargs="?",
        help="where to; without it, as the server does it every day: among the scheduled ones, "
        "proven by a test restore, and old ones are removed",
    )
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

    forget.register(sub)
