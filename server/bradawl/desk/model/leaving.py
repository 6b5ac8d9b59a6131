"""The bargain over a car and what was seen of it before, as the desk's page shows them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.desk.model import photo_views
from bradawl.desk.model.labels import item_title
from bradawl.desk.model.visits.finding_list import price_groups
from bradawl.inspection import cell_values
from bradawl.inspection.offer.leaving import again_of
from bradawl.inspection.paying_less import PriceReason
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge.measurements import identity
from bradawl.judge.trouble.leaving import same_car

if TYPE_CHECKING:
    from bradawl.desk.model.visits.summaries import Summaries
    from bradawl.judge.values.types import Again

#: Of a car that was seen more often than this, the latest.
_MOST_VISITS = 5


@dataclass(frozen=True)
class Reason:
    """A reason to pay less with the photos of its findings."""

    reason: PriceReason
    photos: list[str]


@dataclass(frozen=True)
class Before:
    """An earlier visit to the same car: what was found then, and how it stands now."""

    visit: str
    again: Again
    #: Title, grade then (of what is new: now), how it stands now, and the grade now.
    rows: list[tuple[str, str, str, str]]

    @property
    def change(self) -> int | None:
        """By how much the price that is asked has moved since."""
        then, now = self.again["asked_then"], self.again["asked_now"]
        return None if then is None or now is None else now - then


def reasons(snapshot: Snapshot) -> list[Reason]:
    """What speaks for paying less and costs something, in the groups' order."""
    arguments = ((snapshot.assessment.get("money") or {}).get("price") or {}).get("arguments") or []
    covers = {row.get("id") or "": row.get("covers") or [] for row in arguments}
    return [
        Reason(one, [sha for item in covers.get(one.id, []) for sha in _photos(snapshot, item)])
        for group in price_groups(snapshot, snapshot.assessment)
        for one in group.reasons
        if one.id and one.amount > 0
    ]


def _photos(snapshot: Snapshot, item: str) -> list[str]:
    return photos_below(snapshot, f"items/{item}/photos/")


def photos_below(snapshot: Snapshot, start: str) -> list[str]:
    """The SHA-256 of the photos whose paths begin so."""
    names = [
        path.rsplit("/", 1)[-1]
        for path, cell in sorted(snapshot.cells.items())
        if path.startswith(start) and "/photos/" in path and cell["value"] is not None
    ]
    return [name for name in names if photo_views.SHA256.fullmatch(name)]


def before(
    summaries: Summaries, snapshot_of: Callable[[str], Snapshot], snapshot: Snapshot
) -> list[Before]:
    """The visits to the same car from before this one, the latest first."""
    vin = cell_values.words(cell_values.value(snapshot.cells, "car/vin"))
    number = identity.normal(vin)
    if not number:
        return []
    rows = [row.summary for row in summaries.find(number)[0] if row.summary is not None]
    named = [{"visit": one.visit, "vin": one.vin} for one in rows if one.visit != snapshot.visit]
    began = _began(snapshot)
    found = [snapshot_of(visit) for visit in same_car(vin, named)]
    found = sorted((one for one in found if _began(one) < began), key=_began, reverse=True)
    return [_before(one, snapshot) for one in found[:_MOST_VISITS]]


def _began(snapshot: Snapshot) -> str:
    cell = snapshot.cells.get("about/started")
    return str(cell["at"]) if cell is not None else ""


def _before(earlier: Snapshot, snapshot: Snapshot) -> Before:
    again = again_of(earlier, snapshot)
    rows = []
    for row in sorted(again["rows"], key=lambda one: (one["since"] == "new", one["item"])):
        of = earlier if row["then"] else snapshot
        title = item_title(of.texts, row["item"])
        rows.append((title, row["then"] or row["now"], str(row["since"]), row["now"]))
    return Before(earlier.visit, again, rows)
