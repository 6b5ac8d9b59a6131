"""Registers the commands that keep, move and forget what was recorded, and `phone-app`."""

from __future__ import annotations

import argparse
from pathlib import Path

from bradawl.admin import backups, doctor, forget, moving
from bradawl.admin.phone_app import commands as phone_app
from bradawl.language import text


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add these commands."""
    doctor.register(sub)
    backup = sub.add_parser(
        "backup",
        help=text("cli-backup"),
        description=text("cli-backup-what"),
    )
    backup.add_argument(
        "file", type=Path, metavar=text("cli-arg-file"), nargs="?", help=text("cli-backup-file")
    )
    backup.set_defaults(run=backups.backup)

    restore = sub.add_parser(
        "restore",
        help=text("cli-restore"),
        description=text("cli-restore-what"),
    )
    restore.add_argument("file", type=Path, metavar=text("cli-arg-file"))
    for option in ("replace", "partial", "check"):
        restore.add_argument(f"--{option}", action="store_true", help=text("cli-restore-" + option))
    restore.set_defaults(run=backups.restore)

    moving.register(sub)
    forget.register(sub)
    phone_app.register(sub)
