"""Faults of drive home and first week that show beside the checklist: names that nothing bears."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from bradawl.checklists.files import near
from bradawl.checklists.shapes.driving import DrivingFile
from bradawl.checklists.shapes.week import Week
from bradawl.language import text

if TYPE_CHECKING:
    from pydantic import BaseModel

    from bradawl.checklists.files import Checklist, Fault, File, Place
    from bradawl.checklists.shapes.driving import Driving
    from bradawl.checklists.shapes.items import Item

    #: Where a name stands, the name, and all that it may be.
    Named = tuple[Place, str, Iterable[str]]


def check(
    checklist: Checklist, read: list[tuple[File, BaseModel]], items: dict[str, Item]
) -> Iterator[Fault]:
    """Every name in the two tables that nothing bears, each at its line."""
    for file, model in read:
        named: Iterable[Named] = ()
        if isinstance(model, DrivingFile):
            named = _of_the_drive(checklist, model.driving, items)
        elif isinstance(model, Week):
            named = _of_the_week(checklist, model, items)
        for place, name, known in named:
            if name not in known:
                wrong = text("checklists-no-name", name=name, hint=near(name, known))
                yield file.fault(place, wrong)


def _of_the_drive(
    checklist: Checklist, driving: Driving, items: dict[str, Item]
) -> Iterator[Named]:
    """What the drive home names where, and what of its kind there is."""
    areas = [area.area for area in checklist.areas]
    facts = [fact.id for fact in checklist.facts]
    signs = [sign.id for sign in driving.signs]
    kit = [row.id for row in driving.kit]
    for kind in ("legs", "signs", "watch", "kit"):
        for n, row in enumerate(getattr(driving, kind)):
            yield ("driving", kind, n, "source"), row.source, checklist.sources
    for n, sign in enumerate(driving.signs):
        yield ("driving", "signs", n, "area"), sign.area, areas
        for name in sign.cautions:
            yield ("driving", "signs", n, "cautions"), name, checklist.cautions
        if sign.figure is not None:
            yield ("driving", "signs", n, "figure"), sign.figure, facts
    for n, watch in enumerate(driving.watch):
        if watch.sign is not None:
            yield ("driving", "watch", n, "sign"), watch.sign, signs
        for name in watch.kit:
            yield ("driving", "watch", n, "kit"), name, kit
        for m, found in enumerate(watch.when):
            for name in found.item:
                yield ("driving", "watch", n, "when", m, "item"), name, items


def _of_the_week(checklist: Checklist, model: Week, items: dict[str, Item]) -> Iterator[Named]:
    """What the first week names where, and what of its kind there is."""
    known = [*items, *(area.area for area in checklist.areas)]
    upkeep = [row.id for row in checklist.baseline]
    for n, step in enumerate(model.week):
        yield ("week", n, "source"), step.source, checklist.sources
        for name in step.items:
            yield ("week", n, "items"), name, known
        for name in step.upkeep:
            yield ("week", n, "upkeep"), name, upkeep
        for name in step.cautions:
            yield ("week", n, "cautions"), name, checklist.cautions
