"""Faults that show only when the files are seen together.

Nothing here knows what a file looks like (that is `shapes/`) or how it is read (`loader.py`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, get_args

from pydantic import BaseModel

from bradawl.checklists import driving_checks, going_checks, overlays, price_checks, regional
from bradawl.checklists.complaints import checks as complaint_checks
from bradawl.checklists.files import near
from bradawl.checklists.shapes.items import Area, Item
from bradawl.checklists.shapes.tables import (
    Assumptions,
    Baseline,
    Claims,
    Combinations,
    Condition,
    Conflicts,
    Contradictions,
    Histories,
    History,
    Profile,
    PublishedList,
    WireFile,
)
from bradawl.checklists.shapes.vocabulary import MEASURED, STAGES, TOOLS, Use
from bradawl.checklists.shapes.wants import Wants
from bradawl.judge.measurements.registry import KINDS
from bradawl.judge.values.grades import FAULTS
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.checklists.files import Checklist, Fault, File, Place


def check(checklist: Checklist, read: list[tuple[File, BaseModel]]) -> Iterator[Fault]:
    """Every fault across the files, each at its line."""
    items: dict[str, Item] = {}
    walks: dict[int, str] = {}
    entries: set[str] = set()
    for published in checklist.published:
        entries.update(f"{published.published}:{entry.id}" for entry in published.entries)
    for file, area in _areas(read):
        if area.walk_order in walks:
            yield file.fault(
                ("walk_order",),
                text(
                    "checklists-walk",
                    area=area.area,
                    other=walks[area.walk_order],
                    number=str(area.walk_order),
                ),
            )
        walks[area.walk_order] = area.area
        for n, item in enumerate(area.items):
            if item.id in items:
                yield file.fault(("items", n, "id"), text("checklists-item-twice", item=item.id))
            items[item.id] = item
            if item.id.split(".")[0] != area.area:
                yield file.fault(
                    ("items", n, "id"),
                    text("checklists-item-area", item=item.id, area=area.area),
                )
    for file, area in _areas(read):
        for n, item in enumerate(area.items):
            yield from _item(checklist, file, ("items", n), item, items, entries)
    for file, model in read:
        if isinstance(model, PublishedList):
            ids = [entry.id for entry in model.entries]
            for n, entry in enumerate(ids):
                if ids.index(entry) != n:
                    yield file.fault(("entries", n), text("checklists-entry-twice", entry=entry))
        yield from _tables(checklist, file, model, items)
    yield from _circles(read, items)
    yield from _lone_groups(read, items)
    yield from complaint_checks.check(checklist, read, items)
    yield from price_checks.check(checklist, read)
    yield from going_checks.check(checklist, read, items)
    yield from driving_checks.check(checklist, read, items)
    yield from _profile(read, items)
    yield from overlays.check(read)


def _areas(read: list[tuple[File, BaseModel]]) -> Iterator[tuple[File, Area]]:
    for file, model in read:
        if isinstance(model, Area):
            yield file, model


def _item(
    checklist: Checklist,
    file: File,
    place: Place,
    item: Item,
    items: dict[str, Item],
    entries: set[str],
) -> Iterator[Fault]:
    """What an item names is there: cautions, sources, entries of lists, other items, tools."""
    for n, caution in enumerate(item.cautions):
        if caution not in checklist.cautions:
            hint = near(caution, checklist.cautions)
            wrong = text("checklists-no-caution", item=item.id, name=caution, hint=hint)
            yield file.fault((*place, "cautions", n), wrong)
    if item.compute is not None and item.compute.kind not in KINDS:
        kind = item.compute.kind
        wrong = text("checklists-no-computation", item=item.id, name=kind, hint=near(kind, KINDS))
        yield file.fault((*place, "compute", "kind"), wrong)
    yield from _sources(checklist, file, place, item)
    for n, cover in enumerate(item.covers):
        if cover not in entries:
            hint = near(cover, entries)
            wrong = text("checklists-no-entry", item=item.id, name=cover, hint=hint)
            yield file.fault((*place, "covers", n), wrong)
    for n, answer in enumerate(item.missing_if):
        other, _, choice = answer.partition("/")
        if other not in items or choice not in [known.id for known in items[other].choices]:
            wrong = text("checklists-no-answer-of", item=item.id, name=answer)
            yield file.fault((*place, "missing_if", n), wrong)
    yield from _others(file, place, item, items)
    yield from _tools(file, place, item)


def _sources(checklist: Checklist, file: File, place: Place, item: Item) -> Iterator[Fault]:
    """Every source that an item cites is in sources.yaml, and law is that of its region."""
    sourced = [("limits", n, key) for n, limit in enumerate(item.limits) for key in limit.source]
    sourced += [("choices", n, key) for n, c in enumerate(item.choices) for key in c.source]
    sourced += [("effects", n, effect.source) for n, effect in enumerate(item.effects)]
    if item.unseen:
        sourced.append(("unseen", 0, item.unseen.source))
    for key, n, source in sourced:
        if source not in checklist.sources:
            hint = near(source, checklist.sources)
            wrong = text("checklists-item-source", item=item.id, name=source, hint=hint)
            yield file.fault((*place, key, n, "source"), wrong)
    if all(source in checklist.sources for _, _, source in sourced):
        yield from regional.law(checklist, file, place, item)


def _others(file: File, place: Place, item: Item, items: dict[str, Item]) -> Iterator[Fault]:
    """The other items that an item names are there, and what it needs comes no later."""
    named = [("needs", n, other) for n, other in enumerate(item.needs)]
    named += [("implied_by", n, other) for n, other in enumerate(item.implied_by)]
    named += [("stopped_by", n, other) for n, other in enumerate(item.stopped_by)]
    named += [("remedies", n, o) for n, remedy in enumerate(item.remedies) for o in remedy.also]
    for key, n, other in named:
        if other not in items or other == item.id:
            hint = near(other, items)
            wrong = text("checklists-no-other", item=item.id, key=key, name=other, hint=hint)
            yield file.fault((*place, key, n), wrong)
    stages = list(STAGES)
    for n, other in enumerate(item.needs):
        if other in items and stages.index(items[other].stage) > stages.index(item.stage):
            stage, later = item.stage, items[other].stage
            wrong = text("checklists-later", item=item.id, stage=stage, other=other, later=later)
            yield file.fault((*place, "needs", n), wrong)


def _tools(file: File, place: Place, item: Item) -> Iterator[Fault]:
    """Tools are known ones; those that `how` names, and one for what is measured, are there."""
    for n, tool in enumerate(item.tools):
        if tool not in TOOLS:
            wrong = text("checklists-no-tool", item=item.id, name=tool, hint=near(tool, TOOLS))
            yield file.fault((*place, "tools", n), wrong)
    for tool, words in TOOLS.items():
        named = re.search(rf"\b(?:{words})\b", item.how, re.IGNORECASE) if words else None
        if named is not None and tool not in item.tools:
            wrong = text("checklists-tool-named", item=item.id, words=named[0], tool=tool)
            yield file.fault((*place, "tools"), wrong)
    measured = [r.id for r in item.readings if r.quantity in MEASURED]
    if measured and not item.tools:
        wrong = text("checklists-tool-to-read", item=item.id, name=measured[0])
        yield file.fault((*place, "readings"), wrong)


def _tables(
    checklist: Checklist, file: File, model: BaseModel, items: dict[str, Item]
) -> Iterator[Fault]:
    """The lists beside the items name items, choices and sources that exist."""
    named: list[tuple[Place, str]] = []
    sources: list[tuple[Place, str]] = []
    if isinstance(model, Combinations):
        for n, row in enumerate(model.combinations):
            place: Place = ("combinations", n)
            sources.append(((*place, "source"), row.source))
            named += [((*place, "raises"), name) for name in row.raises]
            for key, conditions in (("all", row.all_), ("any", row.any_)):
                for m, condition in enumerate(conditions):
                    here: Place = (*place, key, m)
                    named += [(here, name) for name in condition.items]
                    yield from _choices(file, here, condition, items)
    elif isinstance(model, Contradictions):
        for n, contradiction in enumerate(model.contradictions):
            sources.append((("contradictions", n, "source"), contradiction.source))
            for m, condition in enumerate(contradiction.all_):
                here = ("contradictions", n, "all", m)
                named += [(here, name) for name in condition.items]
                yield from _choices(file, here, condition, items)
    elif isinstance(model, Claims):
        for n, claim in enumerate(model.claims):
            sources.append((("claims", n, "source"), claim.source))
            for m, condition in enumerate(claim.checks):
                here = ("claims", n, "checks", m)
                named += [(here, name) for name in condition.items]
                yield from _choices(file, here, condition, items)
    elif isinstance(model, Wants):
        for n, want in enumerate(model.wants):
            sources.append((("wants", n, "source"), want.source))
            for m, condition in enumerate(want.checks):
                here = ("wants", n, "checks", m)
                named += [(here, name) for name in condition.items]
                yield from _choices(file, here, condition, items)
        sources += [(("opposed", n, "source"), row.source) for n, row in enumerate(model.opposed)]
        yield from _opposed(file, model)
    elif isinstance(model, Baseline):
        for n, upkeep in enumerate(model.baseline):
            named.append((("baseline", n, "item"), upkeep.item))
            sources.append((("baseline", n, "source"), upkeep.source))
            named += [(("baseline", n, "also"), name) for name in upkeep.also]
            yield from _remedies(file, ("baseline", n, "done_by"), upkeep.done_by, items)
            yield from _remedies(file, ("baseline", n, "does"), upkeep.does, items)
    elif isinstance(model, Assumptions):
        for n, condition in enumerate(model.attention.warm):
            at: Place = ("attention", "warm", n)
            named += [(at, name) for name in condition.items]
            yield from _choices(file, at, condition, items)
    elif isinstance(model, Histories):
        for n, history in enumerate(model.histories):
            sources.append((("histories", n, "source"), history.source))
            named += [
                (("histories", n, "signs", m, "item"), sign.item)
                for m, sign in enumerate(history.signs)
            ]
            yield from _history(file, n, history, items)
    elif isinstance(model, WireFile):
        cited = model.wires.sources.model_dump()
        sources += [(("wires", "sources", key), source) for key, source in cited.items()]
        sources += [
            (("wires", "limits", n), source)
            for n, limit in enumerate(model.wires.limits)
            for source in limit.source
        ]
    elif isinstance(model, Conflicts):
        for n, conflict in enumerate(model.conflicts):
            sources.append((("conflicts", n, "source"), conflict.source))
    for where, name in named:
        if name not in items:
            yield file.fault(where, text("checklists-no-item", name=name, hint=near(name, items)))
    for where, source in sources:
        if source not in checklist.sources:
            hint = near(source, checklist.sources)
            yield file.fault(where, text("checklists-no-source", name=source, hint=hint))


def _opposed(file: File, model: Wants) -> Iterator[Fault]:
    """What is opposed is a must-have of the table or a use."""
    known = {want.id: want.side for want in model.wants}
    for n, opposed in enumerate(model.opposed):
        for name in opposed.wants:
            if name not in get_args(Use) and known.get(name) != "must":
                wrong = text("checklists-no-want", name=name, hint=near(name, known))
                yield file.fault(("opposed", n, "wants"), wrong)


def _profile(read: list[tuple[File, BaseModel]], items: dict[str, Item]) -> Iterator[Fault]:
    """A fact is asked once, and a figure fills readings that are there and of its own shape."""
    readings = {f"{item.id}/{r.id}": r for item in items.values() for r in item.readings}
    ids: list[str] = []
    filled: list[str] = []
    for file, model in read:
        groups = model.profile if isinstance(model, Profile) else []
        facts = [
            (g, n, fact) for g, group in enumerate(groups) for n, fact in enumerate(group.facts)
        ]
        for g, n, fact in facts:
            place: Place = ("profile", g, "facts", n)
            if fact.id in ids:
                yield file.fault(place, text("checklists-profile-twice", name=fact.id))
            ids.append(fact.id)
            for m, name in enumerate(fact.fills):
                here: Place = (*place, "fills", m)
                if name not in readings:
                    hint = near(name, readings)
                    yield file.fault(here, text("checklists-no-reading", name=name, hint=hint))
                elif name in filled:
                    yield file.fault(here, text("checklists-filled-twice", name=name))
                elif readings[name].shape != readings.get(fact.fills[0], readings[name]).shape:
                    wrong = text("checklists-fills-shape", name=name, first=fact.fills[0])
                    yield file.fault(here, wrong)
                filled.append(name)
    for file, area in _areas(read):
        for n, item in enumerate(area.items):
            for name in item.wanted:
                if f"{item.id}/{name}" not in filled:
                    wrong = text("checklists-wants-unfilled", item=item.id, name=name)
                    yield file.fault(("items", n, "readings"), wrong)


def _choices(
    file: File, place: Place, condition: Condition, items: dict[str, Item]
) -> Iterator[Fault]:
    offered = [c.id for item in condition.items if item in items for c in items[item].choices]
    for choice in condition.choice or []:
        if offered and choice not in offered:
            yield file.fault(
                (*place, "choice"),
                text("checklists-no-choice", name=choice, offered=", ".join(offered)),
            )


def _history(file: File, n: int, history: History, items: dict[str, Item]) -> Iterator[Fault]:
    """The signs of a history: answers that their items offer, and no look counted twice."""
    seen: dict[str, str | None] = {}
    for m, sign in enumerate(history.signs):
        place: Place = ("histories", n, "signs", m)
        if sign.item in seen and (sign.group is None or sign.group != seen[sign.item]):
            yield file.fault(place, text("checklists-sign-twice", item=sign.item))
        seen[sign.item] = sign.group
        if sign.item not in items:
            continue
        item = items[sign.item]
        offered = [choice.id for choice in item.choices]
        for key, answers, grades in (("on", sign.on, FAULTS), ("unclear", sign.unclear, ())):
            for answer in answers:
                if answer not in offered and answer not in grades:
                    yield file.fault(
                        (*place, key),
                        text(
                            "checklists-sign-answer",
                            item=sign.item,
                            name=answer,
                            offered=", ".join([*offered, *grades]),
                        ),
                    )


def _remedies(
    file: File, place: Place, named: list[str], items: dict[str, Item]
) -> Iterator[Fault]:
    offered = [f"{item.id}/{remedy.id}" for item in items.values() for remedy in item.remedies]
    for m, remedy_id in enumerate(named):
        if remedy_id not in offered:
            yield file.fault(
                (*place, m),
                text("checklists-no-remedy", name=remedy_id, hint=near(remedy_id, offered)),
            )


def _lone_groups(read: list[tuple[File, BaseModel]], items: dict[str, Item]) -> Iterator[Fault]:
    """A hold group with one item in it is a word that was typed wrong."""
    groups = [item.hold_group for item in items.values() if item.hold_group is not None]
    for file, area in _areas(read):
        for n, item in enumerate(area.items):
            if item.hold_group is not None and groups.count(item.hold_group) == 1:
                others = [group for group in groups if group != item.hold_group]
                yield file.fault(
                    ("items", n, "hold_group"),
                    text(
                        "checklists-lone-group",
                        item=item.id,
                        name=item.hold_group,
                        hint=near(item.hold_group, others),
                    ),
                )


def _circles(read: list[tuple[File, BaseModel]], items: dict[str, Item]) -> Iterator[Fault]:
    """Items that wait for one another, or imply one another, would never be asked."""
    for key in ("needs", "implied_by"):
        for file, area in _areas(read):
            for n, item in enumerate(area.items):
                reached: set[str] = set()
                ahead = list(getattr(item, key))
                while ahead:
                    other = ahead.pop()
                    if other == item.id:
                        yield file.fault(
                            ("items", n, key),
                            text("checklists-circle", item=item.id, key=key),
                        )
                        break
                    if other in items and other not in reached:
                        reached.add(other)
                        ahead.extend(getattr(items[other], key))
