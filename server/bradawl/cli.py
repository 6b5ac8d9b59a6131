"""The `bradawl` command: each part of the package registers its own commands."""

from __future__ import annotations

import argparse
import importlib
import os
import re
import sys
from collections.abc import Callable, Sequence

from bradawl import __version__
from bradawl.common.reading import reader_at
from bradawl.common.settings import SettingError, StartError, from_environment
from bradawl.common.terminal import harmless
from bradawl.language import has, reading_as, text
from bradawl.operations import recording

PARTS = ("desktop", "serving", "checklists", "log", "report", "access", "admin", "demo", "about")
#: Commands that leave their lines in the data folder's log; `serve` writes its own.
LOGGED = frozenset(
    {"backup", "restore", "move-out", "move-in", "forget", "demo", "report", "invite", "doctor"}
)


#: Where argparse puts its own values into its sentences.
_PLACES = {
    name: f"%({name})s" for name in ("prog", "message", "argument_name", "type", "choices")
} | {"value": "%(value)r", "s": "%s"}


def _said(sentence: str | None) -> str | None:
    """What argparse says by itself, from the catalogue: the id is made of its English words."""
    if sentence is None:  # no description
        return None
    words = re.findall("[a-z]+", re.sub(r"%\(\w+\)|%", "", sentence.lower()))
    message_id = "cli-argparse-" + "-".join(words)
    if not has(message_id):
        return sentence
    return text(message_id, **_PLACES) + ("\n" if sentence.endswith("\n") else "")


argparse._ = _said  # type: ignore[attr-defined]  # it asks gettext by this name


def parser() -> argparse.ArgumentParser:
    top = argparse.ArgumentParser(
        prog="bradawl",
        description=text("cli-about"),
    )
    top.add_argument(
        "--version", action="version", version=f"bradawl {__version__}", help=text("cli-version")
    )
    commands = top.add_subparsers(
        title=text("cli-commands"), dest="command", metavar=text("cli-arg-command"), required=True
    )
    for part in PARTS:
        try:
            module = importlib.import_module(f"bradawl.{part}.commands")
        except ModuleNotFoundError as missing:
            # A part may have no commands; anything else that is missing is a fault.
            if missing.name not in (f"bradawl.{part}.commands", f"bradawl.{part}"):
                raise
            continue
        module.register(commands)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    with harmless(), reading_as(reader_at(os.environ)):
        return _run(argv)


def _run(argv: Sequence[str] | None) -> int:
    given = list(sys.argv[1:] if argv is None else argv)
    # whoever clicks an icon gives no command
    arguments = parser().parse_args(given or ["open"])
    try:
        code = _run_logged(arguments)
        sys.stdout.flush()
    except (StartError, SettingError) as error:
        print(error, file=sys.stderr)
        return 1
    except BrokenPipeError:
        # Whoever read (`| head`) has seen enough. Nothing more can be said on that pipe, not
        # even by the interpreter as it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return code


def _run_logged(arguments: argparse.Namespace) -> int:
    run: Callable[[argparse.Namespace], int] = arguments.run
    if arguments.command not in LOGGED:
        return run(arguments)
    with recording.command(from_environment(), arguments.command) as ended:
        try:
            ended.code = run(arguments)
        except StartError as error:
            ended.why = error
            raise
        return ended.code


if __name__ == "__main__":
    sys.exit(main())
