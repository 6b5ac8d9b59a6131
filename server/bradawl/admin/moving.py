"""`bradawl move-out` and `bradawl move-in`: to another machine in one file."""

from __future__ import annotations

import argparse
import contextlib
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.admin.backups import answered, erased_again
from bradawl.language import listed, message, text
from bradawl.language.counts import counts

if TYPE_CHECKING:
    from bradawl.common.settings import Settings
    from bradawl.serving.backups.moving import MovedIn

#: A line on the terminal; longer than any passphrase.
_MOST_CHARACTERS = 1000


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add these commands."""
    out = sub.add_parser(
        "move-out", help=text("cli-move-out"), description=text("cli-move-out-what")
    )
    out.add_argument("file", type=Path, metavar=text("cli-arg-file"))
    out.set_defaults(run=_move_out)
    moving_in = sub.add_parser(
        "move-in", help=text("cli-move-in"), description=text("cli-move-in-what")
    )
    moving_in.add_argument("file", type=Path, metavar=text("cli-arg-file"))
    moving_in.add_argument("--replace", action="store_true", help=text("cli-move-in-replace"))
    moving_in.set_defaults(run=_move_in)


def _asked(prompt: str) -> str:
    """A passphrase as somebody types it, unseen; from a pipe, its next line."""
    if sys.stdin is not None and sys.stdin.isatty():
        import getpass

        return getpass.getpass(f"{prompt} ")
    return sys.stdin.readline(_MOST_CHARACTERS).rstrip("\r\n") if sys.stdin is not None else ""


def _chosen() -> str:
    """A passphrase that was typed twice. Raises BackupError for one that protects nothing."""
    from bradawl.access.people.passphrases import require_good
    from bradawl.backup.archive import BackupError
    from bradawl.common.errors import ApiError

    print(text("cli-move-passphrase-why"))
    first = _asked(text("cli-move-passphrase"))
    again = _asked(text("cli-move-passphrase-again"))
    try:
        require_good(first, again, ("bradawl",))
    except ApiError as error:
        raise BackupError(error.message) from error
    return first


def _move_out(args: argparse.Namespace) -> int:
    from bradawl.common.settings import from_environment

    settings = from_environment()
    return answered(lambda: _moved_out(settings, args.file), settings)


def _moved_out(settings: Settings, file: Path) -> int:
    from bradawl.admin.backups import complain, note_written
    from bradawl.backup.create import described, note_made
    from bradawl.report.signing.known_signers import Signers
    from bradawl.serving.backups.moving import move_out

    passphrase = _chosen()
    with contextlib.suppress(OSError):  # a full data folder must not stop a move
        Signers(settings.data, settings.keys).note_own()
    contents = move_out(settings, file, passphrase)
    note_made(contents, file)
    note_written(settings, file)
    print(described(file, contents), text("cli-moved-out", file=str(file)), sep="\n")
    waiting = settings.data / "waiting"
    if waiting.is_dir() and any(waiting.iterdir()):
        print(text("cli-moved-out-waiting", folder=str(waiting)))
    for sentence in contents.notes:
        print(sentence)
    if not contents.faults:
        return 0
    complain(contents.faults)
    print(text("cli-backup-faults", count=len(contents.faults)), file=sys.stderr)
    return 1


def _move_in(args: argparse.Namespace) -> int:
    from bradawl.common.settings import from_environment

    settings = from_environment()
    return answered(lambda: _moved_in(settings, args), settings)


def _moved_in(settings: Settings, args: argparse.Namespace) -> int:
    from bradawl.access.core.private_files import make_private
    from bradawl.admin.backups import complain
    from bradawl.backup.history import moment_of
    from bradawl.backup.sealed import head_of
    from bradawl.serving.backups.moving import move_in

    with args.file.open("rb") as file:
        head_of(file, str(args.file))  # what it is, before anybody types anything
    moved = move_in(settings, args.file, _asked(text("cli-move-passphrase")), aside=args.replace)
    make_private(settings)
    done = moved.restored
    print(
        text(
            "cli-moved-in",
            made=moment_of(done.made),
            **counts(events=done.events, devices=done.devices, photos=done.photos),
        )
    )
    if done.aside:
        print(text("cli-restored-before"), *(f"  {path}" for path in done.aside), sep="\n")
    erased_again(settings)
    print(*_phones(settings, moved), text("cli-moved-in-start"), sep="\n")
    if not done.faults:
        return 0
    complain(done.faults)
    print(text("cli-restored-faults", count=len(done.faults)), file=sys.stderr)
    return 1


def _phones(settings: Settings, moved: MovedIn) -> list[str]:
    """What becomes of the phones: they know the workshop by the names of its old machine."""
    from bradawl.access.authority import lifecycle
    from bradawl.access.authority.certificates import speaks_for
    from bradawl.access.authority.names import this_machine

    said = [text("cli-restored-sign-in")]
    phones = moved.restored.phones
    said.append(
        text("cli-restored-phones", names=", ".join(phones))
        if phones
        else text("cli-restored-no-phones")
    )
    standing = lifecycle.read(lifecycle.folder_in(settings.keys))
    if standing is None:
        return said
    names = [name for name in speaks_for(standing.authority.issuer) if name.endswith(".local")]
    here = this_machine().names
    if names and not set(names) & set(here):
        said.append(str(message("cli-moved-in-name", names=listed(names), host=names[0][:-6])))
    elif names:
        said.append(text("cli-moved-in-trusted", names=listed(names)))
    return said
