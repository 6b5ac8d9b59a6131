"""`bradawl verify FILE`: is a report genuine, of an unknown signer, or changed: the exit code.

0 genuine, 3 unchanged but by a key that nobody here knows, 1 changed or no report, 2 wrong usage or
a file that cannot be read. The shop's own record is asked wherever there is one.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.report.checking.verification import Verdict

EXIT_CODES = {"genuine": 0, "changed": 1, "unknown": 3}
UNREADABLE = 2


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = sub.add_parser("verify", help=text("report-verify-command"))
    parser.add_argument(
        "file", type=Path, metavar=text("cli-arg-file"), help=text("report-verify-file")
    )
    parser.set_defaults(run=_verify)


def _verify(arguments: argparse.Namespace) -> int:
    from bradawl.common.display_text import for_terminal

    try:
        pdf = arguments.file.read_bytes()
    except OSError as problem:
        file, why = str(problem.filename), str(problem.strerror)
        said = text("report-verify-unreadable", file=file, why=why)
        print(for_terminal(said), file=sys.stderr)
        return UNREADABLE
    verdict = _verdict(pdf)
    for line in verdict.lines:
        print(for_terminal(line))
    return EXIT_CODES[verdict.kind]


def _verdict(pdf: bytes) -> Verdict:
    """What the file is, held against this shop's own record where it can be read."""
    from bradawl.common.settings import StartError, from_environment
    from bradawl.report.checking.verification import verify
    from bradawl.report.signing.trust import trust_for

    settings = from_environment()
    database = settings.database_url.removeprefix("sqlite:///")
    if database == settings.database_url or Path(database).exists():
        from bradawl.serving.core import Bradawl

        try:
            core = Bradawl(settings)
        except StartError as problem:
            print(text("report-verify-no-own-record", why=str(problem)), file=sys.stderr)
        else:
            try:
                return core.verify(pdf)
            finally:
                core.close()
    from bradawl.serving.reports.compare_pages import reprint

    return verify(pdf, trust_for(settings.data, settings.keys), compare=reprint())
