"""`bradawl serve`, `report` and `check-page`; `bradawl verify` is beside it."""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import gc
import logging
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl import __version__
from bradawl.common.settings import DEFAULT_PORT, Mode, Settings, StartError, from_environment
from bradawl.common.terminal import draw
from bradawl.language import decimal, text
from bradawl.listening import ports, running_mark
from bradawl.operations import note, recording
from bradawl.serving import verify_commands
from bradawl.serving.startup import explained

if TYPE_CHECKING:
    from socket import socket

    from starlette.applications import Starlette
    from starlette.types import ASGIApp

    from bradawl.access.lan import Lan
    from bradawl.access.web.auth import Access
    from bradawl.backup.schedule import Schedule


logger = logging.getLogger(__name__)

#: Beyond the port for the network, the one at which its own browser finds the desk.
HERE = 1000


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    serving = sub.add_parser("serve", help=text("cli-serve"))
    serving.add_argument(
        "--port",
        type=ports.port_number,
        metavar=text("cli-arg-port"),
        default=DEFAULT_PORT,
        help=text("cli-serve-port", port=str(DEFAULT_PORT)),
    )
    where = serving.add_mutually_exclusive_group()
    where.add_argument(
        "--lan",
        action="store_true",
        help=text("cli-serve-lan"),
    )
    where.add_argument(
        "--proxy",
        action="store_true",
        help=text("cli-serve-proxy"),
    )
    serving.add_argument("--log-json", action="store_true", help=text("cli-serve-json"))
    serving.add_argument("--verbose", action="store_true", help=text("cli-serve-verbose"))
    serving.set_defaults(run=_served)

    report = sub.add_parser("report", help=text("report-command"))
    report.add_argument("visit", metavar=text("cli-arg-car"), help=text("report-command-visit"))
    report.add_argument("-o", "--output", type=Path, required=True, metavar=text("cli-arg-file"))
    report.add_argument(
        "--edition", choices=("condition", "repaired", "partner"), default="condition"
    )
    for name in ("language", "units", "paper"):
        report.add_argument(
            "--" + name,
            default="",
            metavar=text("cli-arg-" + name),
            help=text("report-command-" + name),
        )
    report.set_defaults(run=_report)
    verify_commands.register(sub)

    check = sub.add_parser("check-page", help=text("check-command"))
    check.add_argument("file", type=Path, metavar=text("cli-arg-file"))
    check.add_argument(
        "--language",
        default="",
        metavar=text("cli-arg-language"),
        help=text("check-command-language"),
    )
    check.set_defaults(run=_check_page)


def _served(args: argparse.Namespace) -> int:
    return serve(
        args.port, lan=args.lan, proxy=args.proxy, as_json=args.log_json, verbose=args.verbose
    )


def serve(
    port: int,
    *,
    lan: bool = False,
    proxy: bool = False,
    as_json: bool = False,
    verbose: bool = False,
    listening: Callable[[str], None] | None = None,
) -> int:
    """Serve until it is interrupted, with the log of what it did and why it did not start.

    `listening` is told the address of this server, such as `http://localhost:8477`, once it
    listens; with `lan` it is one of this machine alone where its port is free. Raises StartError.
    """
    with recording.recording(from_environment(), as_json=as_json, terminal=True, verbose=verbose):
        if os.environ.get("BRADAWL_SAMPLE_OF"):
            _end_with_whoever_began()
        os.umask(0o077)  # whatever a server writes is its owner's alone
        try:
            if lan:
                return _serve_lan(port, listening)
            return _serve(port, "proxy" if proxy else "local", listening)
        except StartError as error:
            note(logger, "server.not_started", level=logging.ERROR, why=error)
            raise


def _end_with_whoever_began() -> None:
    """End when standard input is closed: a sample lives no longer than the server it belongs to."""

    def wait() -> None:
        with contextlib.suppress(OSError, ValueError):
            while sys.stdin.buffer.read(1):
                pass
        signal.raise_signal(signal.SIGTERM)

    threading.Thread(target=wait, name="sample-of", daemon=True).start()


