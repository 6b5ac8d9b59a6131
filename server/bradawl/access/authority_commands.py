"""`bradawl authority`: what phones trust of this server, and a new one in its place."""

from __future__ import annotations

import argparse
import sys
import textwrap

from bradawl.language import date, text


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    authority = sub.add_parser("authority", help=text("cli-authority"))
    what = authority.add_subparsers(
        title=text("cli-commands"), dest="what", metavar=text("cli-arg-command"), required=True
    )
    show = what.add_parser("show", help=text("cli-authority-show"))
    show.set_defaults(run=_show)
    replace = what.add_parser(
        "replace",
        help=text("cli-authority-replace"),
        description=text("cli-authority-replace-what"),
    )
    replace.set_defaults(run=_replace)


def _show(_: argparse.Namespace) -> int:
    from bradawl.access.authority.view import shown_in
    from bradawl.common.settings import from_environment

    keys = from_environment().keys
    shown = shown_in(keys)
    if shown is None:
        return _none(str(keys))
    authority = shown.authority
    print(
        text(
            "cli-authority-valid",
            name=authority.name,
            begins=date(authority.begins),
            ends=date(authority.ends),
        ),
        f"SHA-256 {authority.fingerprint}",
        text("cli-authority-sites", names=", ".join(authority.speaks_for)),
        sep="\n",
    )
    if shown.server is not None:
        names = ", ".join(shown.server.speaks_for)
        print(text("cli-authority-server", ends=date(shown.server.ends), names=names))
    if shown.next is not None:
        print(text("cli-authority-next", day=date(shown.takes_over), name=shown.next.name))
        print(f"SHA-256 {shown.next.fingerprint}")
    for former in shown.former:
        print(text("cli-authority-former", day=date(former.until), name=former.name))
    return 0


def _replace(_: argparse.Namespace) -> int:
    from bradawl.access.authority import lifecycle
    from bradawl.access.authority.names import this_machine
    from bradawl.common.settings import from_environment

    settings = from_environment()
    folder = lifecycle.folder_in(settings.keys)
    if not (folder / lifecycle.ISSUING).is_file():
        return _none(str(settings.keys))
    standing = lifecycle.replace(folder, this_machine())
    new = standing.authority
    _record(settings.database_url, new.name)
    print(text("cli-authority-new", name=new.name, day=lifecycle.day_of(new.ends)))
    print(f"  {new.fingerprint[:39]}\n  {new.fingerprint[40:]}")
    _paragraph(text("cli-authority-taken-up"))
    if standing.former:
        _paragraph(text("cli-authority-phones", former=standing.former[0].name))
    else:
        _paragraph(text("cli-authority-phones-unnamed"))
    _paragraph(text("cli-authority-copied"))
    return 0


def _paragraph(said: str) -> None:
    print(textwrap.fill(said, 96))


def _none(keys: str) -> int:
    print(text("cli-authority-none", folder=keys), file=sys.stderr)
    return 1


def _record(database_url: str, name: str) -> None:
    """Into the audit trail, where there is one."""
    from sqlalchemy.exc import DBAPIError

    from bradawl.access.core.audit import SHELL, Audit
    from bradawl.common.clock import now_ms
    from bradawl.database.connection import open_engine

    engine = open_engine(database_url)
    try:
        Audit(engine, now_ms).record(SHELL, "authority replaced", name)
    except DBAPIError as error:
        print(text("cli-authority-no-trail", why=str(error.orig)), file=sys.stderr)
    finally:
        engine.dispose()
