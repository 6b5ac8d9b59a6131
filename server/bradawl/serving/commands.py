"""`bradawl serve` and `bradawl report`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bradawl.settings import DEFAULT_PORT, from_environment


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    serve = sub.add_parser("serve", help="serve the phone app and the desk")
    serve.add_argument("--port", type=int, default=DEFAULT_PORT, help=f"default {DEFAULT_PORT}")
    serve.set_defaults(run=_serve)

    report = sub.add_parser("report", help="write the signed PDF report of a visit")
    report.add_argument("visit", metavar="VISIT", help="the visit's id, or its first characters")
    report.add_argument("-o", "--output", type=Path, required=True, metavar="FILE")
    report.add_argument("--edition", choices=("condition", "partner"), default="condition")
    report.add_argument("--page", choices=("A4", "Letter"), default="A4")
    report.set_defaults(run=_report)


def _serve(args: argparse.Namespace) -> int:
    import uvicorn

    from bradawl.app import create_app

    settings = from_environment().with_mode("local", "127.0.0.1", args.port)
    app = create_app(settings)
    base = f"http://localhost:{args.port}"
    print(
        f"Phone app: {base}/app/",
        f"Desk:      {base}/desk/",
        f"Data in    {settings.data}",
        "Stop with Ctrl-C.",
        sep="\n",
        flush=True,
    )
    uvicorn.run(app, host=settings.host, port=settings.port, log_level="warning")
    return 0


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
