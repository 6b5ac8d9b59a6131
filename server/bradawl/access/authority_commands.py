"""`bradawl authority`: what phones trust of this server, and a new one in its place."""

from __future__ import annotations

import argparse
import sys
import textwrap


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    authority = sub.add_parser(
        "authority",
        help="the certificate authority that phones trust with `serve --lan`: show or replace it",
    )
    what = authority.add_subparsers(title="what", dest="what", required=True)
    show = what.add_parser("show", help="what it is called, for what it may vouch, when it ends")
    show.set_defaults(run=_show)
    replace = what.add_parser(
        "replace",
        help="make a new one now: when its key may have been copied, or this machine was renamed",
        description=(
            "Overwrites the old key and makes a new authority, also while the server runs. Every "
            "phone has to trust the new one before it can send again; what it holds stays."
        ),
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
    print(f"{authority.name}, {authority.begins} to {authority.ends}")
    print(f"SHA-256 {authority.fingerprint}")
    print(f"Vouches for websites at {', '.join(authority.speaks_for)}; nothing else.")
    if shown.server is not None:
        names = ", ".join(shown.server.speaks_for)
        print(f"This server's own certificate ends on {shown.server.ends}; it is for {names}.")
    if shown.next is not None:
        print(f"Next, from {shown.takes_over}: {shown.next.name}")
        print(f"SHA-256 {shown.next.fingerprint}")
    for former in shown.former:
        print(f"Until {former.until}, to be removed from phones: {former.name}")
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
    before = f"“{standing.former[0].name}”" if standing.former else "the old one"
    print(f"The authority is now “{new.name}”, until {new.ends:%Y-%m-%d}. Its SHA-256 fingerprint:")
    print(f"  {new.fingerprint[:39]}\n  {new.fingerprint[40:]}")
    _paragraph(
        "A running server takes it up within a minute and shows in its terminal the code that "
        "leads phones to the first page; otherwise `bradawl serve --lan` does."
    )
    _paragraph(
        f"Every phone: open that page, trust the new certificate, and remove {before}. Until then "
        "it cannot send; what it holds stays."
    )
    _paragraph(
        "The old key was overwritten here. Whoever copied it can still pretend to be this "
        "workshop to phones that have not removed the old certificate, and to no other."
    )
    return 0


def _paragraph(text: str) -> None:
    print(textwrap.fill(text, 96))


def _none(keys: str) -> int:
    print(f"There is no authority in {keys}: `bradawl serve --lan` makes one.", file=sys.stderr)
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
        print(f"The audit trail could not be written: {error.orig}", file=sys.stderr)
    finally:
        engine.dispose()