def _serve(port: int, mode: Mode, listening_at: Callable[[str], None] | None) -> int:
    sockets = ports.open_local_port(port, as_localhost=mode == "local")
    settings = from_environment().with_mode(mode, "127.0.0.1", ports.number_of(sockets[0]))
    base = f"http://localhost:{settings.port}" if mode == "local" else "https://your-name"
    with _lasting():
        from bradawl.listening import server as listening

        app, way_in = _begin(settings, base)

    async def listen() -> None:
        admission = listening.admission_of_this_process(behind_proxy=mode == "proxy")
        server = listening.Server(app, admission, from_proxy=mode == "proxy")
        await listening.serve([(server, sockets)], started=greet)

    def greet() -> None:
        print(text("cli-greeting-app", address=f"{base}/app/"))
        print(text("cli-greeting-desk", address=f"{base}/desk/"), *way_in, sep="\n")
        _greet(settings, base, listening_at)

    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(listen())
    return 0


def _serve_lan(port: int, listening_at: Callable[[str], None] | None) -> int:
    with _lasting():
        from bradawl.access import lan as network

    sockets = ports.open_neighboring_ports(port)
    here: list[socket] = []
    if listening_at is not None:
        with contextlib.suppress(StartError):
            here = ports.open_local_port(ports.number_of(sockets[0]) + HERE, as_localhost=True)
    settings = from_environment().with_mode("lan", "", ports.number_of(sockets[0]))
    with explained(settings):
        lan = network.prepare(settings.keys, settings.port, settings.port + 1)
    base = lan.origins[0] if lan.origins else f"https://127.0.0.1:{lan.port}"
    app, way_in = _begin(settings, base, lan)

    def greet() -> None:
        draw(network.greeting(lan))
        print(*way_in, sep="\n", end="\n" if way_in else "")
        desk = f"http://localhost:{ports.number_of(here[0])}" if here else base
        _greet(settings, desk, listening_at)

    def greet_again() -> None:
        draw(network.greeting(lan))

    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(
            network.serve(app, lan, *sockets, here=here, started=greet, changed=greet_again)
        )
    return 0


def _greet(settings: Settings, address: str, listening_at: Callable[[str], None] | None) -> None:
    print(text("cli-greeting-data", folder=str(settings.data)), text("cli-greeting-stop"), sep="\n")
    sys.stdout.flush()
    with contextlib.suppress(OSError):  # a full disk: then a second start doesn't find this one
        running_mark.mark(settings.data, address)
    if listening_at is not None:
        listening_at(address)


def _begin(settings: Settings, base: str, lan: Lan | None = None) -> tuple[ASGIApp, list[str]]:
    """What to listen with, and what to print while nobody has a passphrase for the desk.

    A data folder that needs something done first, or somebody let in, needs the whole application
    at once, and what is wrong with it is said now (StartError). Any other waits until it is asked.
    """
    from bradawl.access.core.private_files import make_private
    from bradawl.access.network.headers import Guard
    from bradawl.common import resources
    from bradawl.serving import readiness
    from bradawl.serving.app_files import AppFiles
    from bradawl.serving.gateway import Front

    with explained(settings):
        files = AppFiles(resources.path_of("web"))
        for sentence in make_private(settings):
            print(sentence, file=sys.stderr)
        ready = readiness.look(settings)
    whole: Starlette | None = None
    if ready is not None and ready.signs_in:
        way_in = []
    elif ready is not None and settings.mode == "local":
        way_in = [text("cli-greeting-open")]
    else:
        whole = _assembled(settings, lan)
        way_in = _way_in(whole.state.core.access, base)
    front = Front(files, lambda: _assembled(settings, lan), whole)
    guarded = Guard(front, mode=settings.mode, hosts=lan.hosts if lan else None)
    address = base if lan else f"http://{settings.host}:{settings.port}"
    schedule = _schedule(settings, lambda: front.whole)
    return _request_log(guarded, settings, address, schedule), way_in


