"""Faults between the price files and what costs money: each in every region, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from bradawl.checklists.files import near
from bradawl.checklists.shapes.items import Area, Item
from bradawl.checklists.shapes.prices import Prices
from bradawl.checklists.shapes.tables import Baseline
from bradawl.judge.record.regions import CURRENCIES, REGIONS
from bradawl.language import text

if TYPE_CHECKING:
    from pydantic import BaseModel

    from bradawl.checklists.files import Checklist, Fault, File, Place

#: How a price may be known; law and the custom of the trade say nothing of money.
KNOWN = ("read", "read-secondary", "assumption")
FIGURES = ("hourly_rate", "margin")
TABLES = ("unseen", "work", "upkeep")


def check(checklist: Checklist, read: list[tuple[File, BaseModel]]) -> Iterator[Fault]:
    """A price in each region for whatever costs money there, and no price for anything else."""
    priced: dict[str, list[str]] = {table: [] for table in TABLES}
    for file, place, table, name, item in _costing(checklist, read):
        priced[table].append(name)
        for region in (item.applies.region if item else None) or REGIONS:
            prices = checklist.prices.get(region)
            if prices is None or name not in getattr(prices, table):
                yield file.fault(
                    place,
                    text("checklists-no-price", name=name, region=region, table=table),
                )
    seen: dict[str, str] = {}
    for file, model in read:
        if isinstance(model, Prices):
            yield from _file(checklist, file, model, priced)
            if model.prices in seen:
                wrong = text(
                    "checklists-prices-twice", region=model.prices, file=seen[model.prices]
                )
                yield file.fault(("prices",), wrong)
            seen[model.prices] = file.name


def _costing(
    checklist: Checklist, read: list[tuple[File, BaseModel]]
) -> Iterator[tuple[File, Place, str, str, Item | None]]:
    """What needs a price: where it stands, in which table under which name, for which item."""
    items = {item.id: item for item in checklist.items}
    for file, model in read:
        if isinstance(model, Area):
            for n, item in enumerate(model.items):
                for m, remedy in enumerate(item.remedies):
                    place: Place = ("items", n, "remedies", m)
                    yield file, place, "work", f"{item.id}/{remedy.id}", item
                if item.unseen:
                    yield file, ("items", n, "unseen"), "unseen", item.id, item
        elif isinstance(model, Baseline):
            for n, row in enumerate(model.baseline):
                yield file, ("baseline", n), "upkeep", row.id, items.get(row.item)


def _pieces(checklist: Checklist) -> dict[str, bool]:
    """Whether a remedy is priced by the piece, by its name in the price files."""
    return {
        f"{item.id}/{remedy.id}": remedy.per is not None
        for item in checklist.items
        for remedy in item.remedies
    }


def _wired(checklist: Checklist) -> dict[str, bool]:
    """Whether the pieces of a remedy are wires of which each has a kind."""
    return {
        f"{item.id}/{remedy.id}": remedy.per == "wires" and "wires" in item.answers
        for item in checklist.items
        for remedy in item.remedies
    }


def _file(
    checklist: Checklist, file: File, model: Prices, priced: dict[str, list[str]]
) -> Iterator[Fault]:
    right = CURRENCIES[model.prices]
    if model.currency != right:
        wrong = text(
            "checklists-currency", region=model.prices, currency=model.currency, right=right
        )
        yield file.fault(("currency",), wrong)
    pieces, wired = _pieces(checklist), _wired(checklist)
    for name, job in model.work.items():
        if name in pieces and pieces[name] != (job.each is not None):
            yield file.fault(("work", name), text("checklists-each", name=name))
        if name in wired and wired[name] != (job.kinds is not None):
            yield file.fault(("work", name), text("checklists-kinds", name=name))
    rows: list[tuple[Place, Any]] = [((name,), getattr(model, name)) for name in FIGURES]
    for table in TABLES:
        for name, row in getattr(model, table).items():
            rows.append(((table, name), row))
            if name not in priced[table]:
                hint = near(name, priced[table])
                wrong = text("checklists-not-priced", name=name, table=table, hint=hint)
                yield file.fault((table, name), wrong)
    for place, row in rows:
        source = checklist.sources.get(row.source)
        if source is None or source.status not in KNOWN:
            yield file.fault(
                (*place, "source"),
                text("checklists-price-source", name=row.source),
            )
