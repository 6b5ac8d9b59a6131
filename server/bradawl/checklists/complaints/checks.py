"""Faults of the complaint tables that show beside the checklist: names of what does not exist."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bradawl.checklists.complaints.facts import FACTS
from bradawl.checklists.complaints.models import Settling, Symptom, Symptoms, Test
from bradawl.checklists.files import near
from bradawl.checklists.shapes.vocabulary import TOOLS, UNITS_OF
from bradawl.judge.values.grades import FAULTS
from bradawl.language import text

if TYPE_CHECKING:
    from pydantic import BaseModel

    from bradawl.checklists.files import Checklist, Fault, File, Place
    from bradawl.checklists.shapes.items import Item


def check(
    checklist: Checklist, read: list[tuple[File, BaseModel]], items: dict[str, Item]
) -> Iterator[Fault]:
    """Every fault of the complaints across the files, each at its line."""
    seen: dict[str, str] = {}
    known = {symptom.id for symptom in checklist.symptoms}
    for file, model in read:
        if not isinstance(model, Symptoms):
            continue
        if model.source not in checklist.sources:
            hint = near(model.source, checklist.sources)
            yield file.fault(
                ("source",), text("checklists-no-source", name=model.source, hint=hint)
            )
        for n, symptom in enumerate(model.symptoms):
            place: Place = ("symptoms", n)
            if symptom.id in seen:
                other = {"symptom": symptom.id, "file": seen[symptom.id]}
                yield file.fault((*place, "id"), text("checklists-symptom-twice", **other))
            seen[symptom.id] = file.name
            yield from _causes(file, place, symptom, known, items)
            for m, test in enumerate(symptom.tests):
                yield from _test(checklist, file, (*place, "tests", m), test, items)


def _causes(
    file: File, place: Place, symptom: Symptom, known: set[str], items: dict[str, Item]
) -> Iterator[Fault]:
    offered = {
        f"{item.id}/{remedy.id}": remedy for item in items.values() for remedy in item.remedies
    }
    for name, cause in symptom.causes.items():
        here: Place = (*place, "causes", name)
        if cause.then is not None and cause.then not in known:
            hint = near(cause.then, known)
            yield file.fault(here, text("checklists-no-symptom", name=cause.then, hint=hint))
        for repair in cause.repair:
            if repair not in offered:
                hint = near(repair, offered)
                yield file.fault(here, text("checklists-no-remedy", name=repair, hint=hint))
            elif offered[repair].choices or not set(offered[repair].for_) & set(FAULTS):
                yield file.fault(here, text("checklists-repair-choices", name=repair))


def _test(
    checklist: Checklist, file: File, place: Place, test: Test, items: dict[str, Item]
) -> Iterator[Fault]:
    for n, caution in enumerate(test.cautions):
        if caution not in checklist.cautions:
            hint = near(caution, checklist.cautions)
            wrong = text("checklists-no-caution", item=test.id, name=caution, hint=hint)
            yield file.fault((*place, "cautions", n), wrong)
    for n, tool in enumerate(test.tools):
        if tool not in TOOLS:
            wrong = text("checklists-no-tool", item=test.id, name=tool, hint=near(tool, TOOLS))
            yield file.fault((*place, "tools", n), wrong)
    if test.takes is not None and (test.takes not in items or not items[test.takes].readings):
        hint = near(test.takes, items)
        yield file.fault((*place, "takes"), text("checklists-no-item", name=test.takes, hint=hint))
    if test.procedure is not None:
        yield from _procedure(checklist, file, place, test, items)
    for n, row in enumerate(test.settled):
        for name in row.items:
            here: Place = (*place, "from", n)
            if name not in items:
                hint = near(name, items)
                yield file.fault(here, text("checklists-no-item", name=name, hint=hint))
            else:
                yield from _settling(file, here, row, items[name])


def _procedure(
    checklist: Checklist, file: File, place: Place, test: Test, items: dict[str, Item]
) -> Iterator[Fault]:
    """Its steps are there, and read what the test or its check takes."""
    here: Place = (*place, "procedure")
    steps = checklist.procedures.get(test.procedure or "")
    if steps is None:
        hint = near(test.procedure or "", checklist.procedures)
        yield file.fault(here, text("checklists-no-procedure", name=test.procedure, hint=hint))
        return
    taken = items[test.takes].readings if test.takes in items else []
    names = [own.id for own in test.measures] + [reading.id for reading in taken]
    for step in steps:
        if step.read is not None and step.read not in names:
            wrong = {"test": test.id, "name": step.read, "names": ", ".join(names)}
            yield file.fault(here, text("checklists-step-reads", **wrong))


def _settling(file: File, place: Place, row: Settling, item: Item) -> Iterator[Fault]:
    """A row names answers that its item offers, and readings or facts that it has."""
    for choice in row.choice or []:
        offered = [answer.id for answer in item.choices]
        if choice not in offered:
            listed = ", ".join(offered)
            yield file.fault(place, text("checklists-no-choice", name=choice, offered=listed))
    name = row.known or row.fact
    if name is None:
        return
    readings = {reading.id: reading for reading in item.readings}
    facts = FACTS.get(item.compute.kind, ()) if item.compute is not None else ()
    if name not in readings and name not in facts:
        names = ", ".join([*readings, *facts])
        wrong = text("checklists-no-fact", item=item.id, name=name, names=names)
        yield file.fault(place, wrong)
    elif name in readings and row.unit is not None:
        allowed = UNITS_OF[readings[name].quantity]
        if row.unit not in allowed:
            yield file.fault(
                place,
                text(
                    "checklists-no-unit",
                    unit=row.unit,
                    quantity=readings[name].quantity,
                    units=", ".join(allowed),
                ),
            )
