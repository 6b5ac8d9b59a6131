"""`bradawl verify FILE`: is a report whole, and who signed it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = sub.add_parser("verify", help="check whether a report is whole and who signed it")
    parser.add_argument("file", type=Path, metavar="FILE", help="the PDF to check")
    parser.add_argument(
        "--against",
        type=Path,
        metavar="OTHER",
        help="another report on the same visit that leaves nothing out, to hold FILE against",
    )
    parser.set_defaults(run=_verify)


def _verify(arguments: argparse.Namespace) -> int:
    from bradawl.report.known import known_in
    from bradawl.report.verifying import verify, with_whole_record
    from bradawl.settings import from_environment
    from bradawl.showable import for_terminal

    other: Path | None = arguments.against
    try:
        pdf = arguments.file.read_bytes()
        whole = None if other is None else other.read_bytes()
    except OSError as problem:
        print(f"{problem.filename} could not be read: {problem.strerror}.", file=sys.stderr)
        return 1
    here = from_environment()
    known = known_in(here.data, here.keys)
    if other is not None and whole is not None:
        try:
            known = with_whole_record(known, whole, other.name)
        except ValueError as unfit:
            print(unfit, file=sys.stderr)
            return 1
    verdict = verify(pdf, known)
    for line in verdict.lines:
        print(for_terminal(line))  # a name in the file adds no line of its own
    return 0 if verdict.whole else 1
