"""`bradawl invite`, a way in for whoever has a shell on the server, and `bradawl authority`."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from bradawl.access import authority_commands
from bradawl.language import listed, text

if TYPE_CHECKING:
    from bradawl.access.web.auth import Access


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add this part's commands."""
    invite = sub.add_parser("invite", help=text("cli-invite"))
    invite.add_argument(
        "name", metavar=text("cli-arg-name"), nargs="?", help=text("cli-invite-name")
    )
    invite.set_defaults(run=_invite)
    authority_commands.register(sub)


def one_time_path(access: Access, person_id: str | None = None) -> str:
    """The path, code included, of the page on which a person sets a passphrase.

    For the terminal of the server only. None means the first owner.
    """
    who = person_id or access.people.first_owner().id
    return f"/desk/first#{access.people.invite(who)}"


def _invite(args: argparse.Namespace) -> int:
    from bradawl.access.core.audit import SHELL
    from bradawl.access.web.auth import Access
    from bradawl.common.settings import from_environment
    from bradawl.database.connection import migrate, older_revision, open_engine

    engine = open_engine(from_environment().database_url)
    try:
        if older_revision(engine) is not None:  # the server's start makes a backup first
            print(text("cli-invite-older"), file=sys.stderr)
            return 1
        migrate(engine)
        access = Access(engine)
        person = access.people.first_owner()
        if args.name:
            here = [person for person in access.people.everybody() if not person.disabled]
            named = [person for person in here if person.name.casefold() == args.name.casefold()]
            if not named:
                names = listed([person.name for person in here])
                said = "cli-invite-unknown" if here else "cli-invite-nobody"
                print(text(said, name=args.name, names=names), file=sys.stderr)
                return 1
            person = access.people.person(named[0].id)
        path = one_time_path(access, person.id)
        access.audit.record(
            SHELL, "one-time link made", person.name, subject=person.name, subject_id=person.id
        )
        print(text("cli-invite-made", name=person.name), f"  {path}", sep="\n")
        return 0
    finally:
        engine.dispose()
