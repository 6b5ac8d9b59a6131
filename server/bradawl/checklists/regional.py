"""Faults about whose law a limit is: its units, and limits that say one thing twice in a region."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from bradawl.checklists.shapes.item_parts import Applies, Limit, Span
from bradawl.checklists.shapes.items import Item
from bradawl.judge.record.regions import REGIONS, limits_in
from bradawl.judge.values import units
from bradawl.judge.values.types.terms import Region
from bradawl.language import text

if TYPE_CHECKING:
    from bradawl.checklists.files import Checklist, Fault, File, Place


def law(checklist: Checklist, file: File, place: Place, item: Item) -> Iterator[Fault]:
    """Faults of one item's limits as law; every source that they name exists."""
    cited = [("limits", n, limit.source) for n, limit in enumerate(item.limits)]
    cited += [("choices", n, choice.source) for n, choice in enumerate(item.choices)]
    for key, n, sources in cited:
        yield from _cited(checklist, file, (*place, key, n, "source"), item, sources)
    for n, limit in enumerate(item.limits):
        laws = _laws(checklist, limit)
        if len(laws) != 1 or limit.unit is None or not any(map(_is_a_figure, _figures(limit))):
            continue
        (region,) = laws
        system = units.SYSTEM_OF_REGION[region]
        # a translated figure is not what the law says
        if units.system(limit.unit) not in ("", system):
            yield file.fault(
                (*place, "limits", n, "unit"),
                text(
                    "checklists-law-unit",
                    item=item.id,
                    name=limit.of,
                    region=region,
                    unit=limit.unit,
                    units=", ".join(units.SYSTEMS[system]),
                ),
            )
    yield from _twice(checklist, file, place, item)


def _laws(checklist: Checklist, limit: Limit) -> dict[Region, str]:
    """The limit's source by the region whose law it is."""
    regions = {key: checklist.sources[key].region for key in limit.source}
    return {region: key for key, region in regions.items() if region is not None}


def _cited(
    checklist: Checklist, file: File, place: Place, item: Item, sources: list[str]
) -> Iterator[Fault]:
    """Several sources are one law for each region, and nothing else."""
    regions = [checklist.sources[key].region for key in sources]
    if len(sources) > 1 and (None in regions or len(set(regions)) != len(regions)):
        yield file.fault(
            place,
            text("checklists-sources", item=item.id),
        )


def _figures(limit: Limit) -> list[str]:
    return [figure for figure in (limit.below, limit.above, *(limit.outside or ())) if figure]


def _is_a_figure(figure: str) -> bool:
    """Nothing is nothing in every unit."""
    return figure.strip("-0.") != ""


def _twice(checklist: Checklist, file: File, place: Place, item: Item) -> Iterator[Fault]:
    """Two limits of one name and grade, to the same side, for the same cars."""
    rows: list[Any] = [
        {"n": n, "of": limit.of, "grade": limit.grade, "law": _laws(checklist, limit)}
        | ({"applies": limit.applies.model_dump(mode="json")} if limit.applies else {})
        for n, limit in enumerate(item.limits)
    ]
    told: set[int] = set()
    for region in REGIONS:
        kept: list[Any] = [*limits_in(rows, region)]
        counting = [(row["n"], item.limits[row["n"]]) for row in kept]
        for at, (n, limit) in enumerate(counting):
            for _, other in counting[:at]:
                if n not in told and _say_the_same(limit, other):
                    told.add(n)
                    yield file.fault(
                        (*place, "limits", n),
                        text(
                            "checklists-limit-twice",
                            item=item.id,
                            region=region,
                            name=limit.of,
                            grade=limit.grade,
                        ),
                    )


def _say_the_same(one: Limit, other: Limit) -> bool:
    sides = [
        (limit.of, limit.grade, limit.below is None, limit.above is None, limit.is_)
        for limit in (one, other)
    ]
    return sides[0] == sides[1] and not _exclude(one.applies, other.applies)


def _exclude(one: Applies | None, other: Applies | None) -> bool:
    """Whether no car is of both."""
    if one is None or other is None:
        return False
    for key in Applies.model_fields:
        a, b = getattr(one, key), getattr(other, key)
        if isinstance(a, list) and isinstance(b, list) and not set(a) & set(b):
            return True
        if isinstance(a, Span) and isinstance(b, Span) and (_ends(a, b) or _ends(b, a)):
            return True
    return False


def _ends(one: Span, before: Span) -> bool:
    return one.to is not None and before.from_ is not None and one.to < before.from_
