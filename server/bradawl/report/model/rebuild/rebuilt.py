"""Rebuilds what a report was printed from: out of its attached record, and no other log.

What does not follow from the entries that a record shows (blacked out texts, values set aside,
corrected clocks) stands beside it (`circumstances.py`).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from bradawl.inspection.as_bought import Bought
from bradawl.inspection.snapshot import Erased, Seal, Snapshot
from bradawl.judge import assess, event_id
from bradawl.language import message, spoken, text
from bradawl.report.model.editions.choice import Choice
from bradawl.report.model.editions.edition import Edition, EditionView, edition_view
from bradawl.report.model.editions.edition_filter import EditionFilter
from bradawl.report.model.rebuild.shown_cells import (
    amendment_event,
    cells_of,
    event_of,
    with_beside,
)

if TYPE_CHECKING:
    from bradawl.judge.values.types import Assessment, Bundle, Record
    from bradawl.report.model.rebuild.circumstances import Circumstances

__all__ = ["Rebuilt", "rebuilt"]


@dataclass(frozen=True)
class Rebuilt:
    """What the pages are built from, and the parts of the judgment that the record has otherwise.

    `view` says what the record claims of the judgment; `otherwise` names the parts (items by their
    ids) for which the judge here comes to something else, `graver` those of them that no note,
    photo, name, sum or plan that is left out has a say in: grades, and the answer for the way home.
    """

    snapshot: Snapshot
    view: EditionView
    otherwise: tuple[str, ...]
    graver: tuple[str, ...]


def rebuilt(
    record: Mapping[str, Any],
    printed: Circumstances,
    bundle: Bundle,
    *,
    today: str,
    photo: Callable[[str], bytes | None],
) -> Rebuilt:
    """What a report was printed from, for the reader that is set.

    `bundle` is the checklist that the record names, `today` the day of the report (YYYY-MM-DD).
    Raises KeyError, TypeError, ValueError and the like for a record of another shape.
    """
    cells, sealed = cells_of(record["shown"], record["amendments"], record["seals"])
    cells = with_beside(cells, printed["beside"])
    seals = [_seal(seal, printed["seal_problem"]) for seal in record["seals"]]
    events = [event_of(*row) for row in record["shown"]]
    snapshot = Snapshot(
        visit=str(record["visit"]),
        events=events,
        cells=cells,
        bundle=bundle,
        assessment=assess({"visit": record["visit"], "cells": cells}, bundle["rules"], today),
        seals=seals,
        amendments=[amendment_event(amendment, []) for amendment in record["amendments"]],
        sealed_cells=with_beside(sealed, printed["sealed_beside"]) if seals else None,
        photo=photo,
        erased=tuple(_erased(record["erased"])),
    )
    edition: Edition = record["edition"]
    # what is left out is left out already: all that stands here was let out
    let_out = frozenset(event_id(event) for event in events)
    choice = Choice(
        place="place" in printed["choice"], seller="seller" in printed["choice"], reviewed=let_out
    )
    allowed = EditionFilter(snapshot, edition, choice)
    drives = printed["drives"]
    bought = _bought(printed, snapshot, today)
    built = edition_view(snapshot, edition, choice, printed["devices"], bought)
    claimed = cast("Assessment", record["assessment"])
    view = EditionView(
        **{
            **{name: getattr(built, name) for name in EditionView.__dataclass_fields__},
            "cells": cells,
            "sealed_cells": snapshot.sealed_cells,
            "assessment": claimed,
            "amendments": snapshot.amendments,
            "left_out": dict(record["left_out"]),
            "unconfirmed": int(record["unconfirmed"]),
            "verdicts": built.verdicts
            if edition == "partner"
            else tuple(text("judge-drive-" + drive.replace("_", "-")) for drive in drives) or None,
        }
    )
    here = spoken(allowed.assessment(built.bought), allowed.texts())
    return Rebuilt(snapshot, view, tuple(_otherwise(claimed, here)), tuple(_graver(claimed, here)))


def _bought(printed: Circumstances, snapshot: Snapshot, today: str) -> Bought | None:
    """The car as it was bought, by what the issuer says was otherwise then."""
    then = printed["bought"]
    if not then:
        return None
    cells = with_beside(snapshot.cells, then["cells"])
    day = str(then["day"])
    record: Record = {"visit": snapshot.visit, "cells": cells}
    assessment = assess(record, snapshot.bundle["rules"], day or today)
    cents = then["price_cents"]
    return Bought(day, cents if type(cents) is int else None, cells, assessment)


def _seal(seal: Mapping[str, Any], problem: str) -> Seal:
    return Seal(
        n=int(seal["n"]),
        value=dict(seal["value"]),
        at=str(seal["at"]),
        device=str(seal["device"]),
        holds=bool(seal["held"]),
        problem=message(problem) if problem and not seal["held"] else None,
    )


def _erased(by_day: Mapping[str, int]) -> Iterable[Erased]:
    for day, count in by_day.items():
        ms = int(dt.datetime.fromisoformat(f"{day}T00:00+00:00").timestamp() * 1000) if day else ""
        yield from [Erased("", f"{ms}")] * int(count)


def _otherwise(claimed: Mapping[str, Any], here: Mapping[str, Any]) -> Iterable[str]:
    """The parts of a judgment that are not the same, items by their ids."""
    for part in sorted(claimed.keys() | here.keys()):
        one, other = claimed.get(part), here.get(part)
        if part == "items" and isinstance(one, Mapping) and isinstance(other, Mapping):
            yield from sorted(
                item for item in one.keys() | other.keys() if one.get(item) != other.get(item)
            )
        elif one != other:
            yield part


def _graver(claimed: Mapping[str, Any], here: Mapping[str, Any]) -> Iterable[str]:
    """Items whose grades are not the same, and the way home where its answer is another."""
    graded = [
        {item: judged.get("grade") for item, judged in one["items"].items()}
        for one in (claimed, here)
    ]
    for item in sorted(graded[0].keys() | graded[1].keys()):
        if graded[0].get(item) != graded[1].get(item):
            yield item
    if list(claimed["findings"]) != list(here["findings"]):
        yield "findings"
    drives = [
        [how.get("drive_home", {}).get("answer") for how in (one, one.get("now") or {})]
        for one in (claimed, here)
    ]
    mended = [(one.get("now") or {}).get("mended") for one in (claimed, here)]
    if drives[0] != drives[1] or mended[0] != mended[1]:
        yield "drive_home"
