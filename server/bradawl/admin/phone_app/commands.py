"""`bradawl phone-app`: the app as files for any host, and the three ways of a phone."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bradawl.common.settings import from_environment
from bradawl.language import decimal, text


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = sub.add_parser(
        "phone-app", help=text("cli-phone-app"), description=text("cli-phone-app-what")
    )
    parser.add_argument(
        "place", type=Path, nargs="?", metavar=text("cli-arg-folder"), help=text("cli-phone-app-to")
    )
    parser.add_argument(
        "--below", default="", metavar=text("cli-arg-folder"), help=text("cli-phone-app-below")
    )
    parser.set_defaults(run=_phone_app)


def _phone_app(args: argparse.Namespace) -> int:
    if args.place is None:
        print(*ways(), sep="\n")
        return 0
    return _write(args.place, args.below.strip("/"))


def ways() -> list[str]:
    """The three ways in lines: what each is, what it costs, how it begins."""
    from bradawl.access.web.devices import WAYS

    lines = [text("access-ways-intro"), ""]
    for number, way in enumerate(WAYS, start=1):
        lines += [
            f"{number}. {text(f'access-ways-{way}')}",
            f"   {text(f'access-ways-{way}-what')}",
            f"   {text(f'access-ways-{way}-price')}",
            f"   {text(f'access-ways-{way}-begin')}",
            "",
        ]
    return [*lines, text("access-ways-tried")]


def _write(place: Path, below: str) -> int:
    from bradawl.about.licenses import as_text
    from bradawl.admin.phone_app.static_app import StaticAppError, write_app
    from bradawl.common import resources
    from bradawl.common.display_text import for_terminal
    from bradawl.serving import build_cache
    from bradawl.serving.core import Bradawl
    from bradawl.serving.offline import Documents

    core = Bradawl(from_environment())
    try:
        judge = build_cache.judge(core.settings.data / build_cache.FOLDER)
        documents = Documents(judge, core.checklists_in_use, core.log.bundle, core.checklists)
        written = write_app(
            place,
            resources.path_of("web"),
            documents,
            folder=below,
            about=as_text(),
            check_page=core.check_page().html(),
        )
    except (StaticAppError, OSError) as error:
        print(for_terminal(str(error)), file=sys.stderr)
        return 1
    finally:
        core.close()
    size = text("report-ready-megabytes", figure=decimal(f"{written.size_bytes / 1e6:.1f}"))
    address = "https://YOUR-NAME/" + (f"{below}/" if below else "")
    print(
        for_terminal(text("cli-phone-app-done", count=written.files, size=size, place=str(place))),
        *(
            text(f"cli-phone-app-next-{step}", address=address)
            for step in ("host", "headers", "phone", "hand-over", "later", "again")
        ),
        text("access-ways-tried"),
        sep="\n",
    )
    return 0
