"""`bradawl about`: the version, what is new in it, and whose work it carries along."""

from __future__ import annotations

import argparse

from bradawl import __version__


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = sub.add_parser("about", help="the version, what is new, and the libraries' licenses")
    parser.add_argument("--texts", action="store_true", help="the licenses word for word")
    parser.set_defaults(run=_about)


def _about(arguments: argparse.Namespace) -> int:
    from bradawl.about.changes import changes_in
    from bradawl.about.notices import OWN_LICENSE, Notice, notices

    def line(notice: Notice) -> str:
        within = f" (within {notice.within})" if notice.within else ""
        return f"  {notice.name} {notice.version}".rstrip() + f"{within}: {notice.license}"

    print(f"Bradawl {__version__}", "", f"New in {__version__}:", sep="\n")
    print(*(f"- {sentence}" for sentence in changes_in(__version__)), sep="\n")
    works = notices()
    print("", OWN_LICENSE, "", "It carries along, under copyleft licenses:", sep="\n")
    print(*(line(notice) for notice in works if notice.copyleft), sep="\n")
    print("", "and under other licenses:", sep="\n")
    print(*(line(notice) for notice in works if not notice.copyleft), sep="\n")
    if arguments.texts:
        for notice in works:
            if notice.text:
                print("", "-" * 80, f"{notice.name} {notice.version}", "", notice.text, sep="\n")
    return 0
