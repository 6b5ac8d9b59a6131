"""`bradawl forget`: what names a person in one visit is shown, decided about, and erased."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from bradawl.language import message, text

if TYPE_CHECKING:
    from bradawl.access.personal_data.forgetting import Offered
    from bradawl.access.personal_data.remains import Remains
    from bradawl.access.personal_data.search import Found
    from bradawl.serving.core import Bradawl


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    forget = sub.add_parser("forget", help=text("cli-forget"), description=text("cli-forget-what"))
    forget.add_argument("visit", metavar=text("cli-arg-car"), help=text("cli-car"))
    for option, typed in (("name", "text"), ("also", "path"), ("keep", "path")):
        forget.add_argument(
            f"--{option}",
            action="append",
            default=[],
            metavar=text("cli-arg-" + typed),
            help=text("cli-forget-" + option),
        )
    forget.add_argument("--yes", action="store_true", help=text("cli-forget-yes"))
    forget.set_defaults(run=_forget)


def _forget(args: argparse.Namespace) -> int:
    from bradawl.common.errors import ApiError
    from bradawl.common.settings import from_environment
    from bradawl.serving.core import Bradawl

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
    from bradawl.access.web.forget import ERASED

    matches = [line.visit for line in core.log.visits() if line.visit.startswith(args.visit)]
    if len(matches) != 1:
        said = "cli-car-many" if matches else "cli-car-none"
        print(text(said, begins=args.visit), file=sys.stderr)
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
        print(text("cli-forget-nothing"))
        return 0
    _print_remains(remains)
    word = text("cli-forget-word")
    if not args.yes and input(text("cli-forget-sure", word=word)).strip() != word:
        print(text("cli-forget-unchanged"))
        return 1
    owner = core.access.first_owner()
    done = core.forgetting.forget(
        visit,
        [entry.put for entry in chosen],
        desk_device(owner.id),
        whole=args.also,
        typed=args.name,
    )
    core.access.audit.record(SHELL, ERASED, f"{visit[:8]}: {done}", visit=visit)
    print(text("access-erase-done", count=done))
    return 0


def _require_known(offered: Offered, paths: Sequence[str]) -> None:
    """Raises ApiError for a path that the visit does not have, or that cannot be erased."""
    from bradawl.common.errors import ApiError

    paths_here = {entry.put for entry in (*offered.found, *offered.others, *offered.deleted)}
    for path in paths:
        if path not in paths_here:
            raise ApiError("unknown_path", message("access-unknown-path", path=path), 422)


def _sorted_out(
    offered: Offered, also: Collection[str], keep: Collection[str]
) -> tuple[list[Found], list[Found]]:
    """What is to be erased, and what nobody has decided about."""
    chosen = [entry for entry in (*offered.others, *offered.deleted) if entry.put in also]
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
    for entry in chosen:
        photo = "-photo" if entry.put in also else "-caption"
        said = "cli-forget-erase" + (photo if entry.is_photo else "")
        print(text(said, **_told(entry)))
    for entry in offered.found:
        if not entry.erasable:
            print(text("cli-forget-stays", **_told(entry)))


def _told(entry: Found) -> dict[str, str]:
    from bradawl.common.display_text import for_terminal

    return {
        "what": text("access-found-" + entry.what if entry.what else "cli-forget-chosen"),
        "path": entry.put,
        "text": for_terminal(entry.text),
    }


def _refuse(undecided: Sequence[Found]) -> None:
    print(text("cli-forget-undecided"), file=sys.stderr)
    for entry in undecided:
        print(text("cli-forget-undecided-one", **_told(entry)), file=sys.stderr)
        print(text("cli-forget-decide", path=entry.put), file=sys.stderr)


def _confirmed(entry: Found) -> bool:
    print(text("cli-forget-perhaps", **_told(entry)))
    yes = text("cli-forget-yes-letter")
    return input(text("cli-forget-too", yes=yes)).strip().lower().startswith(yes)


def _print_remains(remains: Remains) -> None:
    """What erasing cannot reach, before anybody confirms."""
    from bradawl.common.display_text import for_terminal

    print(text("cli-forget-remains"))
    for sentence, things in remains.sentences():
        print(f"  {sentence}")
        for thing in things:
            print(f"    {for_terminal(thing)}")
