"""The car as it was bought: its record up to the purchase, and nothing that was done to it since.

Work makes a car better, and money spent on it is gone: neither may make it look cheaper. What a
car was worth at the curb stays as it stood then.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection.signed_verdict import Verdict, verdict_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import assess, fold
from bradawl.judge.ledger import life

if TYPE_CHECKING:
    from bradawl.judge.values.types import Assessment, Cells, LifeStep


@dataclass(frozen=True)
class Bought:
    """A car as it was bought: its cells then, and what was judged of them on that day.

    `day` is YYYY-MM-DD, "" for one that was worked on and that nobody bought; `price_cents` is what
    was paid, None where nobody said.
    """

    day: str
    price_cents: int | None
    cells: Cells
    assessment: Assessment


def bought_of(snapshot: Snapshot) -> Bought | None:
    """The car as it was bought; None for one that nobody bought or worked on."""
    step = purchase_of(snapshot)
    if step is None and not any(path.startswith("work/") for path in snapshot.cells):
        return None
    cells, assessment = assessed_as_bought(snapshot)
    day, price_cents = (step["date"], step["price_cents"]) if step else ("", None)
    return Bought(day, price_cents, cells, assessment)


def verdict_at_purchase(assessment: Mapping[str, Any], bought: Bought | None) -> Verdict | None:
    """What the judge of today says: of buying and price as it was bought, of the drive as found.

    `assessment` is that of the record as it stands.
    """
    if bought is None:
        return verdict_of(assessment)
    decision = {**bought.assessment["decision"], "drive": assessment["drive_home"]["answer"]}
    return verdict_of({"decision": decision, "money": bought.assessment["money"]})


def purchase_of(snapshot: Snapshot) -> LifeStep | None:
    """The step at which the car became the shop's; None for one that is looked at."""
    return life.bought(life.steps(snapshot.events))


def cells_as_bought(snapshot: Snapshot, bought: LifeStep | None) -> Cells:
    """The cells as they stood at the purchase, without work on the car."""
    cells = snapshot.cells
    if bought is not None:
        before = [
            event for event in snapshot.events if (event.get("rank") or event["at"]) <= bought["at"]
        ]
        cells = fold(before)
    return {path: cell for path, cell in cells.items() if not path.startswith("work/")}


def assessed_as_bought(snapshot: Snapshot) -> tuple[Cells, Assessment]:
    """(cells, assessment) as they stood; those of now where nobody bought or worked on the car."""
    bought = purchase_of(snapshot)
    if bought is None and not any(path.startswith("work/") for path in snapshot.cells):
        return snapshot.cells, snapshot.assessment
    cells = cells_as_bought(snapshot, bought)
    day = (bought["date"] if bought else "") or snapshot.day
    return cells, assess({"visit": snapshot.visit, "cells": cells}, snapshot.bundle["rules"], day)
