"""Faults of the drive home that show beside the checklist: names of what does not exist."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from bradawl.checklists.files import near
from bradawl.checklists.shapes.driving import DrivingFile
from bradawl.language import text

if TYPE_CHECKING:
    from pydantic import BaseModel

    from bradawl.checklists.files import Checklist, Fault, File, Place
    from bradawl.checklists.shapes.driving import Driving
    from bradawl.checklists.shapes.items import Item


def check(
    checklist: Checklist, read: list[tuple[File, BaseModel]], items: dict[str, Item]
) -> Iterator[Fault]:
    """Every name in the drive home that nothing bears, each at its line."""
    for file, model in read:
        if not isinstance(model, DrivingFile):
            continue
        for place, name, known in _names(checklist, model.driving, items):
            if name not in known:
                yield file.fault(
                    ("driving", *place),
                    text("checklists-no-name", name=name, hint=near(name, known)),
                )


def _names(
    checklist: Checklist, driving: Driving, items: dict[str, Item]
) -> Iterator[tuple[Place, str, Iterable[str]]]:
    """What is named where, and what of its kind there is."""
    areas = [area.area for area in checklist.areas]
    facts = [fact.id for fact in checklist.facts]
    signs = [sign.id for sign in driving.signs]
    kit = [row.id for row in driving.kit]
    for kind in ("legs", "signs", "watch", "kit"):
        for n, row in enumerate(getattr(driving, kind)):
            yield (kind, n, "source"), row.source, checklist.sources
    for n, sign in enumerate(driving.signs):
        yield ("signs", n, "area"), sign.area, areas
        for name in sign.cautions:
            yield ("signs", n, "cautions"), name, checklist.cautions
        if sign.figure is not None:
            yield ("signs", n, "figure"), sign.figure, facts
    for n, watch in enumerate(driving.watch):
        if watch.sign is not None:
            yield ("watch", n, "sign"), watch.sign, signs
        for name in watch.kit:
            yield ("watch", n, "kit"), name, kit
        for m, found in enumerate(watch.when):
            for name in found.item:
                yield ("watch", n, "when", m, "item"), name, items
