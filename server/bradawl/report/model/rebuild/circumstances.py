"""What a report's pages are made of beside its record, named in the file so that it can be printed
again: the letterhead, names of devices, and what does not follow from the entries that are shown.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypedDict

from bradawl.inspection.signed_verdict import PATH
from bradawl.judge import entry_kind
from bradawl.report.model.contents import ReportIdentity
from bradawl.report.model.editions.edition_filter import BLANK
from bradawl.report.model.rebuild.shown_cells import cells_of

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event
    from bradawl.report.model.editions.edition import EditionView

__all__ = ["Circumstances", "circumstances_of"]


class Circumstances(TypedDict):
    """`printer` names the program that drew the pages (`printer.py`).

    `letterhead` and `check_page` are the shop's, `replaced_made` when the report that this one
    replaces was made, `devices` names by id, `choice` which of place and seller the head tells,
    `seal_problem` the id of a sentence, `drives` what was signed and what is judged today of the
    way home, where they differ and money is left out. `beside` and `sealed_beside` are cells by
    path that do not follow from the record, None for one that only the record has.
    `bought` is the car as it was bought, where its price is told: its `day`, its `price_cents`, and
    the `cells` that were others then; empty without a purchase or work.
    `prints_alike` is False where the issuer's own program printed other pages the second time.
    """

    printer: str
    letterhead: list[str]
    check_page: str
    replaced_made: str
    devices: dict[str, str]
    choice: list[str]
    seal_problem: str
    drives: list[str]
    with_plan: bool
    bought: dict[str, Any]
    beside: dict[str, Any]
    sealed_beside: dict[str, Any]
    prints_alike: bool


def circumstances_of(
    view: EditionView, identity: ReportIdentity, *, printer: str, with_plan: bool
) -> Circumstances:
    """Those of a report that is about to be printed."""
    seals = [
        {"n": seal.n, "at": seal.at, "device": seal.device, "value": seal.value}
        for seal in view.seals
    ]
    cells, sealed = cells_of(view.shown, _as_shown(view.amendments), seals)
    told = {PATH, *(event["put"] for event in view.amendments)}
    own_sealed = view.sealed_cells or {}
    problem = view.seals[-1].problem if view.seals else None
    return {
        "printer": printer,
        "letterhead": list(identity.letterhead),
        "check_page": identity.check_page,
        "replaced_made": identity.replaces[1] if identity.replaces else "",
        "devices": dict(view.devices),
        "choice": [name for name in ("place", "seller") if getattr(view.choice, name)],
        "seal_problem": problem.id if problem else "",
        "drives": list(view.drives) if view.verdicts and view.money is None else [],
        "with_plan": with_plan,
        "bought": _bought(view),
        "beside": _beside(view.cells, cells, told),
        "sealed_beside": _beside(
            {path: cell for path, cell in own_sealed.items() if path in told},
            {path: cell for path, cell in sealed.items() if path in told},
            told,
        ),
        "prints_alike": True,
    }


def _bought(view: EditionView) -> dict[str, Any]:
    bought = view.bought
    if bought is None:
        return {}
    gone: dict[str, Any] = {path: None for path in view.cells if path not in bought.cells}
    others = {
        path: _told_of_then(path, cell)
        for path, cell in bought.cells.items()
        if view.cells.get(path) != cell
    }
    cells = dict(sorted({**gone, **others}.items()))
    return {"day": bought.day, "price_cents": bought.price_cents, "cells": cells}


def _told_of_then(path: str, cell: Any) -> dict[str, Any]:
    """A cell of the time of the purchase; a text that stands no more was let out by nobody."""
    if entry_kind(path) not in ("note", "name", "photo") or cell["value"] is None:
        return dict(cell)
    return {"value": BLANK, "at": cell["at"], "others": [], "withheld": True}


def _as_shown(amendments: Sequence[Event]) -> list[dict[str, Any]]:
    """Amendments as a record has them: at the moment by which they are ranked."""
    return [{**event, "at": event.get("rank") or event["at"]} for event in amendments]


def _beside(
    own: Mapping[str, Any], follows: Mapping[str, Any], told: Collection[str]
) -> dict[str, Any]:
    """What must be put beside the cells that follow from a record to have one's own.

    `told` are paths that the record names anyway, as what was changed after signing.
    """
    beside: dict[str, Any] = {path: None for path in follows if path not in own}
    hidden = 0
    for path, cell in own.items():
        if cell == follows.get(path):
            continue
        hides = cell.get("withheld") or cell.get("erased")
        # when something was written tells of what is left out; only a reason given for a grade
        # counts or not by whether it came after
        if hides and not path.endswith("/why") and not path.startswith("plan/temporary/"):
            cell = {**cell, "at": ""}
        is_blob = "/photos/" in path or path.startswith("media/")
        if is_blob and cell.get("value") is None and path not in told:
            hidden += 1  # nor is the digest of a photo that is left out told
            path = f"{path.rpartition('/')[0]}/{hidden}"
        beside[path] = cell
    return dict(sorted(beside.items()))
