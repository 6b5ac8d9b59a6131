"""`bradawl forget`: what names a person in one visit is shown, decided about, and erased."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bradawl.access.personal_data.forgetting import Offered
    from bradawl.access.personal_data.remains import Remains
    from bradawl.access.personal_data.search import Found
    from bradawl.serving.app import Bradawl


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    forget = sub.add_parser(
        "forget",
        help="erase what names a seller in one visit: name, address, telephone number",
        description=(
            "Deletes the values from the database, the photos and, when they next sync, from every "
            "phone; hashes and seals stay valid. Cannot be undone. Ends with 0 when all that was "
            "found and decided is erased, 1 when nothing was changed."
        ),
    )
    forget.add_argument("visit", metavar="VISIT", help="the visit's id, or its first characters")
    forget.add_argument(
        "--name",
        action="append",
        default=[],
        metavar="TEXT",
        help="another name, address or number to look for",
    )
    forget.add_argument(
        "--also",
        action="append",
        default=[],
        metavar="PATH",
        help="an entry to erase as well, whole: such as items/papers.receipts/note or a photo's "
        "path, with the photo",
    )
    forget.add_argument(
        "--keep",
        action="append",
        default=[],
        metavar="PATH",
        help="an entry that was found and names nobody",
    )
    forget.add_argument(
        "--yes",
        action="store_true",
        help="do not ask; refuses while an entry is undecided that may name somebody",
    )
    forget.set_defaults(run=_forget)


def _forget(args: argparse.Namespace) -> int:
    from bradawl.common.errors import ApiError
    from bradawl.common.settings import from_environment
    from bradawl.serving.app import Bradawl

    core = Bradawl(from_environment())
    try:
        return _run(core, args)
    except ApiError as error:
        print(error.message, file=sys.stderr)
        return 1
    finally:
        core.close()


def _run(core: Bradawl, args: argparse.Namespace) -> int:
    from bradawl.access.core.audit import SHELL
    from bradawl.access.core.models import desk_device

    matches = [line.visit for line in core.log.visits() if line.visit.startswith(args.visit)]
    if len(matches) != 1:
        many = "More than one visit begins" if matches else "No visit on this server begins"
        print(f"{many} with “{args.visit}”. The desk lists them all.", file=sys.stderr)
        return 1
    visit = matches[0]
    offered = core.forgetting.find(visit, args.name)
    _require_known(offered, [*args.also, *args.keep])
    chosen, undecided = _sorted_out(offered, args.also, args.keep)
    _show(offered, chosen, args.also)
    remains = core.forgetting.remains(visit)
    if undecided and args.yes:
        _refuse(undecided)
        return 1
    chosen += [entry for entry in undecided if _confirmed(entry)]
    if not chosen:
        print("Nothing is left to erase in this visit.")
        return 0
    _print_remains(remains)
    if not args.yes and input("This cannot be undone. Type “erase” to go on: ") != "erase":
        print("Nothing was changed.")
        return 1
    owner = core.access.first_owner()
    done = core.forgetting.forget(
        visit,
        [entry.put for entry in chosen],
        desk_device(owner.id),
        whole=args.also,
        typed=args.name,
    )
    core.access.audit.record(SHELL, f"erased {done} values", f"inspection {visit[:8]}", visit=visit)
    print(f"Erased: {done} values. Phones erase them when they next reach this server.")
    return 0


def _require_known(offered: Offered, paths: Sequence[str]) -> None:
    """Raises ApiError for a path that the visit does not have, or that cannot be erased."""
    from bradawl.common.errors import ApiError

    paths_here = {entry.put for entry in (*offered.found, *offered.others)}
    for path in paths:
        if path not in paths_here:
            raise ApiError("unknown_path", f"The visit has no entry “{path}” to erase.", 422)


def _sorted_out(
    offered: Offered, also: Collection[str], keep: Collection[str]
) -> tuple[list[Found], list[Found]]:
    """What is to be erased, and what nobody has decided about."""
    chosen = [entry for entry in offered.others if entry.put in also]
    undecided = []
    for entry in offered.found:
        if not entry.erasable or entry.put in keep:
            continue
        if entry.certain or entry.put in also:
            chosen.append(entry)
        else:
            undecided.append(entry)
    return chosen, undecided


def _show(offered: Offered, chosen: Sequence[Found], also: Collection[str]) -> None:
    from bradawl.common.display_text import for_terminal

    for entry in chosen:
        what = entry.what or "chosen by you"
        if entry.is_photo:
            what += (
                ", with the photo" if entry.put in also else ", the photo stays without its words"
            )
        print(f"To erase: {what} ({entry.put}): {for_terminal(entry.text)}")
    for entry in offered.found:
        if not entry.erasable:
            text = for_terminal(entry.text)
            print(f"Stays, the record rests on it: {entry.what} ({entry.put}): {text}")


def _refuse(undecided: Sequence[Found]) -> None:
    from bradawl.common.display_text import for_terminal

    print("Nothing was erased: these may name somebody, and need your decision.", file=sys.stderr)
    for entry in undecided:
        print(f"{entry.what}: {for_terminal(entry.text)}", file=sys.stderr)
        print(f"    --also {entry.put}  or  --keep {entry.put}", file=sys.stderr)


def _confirmed(entry: Found) -> bool:
    from bradawl.common.display_text import for_terminal

    print(f"Perhaps: {entry.what} ({entry.put}): {for_terminal(entry.text)}")
    return input("Erase it, too? (y/n) ").strip().lower().startswith("y")


def _print_remains(remains: Remains) -> None:
    """What erasing cannot reach, before anybody confirms."""
    from bradawl.common.display_text import for_terminal

    print("What this cannot reach:")
    for sentence, things in remains.sentences():
        print(f"  {sentence}")
        for thing in things:
            print(f"    {for_terminal(thing)}")
