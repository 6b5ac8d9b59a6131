"""`bradawl verify FILE`: is a report whole, and who signed it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bradawl.language import text


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = sub.add_parser("verify", help=text("report-verify-command"))
    parser.add_argument(
        "file", type=Path, metavar=text("cli-arg-file"), help=text("report-verify-file")
    )
    parser.set_defaults(run=_verify)


def _verify(arguments: argparse.Namespace) -> int:
    from bradawl.common.display_text import for_terminal
    from bradawl.common.settings import from_environment
    from bradawl.report.signing.trust import trust_for
    from bradawl.report.signing.verification import verify

    try:
        pdf = arguments.file.read_bytes()
    except OSError as problem:
        file, why = str(problem.filename), str(problem.strerror)
        print(text("report-verify-unreadable", file=file, why=why), file=sys.stderr)
        return 1
    here = from_environment()
    verdict = verify(pdf, trust_for(here.data, here.keys))
    for line in verdict.lines:
        print(for_terminal(line))  # a name in the file adds no line of its own
    return 0 if verdict.whole else 1
