"""`bradawl checklists`: check the files, print their schema, count what they cover."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bradawl.language import text


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands of this package."""
    parser = sub.add_parser("checklists", help=text("checklists-command"))
    commands = parser.add_subparsers(
        dest="what", required=True, metavar=text("cli-arg-command"), title=text("cli-commands")
    )
    for name, run in (("check", _check), ("coverage", _coverage), ("schema", _schema)):
        command = commands.add_parser(name, help=text("checklists-command-" + name))
        if run is not _schema:
            command.add_argument(
                "folder",
                nargs="?",
                type=Path,
                metavar=text("cli-arg-folder"),
                help=text("checklists-command-folder"),
            )
        if run is _check:
            command.add_argument(
                "--lacking",
                metavar=text("cli-arg-locale"),
                help=text("checklists-command-lacking"),
            )
        command.set_defaults(run=run)


def _folder(given: Path | None) -> Path:
    from bradawl.common.resources import path_of

    return given if given is not None else path_of("checklists")


def _check(args: argparse.Namespace) -> int:
    from bradawl.checklists.bundling import bundle
    from bradawl.checklists.files import ChecklistError
    from bradawl.checklists.loader import load
    from bradawl.checklists.overlays import standing, tables

    try:
        checklist = load(_folder(args.folder))
    except ChecklistError as error:
        print(error, file=sys.stderr)
        print(text("checklists-faults", count=len(error.faults)), file=sys.stderr)
        return 1
    readings = sum(len(item.readings) for item in checklist.items)
    limits = sum(len(item.limits) for item in checklist.items)
    made = bundle(checklist)
    print(
        text(
            "checklists-sound",
            items=len(checklist.items),
            areas=len(checklist.areas),
            readings=readings,
            limits=limits,
            sources=len(checklist.sources),
            bundle=made["hash"][:12],
        )
    )
    for locale in standing(checklist, made, tables(_folder(args.folder))):
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
