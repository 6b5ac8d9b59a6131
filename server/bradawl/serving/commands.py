"""`bradawl serve` and `bradawl report`."""

from __future__ import annotations

import argparse
import contextlib
import gc
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bradawl.settings import DEFAULT_PORT, Mode, from_environment


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    serve = sub.add_parser("serve", help="serve the phone app and the desk")
    serve.add_argument("--port", type=int, default=DEFAULT_PORT, help=f"default {DEFAULT_PORT}")
    where = serve.add_mutually_exclusive_group()
    where.add_argument(
        "--lan",
        action="store_true",
        help="serve phones in the workshop's network over https; the plain page for the first "
        "meeting is on the next port",
    )
    where.add_argument(
        "--proxy",
        action="store_true",
        help="serve a reverse proxy on this machine that has a name and certificate of its own",
    )
    serve.set_defaults(run=_serve)

    report = sub.add_parser("report", help="write the signed PDF report of a visit")
    report.add_argument("visit", metavar="VISIT", help="the visit's id, or its first characters")
    report.add_argument("-o", "--output", type=Path, required=True, metavar="FILE")
    report.add_argument("--edition", choices=("condition", "partner"), default="condition")
    report.add_argument("--page", choices=("A4", "Letter"), default="A4")
    report.set_defaults(run=_report)


def _serve(args: argparse.Namespace) -> int:
    if args.lan:
        return _serve_lan(args)
    mode: Mode = "proxy" if args.proxy else "local"
    settings = from_environment().with_mode(mode, "127.0.0.1", args.port)
    with _assembling():
        import uvicorn

        from bradawl.app import create_app
        from bradawl.request_heads import BoundedHeads

        app = create_app(settings)
    base = f"http://localhost:{args.port}" if mode == "local" else "https://your-name"
    print(f"Phone app: {base}/app/", f"Desk:      {base}/desk/", *_way_in(app, base), sep="\n")
    print(f"Data in    {settings.data}", "Stop with Ctrl-C.", sep="\n", flush=True)
    uvicorn.run(
        app,
        host=settings.host,
        port=settings.port,
        http=BoundedHeads,
        log_level="warning",
        access_log=False,
        server_header=False,
        # Only a proxy on this machine may say for whom it asks; without one nobody may.
        proxy_headers=mode == "proxy",
        forwarded_allow_ips="127.0.0.1",
    )
    return 0


def _serve_lan(args: argparse.Namespace) -> int:
    import asyncio

    with _assembling():
        from bradawl.access import lan as network
        from bradawl.app import create_app

    settings = from_environment().with_mode("lan", "", args.port)
    try:
        sockets = network.open_port(args.port), network.open_port(args.port + 1)
    except OSError as error:
        print(error, file=sys.stderr)
        return 1
    lan = network.prepare(settings.keys, args.port, args.port + 1)
    with _assembling():
        app = create_app(settings, lan)

    def greet() -> None:
        print(
            network.greeting(lan),
            *_way_in(app, lan.origins[0] if lan.origins else f"https://localhost:{lan.port}"),
            sep="\n",
        )
        print(f"Data in {settings.data}", "Stop with Ctrl-C.", sep="\n", flush=True)

    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(network.serve(app, lan, *sockets, started=greet))
    return 0


@contextlib.contextmanager
def _assembling() -> Iterator[None]:
    """Nearly all that is made in the block stays until the end, so no garbage is looked for.

    Neither in the block, which takes a seventh off a start, nor later among what it made.
    """
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


def _way_in(app: Any, base: str) -> list[str]:
    """What to print while nobody has a passphrase for the desk."""
    from bradawl.access.commands import one_time_path

    access = app.state.core.access
    if access.people.anybody_can_sign_in():
        return []
    if access.mode == "local":
        return ["The desk is open to this machine until somebody sets a passphrase at the desk."]
    return [
        "First, choose your passphrase (once, within a day):",
        f"  {base}{one_time_path(access)}",
    ]


def _report(args: argparse.Namespace) -> int:
    from bradawl.app import Bradawl

    core = Bradawl(from_environment())
    try:
        known = [line.visit for line in core.log.visits() if line.visit.startswith(args.visit)]
        if len(known) != 1:
            many = "More than one visit begins" if known else "No visit on this server begins"
            print(f"{many} with “{args.visit}”. The desk lists them all.", file=sys.stderr)
            return 1
        pdf = core.report(core.dossier(known[0]), args.edition, args.page)
        args.output.write_bytes(pdf)
        print(f"{args.output}: {len(pdf) / 1e6:.1f} MB, signed.")
    finally:
        core.close()
    return 0
