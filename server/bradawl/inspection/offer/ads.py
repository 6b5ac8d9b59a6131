"""The ads of a car as they were, with every price that was asked, for desk and report."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.inspection import cell_values
from bradawl.inspection.offer.paths import below, date_in, photos

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells

ASKING = "about/asking_price"


@dataclass(frozen=True)
class Price:
    """What was asked from a day on, in whole units of the visit's currency."""

    amount: int
    date: str


@dataclass(frozen=True)
class Ad:
    """An ad as it was: `prices` with the latest last, `photos` by their SHA-256."""

    id: str
    text: str
    source: str
    date: str
    prices: tuple[Price, ...] = ()
    photos: tuple[str, ...] = ()


def ads_of(cells: Cells) -> list[Ad]:
    """Every ad, the oldest first."""
    found = []
    for name, paths in below(cells, "ads").items():
        if "" not in paths:
            continue
        value = cell_values.mapping(paths[""]["value"])
        prices = sorted(
            (date_in(price), str(cell["at"]), amount)
            for path, cell in paths.items()
            if path.startswith("prices/")
            and (price := cell_values.mapping(cell["value"]))
            and isinstance(amount := price.get("amount"), int)
            and not isinstance(amount, bool)
        )
        ad = Ad(
            name,
            cell_values.words(value.get("text")),
            cell_values.words(value.get("source")),
            date_in(value),
            tuple(Price(amount, date) for date, _, amount in prices),
            tuple(photos(paths)),
        )
        found.append((ad.date, str(paths[""]["at"]), ad))
    return [ad for _, _, ad in sorted(found, key=lambda row: row[:2])]
