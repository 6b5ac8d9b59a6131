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

    known = [line.visit for line in core.log.visits() if line.visit.startswith(args.visit)]
    if len(known) != 1:
        many = "More than one visit begins" if known else "No visit on this server begins"
        print(f"{many} with “{args.visit}”. The desk lists them all.", file=sys.stderr)
        return 1
    visit = known[0]
    offered = core.forgetting.find(visit, args.name)
    _require_known(offered, [*args.also, *args.keep])
    chosen, undecided = _sorted_out(offered, args.also, args.keep)
    _show(offered, chosen, args.also)
    remains = core.forgetting.remains(visit)
    if undecided and args.yes:
        _refuse(undecided)
        return 1
    chosen += [one for one in undecided if _asked(one)]
    if not chosen:
        print("Nothing is left to erase in this visit.")
        return 0
    _tell(remains)
    if not args.yes and input("This cannot be undone. Type “erase” to go on: ") != "erase":
        print("Nothing was changed.")
        return 1
    owner = core.access.first_owner()
    done = core.forgetting.forget(
        visit,
        [one.put for one in chosen],
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

    there = {one.put for one in (*offered.found, *offered.others)}
    for path in paths:
        if path not in there:
            raise ApiError("unknown_path", f"The visit has no entry “{path}” to erase.", 422)


def _sorted_out(
    offered: Offered, also: Collection[str], keep: Collection[str]
) -> tuple[list[Found], list[Found]]:
    """What is to be erased, and what nobody has decided about."""
    chosen = [one for one in offered.others if one.put in also]
    undecided = []
    for one in offered.found:
        if not one.erasable or one.put in keep:
            continue
        if one.certain or one.put in also:
            chosen.append(one)
        else:
            undecided.append(one)
    return chosen, undecided


def _show(offered: Offered, chosen: Sequence[Found], also: Collection[str]) -> None:
    from bradawl.common.display_text import for_terminal

    for one in chosen:
        what = one.what or "chosen by you"
        if one.is_photo:
            what += ", with the photo" if one.put in also else ", the photo stays without its words"
        print(f"To erase: {what} ({one.put}): {for_terminal(one.text)}")
    for one in offered.found:
        if not one.erasable:
            print(
                f"Stays, the record rests on it: {one.what} ({one.put}): {for_terminal(one.text)}"
            )


def _refuse(undecided: Sequence[Found]) -> None:
    from bradawl.common.display_text import for_terminal

    print("Nothing was erased: these may name somebody, and need your decision.", file=sys.stderr)
    for one in undecided:
        print(
            f"{one.what}: {for_terminal(one.text)}\n    --also {one.put}  or  --keep {one.put}",
            file=sys.stderr,
        )


def _asked(one: Found) -> bool:
    from bradawl.common.display_text import for_terminal

    print(f"Perhaps: {one.what} ({one.put}): {for_terminal(one.text)}")
    return input("Erase it, too? (y/n) ").strip().lower().startswith("y")


def _tell(remains: Remains) -> None:
    """What erasing cannot reach, before anybody confirms."""
    from bradawl.common.display_text import for_terminal

    print("What this cannot reach:")
    for sentence, things in remains.sentences():
        print(f"  {sentence}")
        for thing in things:
            print(f"    {for_terminal(thing)}")
