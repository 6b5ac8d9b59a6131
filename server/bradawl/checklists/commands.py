"""`bradawl checklists`: check the files, print their schema, count what they cover."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands of this package."""
    parser = sub.add_parser("checklists", help="check, describe and count the checklist files")
    commands = parser.add_subparsers(dest="what", required=True, metavar="WHAT")
    for name, run, words in (
        ("check", _check, "say what is wrong in the files, with line and remedy"),
        ("coverage", _coverage, "count the published entries that the items cover"),
        ("schema", _schema, "print the JSON Schema of the files"),
    ):
        command = commands.add_parser(name, help=words)
        if run is not _schema:
            command.add_argument("folder", nargs="?", type=Path, help="folder of the files")
        if run is _check:
            command.add_argument(
                "--lacking", metavar="LOCALE", help="list each text that this locale lacks"
            )
        command.set_defaults(run=run)


def _folder(given: Path | None) -> Path:
    from bradawl.common.resources import path_of

    return given if given is not None else path_of("checklists")


def _check(args: argparse.Namespace) -> int:
    from bradawl.checklists.bundling import bundle
    from bradawl.checklists.files import ChecklistError
    from bradawl.checklists.loader import load
    from bradawl.checklists.overlays import standing

    try:
        checklist = load(_folder(args.folder))
    except ChecklistError as error:
        print(error, file=sys.stderr)
        count = len(error.faults)
        print(f"{count} fault{'' if count == 1 else 's'}.", file=sys.stderr)
        return 1
    readings = sum(len(item.readings) for item in checklist.items)
    limits = sum(len(item.limits) for item in checklist.items)
    made = bundle(checklist)
    print(
        f"Sound: {len(checklist.items)} items in {len(checklist.areas)} areas, "
        f"{readings} readings, {limits} limits, {len(checklist.sources)} sources; "
        f"bundle {made['hash'][:12]}."
    )
    for locale in standing(checklist, made):
        print(locale)
        if locale.locale == args.lacking:
            print("\n".join(f"  {name}" for name in locale.lacking))
    return 0


def _coverage(args: argparse.Namespace) -> int:
    from bradawl.checklists.coverage import coverage
    from bradawl.checklists.files import ChecklistError
    from bradawl.checklists.loader import load

    try:
        checklist = load(_folder(args.folder))
    except ChecklistError as error:
        print(error, file=sys.stderr)
        return 1
    lost = 0
    for line in coverage(checklist):
        print(line)
        lost += len(line.lost)
    return 1 if lost else 0


def _schema(args: argparse.Namespace) -> int:
    from bradawl.checklists.schema import schema_text

    sys.stdout.write(schema_text())
    return 0
