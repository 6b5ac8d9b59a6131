"""`bradawl about`: the version, what is new in it, and whose work it carries along."""

from __future__ import annotations

import argparse

from bradawl import __version__
from bradawl.language import text


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = sub.add_parser("about", help=text("cli-about-help"))
    parser.add_argument("--texts", action="store_true", help=text("cli-about-texts"))
    parser.set_defaults(run=_about)


def _about(arguments: argparse.Namespace) -> int:
    from bradawl.about.changes import changes_in
    from bradawl.about.notices import Notice, notices

    def line(notice: Notice) -> str:
        return text(
            "cli-about-work-within" if notice.within else "cli-about-work",
            name=f"{notice.name} {notice.version}".rstrip(),
            license=notice.license or text("cli-about-see-license"),
            within=notice.within,
        )

    print(f"Bradawl {__version__}", "", text("cli-about-new", version=__version__), sep="\n")
    print(*(f"- {sentence}" for sentence in changes_in(__version__)), sep="\n")
    works = notices()
    print("", text("cli-about-own"), "", text("cli-about-copyleft"), sep="\n")
    print(*(line(notice) for notice in works if notice.copyleft), sep="\n")
    print("", text("cli-about-others"), sep="\n")
    print(*(line(notice) for notice in works if not notice.copyleft), sep="\n")
    if arguments.texts:
        for notice in works:
            if notice.text:
                print("", "-" * 80, f"{notice.name} {notice.version}", "", notice.text, sep="\n")
    return 0