def _schedule(settings: Settings, application: Callable[[], Starlette | None]) -> Schedule | None:
    """The daily backups; None where none are made."""
    from bradawl.backup.schedule import Schedule
    from bradawl.serving.backups.state import history_of

    if history_of(settings) is None:
        return None

    def tried() -> None:
        whole = application()
        if whole is not None:  # else it looks for itself when it is put together
            whole.state.core.backups.ask_for_damaged()

    return Schedule(lambda: history_of(settings), tried)


def _request_log(
    app: ASGIApp, settings: Settings, address: str, schedule: Schedule | None
) -> ASGIApp:
    """`app` with its requests, its start and its stop in the log; `schedule` runs between them."""
    from bradawl.common.reading import ReaderOfRequest
    from bradawl.operations.requests import RequestLog

    def started() -> None:
        if schedule is not None:
            schedule.start()
        note(
            logger, "server.started", version=__version__, mode=settings.mode, address=address,
            data=settings.data, pid=os.getpid(),
        )  # fmt: skip

    def stopped() -> None:
        if schedule is not None:
            schedule.stop()
        recording.settle()
        note(logger, "server.stopped", pid=os.getpid())

    logged = RequestLog(app, started=started, stopped=stopped)
    return ReaderOfRequest(logged, lambda: settings.now().region)


def _assembled(settings: Settings, lan: Lan | None) -> Starlette:
    with _lasting(), explained(settings):
        from bradawl.serving.app import assemble

        return assemble(settings, lan)


@contextlib.contextmanager
def _lasting() -> Iterator[None]:
    """Nearly all that is made in the block stays until the end, so no garbage is looked for.

    Neither in the block, which takes a seventh off a start, nor later among what it made.
    """
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


def _way_in(access: Access, base: str) -> list[str]:
    from bradawl.access.commands import one_time_path

    if access.people.anybody_can_sign_in():
        return []
    if access.mode == "local":
        return [text("cli-greeting-open")]
    return [
        text("cli-greeting-passphrase"),
        f"  {base}{one_time_path(access)}",
    ]


def _report(args: argparse.Namespace) -> int:
    from bradawl.report.printing import Printing, PrintingError
    from bradawl.serving.core import Bradawl

    try:
        printing = Printing.of(args.language, args.units, args.paper)
    except PrintingError as refused:
        print(refused, file=sys.stderr)
        return 2
    core = Bradawl(from_environment())
    try:
        visits = [line.visit for line in core.log.visits() if line.visit.startswith(args.visit)]
        if len(visits) != 1:
            said = "report-command-several" if visits else "report-command-none"
            print(text(said, start=args.visit), file=sys.stderr)
            return 1
        pdf = core.report(core.snapshot(visits[0]), args.edition, printing)
        args.output.write_bytes(pdf)
        size = text("report-ready-megabytes", figure=decimal(f"{len(pdf) / 1e6:.1f}"))
        print(text("report-command-done", file=str(args.output), size=size))
    finally:
        core.close()
    return 0


def _check_page(args: argparse.Namespace) -> int:
    from bradawl.common.display_text import for_terminal
    from bradawl.language import reading_as
    from bradawl.report.printing import Printing, PrintingError
    from bradawl.serving.core import Bradawl

    try:
        printing = Printing.of(args.language)
    except PrintingError as refused:
        print(refused, file=sys.stderr)
        return 2
    core = Bradawl(from_environment())
    try:
        with reading_as(printing.reader):
            page = core.check_page().html().encode()
        args.file.write_bytes(page)
        size = text("report-ready-megabytes", figure=decimal(f"{len(page) / 1e6:.1f}"))
        print(for_terminal(text("check-command-done", file=str(args.file), size=size)))
    finally:
        core.close()
    return 0
