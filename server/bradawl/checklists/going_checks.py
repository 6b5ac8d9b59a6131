"""Faults of the tables for the hours around a visit: claims, checks, sources that are not there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from pydantic import BaseModel

from bradawl.checklists.files import near
from bradawl.checklists.shapes.closing import Closing
from bradawl.checklists.shapes.going import Calls, Haul, Load, Lookups
from bradawl.checklists.shapes.vocabulary import TOOLS
from bradawl.judge.trouble.hauling import CHOICES
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.checklists.files import Checklist, Fault, File, Place


def check(
    checklist: Checklist, read: list[tuple[File, BaseModel]], items: Iterable[str]
) -> Iterator[Fault]:
    """Every fault in call sheet, look-ups and closing papers, each at its line."""
    known = list(items)
    claims = [claim.id for claim in checklist.claims.claims] if checklist.claims else []
    for file, model in read:
        if isinstance(model, Calls):
            for n, question in enumerate(model.calls):
                place: Place = ("calls", n)
                yield from _once(file, place, question.id, [row.id for row in model.calls[:n]])
                yield from _source(checklist, file, place, question.source)
                for m, answer in enumerate(question.answers):
                    here: Place = (*place, "answers", m)
                    before = [row.id for row in question.answers[:m]]
                    yield from _once(file, here, answer.id, before)
                    if (name := answer.claim) is not None and name not in claims:
                        wrong = text("checklists-no-claim", name=name, hint=near(name, claims))
                        yield file.fault(here, wrong)
        elif isinstance(model, Closing):
            for n, paper in enumerate(model.closing):
                place = ("closing", n)
                yield from _once(file, place, paper.id, [row.id for row in model.closing[:n]])
                yield from _source(checklist, file, place, paper.source)
                if paper.check is not None and paper.check not in known:
                    wrong = text(
                        "checklists-no-item", name=paper.check, hint=near(paper.check, known)
                    )
                    yield file.fault(place, wrong)
        elif isinstance(model, Lookups):
            for n, row in enumerate(model.lookups):
                place = ("lookups", n)
                yield from _once(file, place, row.id, [other.id for other in model.lookups[:n]])
                yield from _source(checklist, file, place, row.source)
                for name in row.items:
                    if name not in known:
                        wrong = text("checklists-no-item", name=name, hint=near(name, known))
                        yield file.fault(place, wrong)
        elif isinstance(model, Load):
            yield from _load(checklist, file, model, claims)
        elif isinstance(model, Haul):
            figures = model.haul
            for key, source in (
                ("tongue", figures.tongue.source),
                ("tiedowns", figures.tiedowns.source),
                ("tiedown_limit", figures.tiedown_limit.source),
                ("brakes", figures.brakes.source),
            ):
                yield from _source(checklist, file, ("haul", key), source)


def _load(checklist: Checklist, file: File, model: Load, claims: list[str]) -> Iterator[Fault]:
    """Lines of the load list name claims, answers and tools that are there, and are no tool."""
    said = [f"{row.id}/{answer.id}" for row in checklist.calls for answer in row.answers]
    planned = [f"{name}/{answer}" for name, answers in CHOICES.items() for answer in answers]
    for n, row in enumerate(model.load):
        place: Place = ("load", n)
        yield from _once(file, place, row.id, [*TOOLS, *(other.id for other in model.load[:n])])
        yield from _source(checklist, file, place, row.source)
        for key, names, known in (
            ("claims", row.claims, claims),
            ("calls", row.calls, said),
            ("haul", row.haul, planned),
            ("tools", row.tools, list(TOOLS)),
        ):
            for name in names:
                if name not in known:
                    wrong = text("checklists-load-unknown", name=name, hint=near(name, known))
                    yield file.fault((*place, key), wrong)


def _once(file: File, place: Place, name: str, before: list[str]) -> Iterator[Fault]:
    if name in before:
        yield file.fault(place, text("checklists-row-twice", name=name))


def _source(checklist: Checklist, file: File, place: Place, source: str) -> Iterator[Fault]:
    if source not in checklist.sources:
        hint = near(source, checklist.sources)
        yield file.fault(place, text("checklists-no-source", name=source, hint=hint))
