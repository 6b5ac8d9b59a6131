"""Registers `bradawl open`, `autostart` and `installed`."""

from __future__ import annotations

import argparse
import os
import shlex
import sys
import threading
from pathlib import Path

from bradawl.common.installation import choices
from bradawl.common.settings import StartError, from_environment
from bradawl.language import message, text

#: Of the environment, what says which data a server at login has to serve, and how.
_PASSED_ON = "BRADAWL_"


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    opening = sub.add_parser("open", help=text("cli-open"), description=text("cli-open-what"))
    opening.add_argument("--lan", action="store_true", help=text("cli-serve-lan"))
    opening.add_argument("--no-browser", action="store_true", help=text("cli-open-no-browser"))
    opening.set_defaults(run=_open)

    installed = sub.add_parser("installed", help=text("cli-installed"))
    installed.set_defaults(run=_installed)

    starting = sub.add_parser("autostart", help=text("cli-autostart"))
    starting.add_argument(
        "wanted",
        choices=("on", "off", "status"),
        nargs="?",
        default="status",
        metavar=text("cli-arg-when"),
        help=text("cli-autostart-wanted"),
    )
    starting.add_argument("--lan", action="store_true", help=text("cli-serve-lan"))
    starting.set_defaults(run=_autostart)


def _installed(_args: argparse.Namespace) -> int:
    from bradawl.common.installation import program
    from bradawl.desktop import autostart

    settings = from_environment()
    by = program.installed_by()
    unit = str(autostart.unit_file()) if autostart.is_on() else text("cli-installed-none")
    print(
        text("cli-installed-program", command=shlex.join(program.command())),
        text("cli-installed-data", folder=str(settings.data)),
        text("cli-installed-keys", folder=str(settings.keys)),
        text(
            "cli-installed-notes",
            folder=str(settings.chain_notes),
            file=str(settings.erased_list),
        ),
        text("cli-installed-backups", folder=str(settings.backups or text("cli-installed-none"))),
        text("cli-installed-login", file=unit),
        "",
        text("cli-installed-remove"),
        text("cli-installed-remove-" + by, file=program.command()[0]),
        sep="\n",
    )
    return 0


def _open(args: argparse.Namespace) -> int:
    from bradawl.desktop import browser, port_choice
    from bradawl.listening.running_mark import address_of_running
    from bradawl.serving.commands import serve

    settings = from_environment()
    chosen = choices.read(settings.data)
    lan = args.lan or chosen.network
    first = _first_page(chosen)

    def show(address: str) -> None:
        desk = f"{address}/{first}"
        if not args.no_browser and not browser.show(desk):
            print(text("cli-open-yourself", address=desk), flush=True)

    running = address_of_running(settings.data)
    if running is not None:
        print(text("cli-open-running", address=f"{running}/desk/"))
        show(running)
        return 0
    try:
        port, taken = port_choice.chosen(settings.data, network=lan)
    except OSError as error:
        raise StartError(
            message("cli-start-file", file=str(error.filename), why=str(error.strerror))
        ) from error
    if taken is not None:
        print(text("cli-open-other-port", kept=str(taken), port=str(port)), file=sys.stderr)
    # some browsers are waited for, and what they ask for must be answered meanwhile
    return serve(
        port,
        lan=lan,
        listening=lambda address: threading.Thread(target=show, args=(address,)).start(),
    )


def _first_page(chosen: choices.Choices) -> str:
    """Where a start leads: to the questions while none was asked, to the phone it was made for."""
    if not chosen.asked:
        return "desk/welcome"
    return "desk/welcome/phone" if chosen.network and "phone" not in chosen.asked else "desk/"


def _autostart(args: argparse.Namespace) -> int:
    from bradawl.common.installation import program
    from bradawl.desktop import autostart

    started = [*program.command(), "open", "--no-browser", *(["--lan"] if args.lan else [])]
    if not autostart.is_possible():
        print(text("cli-autostart-by-hand", command=shlex.join(started)), file=sys.stderr)
        return 1
    file = str(autostart.unit_file())
    try:
        if args.wanted == "on":
            passed_on = {
                name: str(Path(value).expanduser().resolve()) if name == "BRADAWL_DATA" else value
                for name, value in sorted(os.environ.items())
                if name.startswith(_PASSED_ON)
            }
            problem = autostart.turn_on(started, passed_on)
            print(text("cli-autostart-on", file=file, command=shlex.join(started)))
            if problem:
                print(text("cli-autostart-later", why=problem), file=sys.stderr)
        elif args.wanted == "off":
            problem = autostart.turn_off()
            print(text("cli-autostart-off", file=file))
            if problem:
                print(text("cli-autostart-still", why=problem), file=sys.stderr)
        else:
            print(text("cli-autostart-is-on" if autostart.is_on() else "cli-autostart-is-off"))
    except OSError as error:
        raise StartError(
            message("cli-start-file", file=str(error.filename), why=str(error.strerror))
        ) from error
    return 0
