"""A wire as a row of a finding's readings: what was seen of it and worked out, with the tables."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bradawl.inspection.wires import Wire
from bradawl.language import text
from bradawl.report.model.contents import Reading

#: How the names of the facts of a single wire begin: they stand with the wire.
FACT = "wire_"


def reading_of(
    wire: Wire, columns: Mapping[str, str], cited: Callable[[str], str]
) -> tuple[Reading, set[str]]:
    """The row, and the sources that it names; `columns` are those of the checklist's table."""
    places = [(figure.label, figure.said) for figure in wire.figures]
    # what was seen may be the whole risk: it is said once
    is_seen = wire.risk.casefold() in [part.casefold() for part in wire.seen.split("; ")]
    risk = "" if is_seen else wire.risk
    if places:
        beside = (("report-wire-risk", risk), ("report-wire-seen", wire.seen))
        places[:0] = [(text(name), said) for name, said in beside if said]
    sources: dict[str, str] = {}
    for figure in wire.figures:
        if columns.get(figure.column):
            sources.setdefault(columns[figure.column], figure.label)
    limits = tuple((label, cited(source)) for source, label in sources.items())
    measured = "; ".join(part for part in (risk, wire.seen) if part)
    return Reading(wire.name, measured, limits, tuple(places)), set(sources)
