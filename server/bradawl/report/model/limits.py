"""Which limits of a checklist a report shows beside a reading, in the units of its reader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.inspection.said import own_figure
from bradawl.judge.record.visit_facts import applies
from bradawl.judge.values import exact, grades, units
from bradawl.language import formats, measure, text, unit_for
from bradawl.report.model.texts import grade_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bradawl.judge.values.types import Exact, Item, Limit, VisitFacts

__all__ = ["ShownLimit", "limits_of"]


@dataclass(frozen=True)
class ShownLimit:
    """A limit as it is shown; `edge` is where it begins, in base units, `kind` below, above or
    outside, `source` an id of the checklist's sources.
    """

    text: str
    source: str
    kind: str
    edge: Exact


def limits_of(item: Item, name: str, facts: VisitFacts) -> list[ShownLimit]:
    """The limits on a reading or fact of that name, the gravest first.

    Of one grade and direction only the one that is reached first: two of them would read as a
    contradiction. Limits that are words are left out, since the rating says them.
    """
    shown: dict[tuple[str, str], tuple[Exact, Limit]] = {}
    for limit in item.get("limits", []):
        kind = next((kind for kind in ("below", "above", "outside") if limit.get(kind)), "")
        if not kind or limit["of"] != name or not applies(limit.get("applies") or {}, facts):
            continue
        edge = _edge(limit, kind)
        key = limit["grade"], kind
        if edge is None or (key in shown and not _is_stricter(kind, edge, shown[key][0])):
            continue
        shown[key] = edge, limit
    order = sorted(shown, key=lambda key: -grades.SEVERITY.index(key[0]))
    found = ((kind, *shown[grade, kind]) for grade, kind in order)
    return [
        ShownLimit(_limit_text(item, limit, kind), limit["source"], kind, edge)
        for kind, edge, limit in found
    ]


def _edge(limit: Limit, kind: str) -> Exact | None:
    """The figure at which a limit begins, in base units; None where it is none."""
    figure = limit["outside"][0] if kind == "outside" else limit[kind]  # type: ignore[literal-required]
    number, unit = exact.figure(str(figure)), limit.get("unit") or "1"
    return units.to_base(number, unit) if number is not None and units.is_known(unit) else None


def _is_stricter(kind: str, edge: Exact, other: Exact) -> bool:
    return exact.less(edge, other) if kind == "above" else exact.less(other, edge)


def _offered(item: Item, limit: Limit, unit: str) -> Sequence[str]:
    """The units of the reading that the limit is on; of a fact, those of what it is made of."""
    readings = item.get("readings", [])
    own = [reading["units"] for reading in readings if reading["id"] == limit["of"]]
    alike = [
        reading["units"]
        for reading in readings
        if reading["units"] and units.quantity(reading["units"][0]) == units.quantity(unit)
    ]
    return next(iter([*own, *alike]), [])


def _limit_text(item: Item, limit: Limit, kind: str) -> str:
    unit, word = limit.get("unit") or "1", grade_word(limit["grade"])
    offered = _offered(item, limit, unit)
    if kind == "outside":
        low, high = (_edge_text(str(figure), unit, offered) for figure in limit["outside"])
        return text("report-limit-outside", word=word, low=low, high=high)
    edge = _edge_text(str(limit[kind]), unit, offered)  # type: ignore[literal-required]
    if kind == "below":
        return text("report-limit-below", word=word, edge=edge)
    return text("report-limit-above", word=word, edge=edge)


def _edge_text(figure: str, unit: str, offered: Sequence[str] = ()) -> str:
    """A checklist's figure in the reader's unit; its own beside it where that is another."""
    number = exact.figure(figure)
    if number is None:
        return formats.with_unit(figure, unit)
    own = formats.with_unit(own_figure(figure, number), unit, is_one=figure == "1")
    if unit_for(unit, offered) == unit:
        return own
    shown = measure(units.to_base(number, unit), unit, offered)
    return text("report-edge", shown=shown, own=own) if number[0] else shown
