"""Paint, rust, gaps and squareness.

Paint readings: ISO 2808, ASTM D7091 (all layers together), a spot is the mean of at least three
(SSPC-PA 2). Rust by area: ISO 4628-3 and ASTM D610. What a thickness means: common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import ascii_text, exact
from ..values.interpolation import table
from ..values.saying import listed, said, title

if TYPE_CHECKING:
    from ..values.types import Exact, Said
    from .context import Context

_NORMAL = (14826, 10000)  # a normal distribution's standard deviation in median deviations
SPOT = 3  # readings that make a value one may rely on
PANELS = 3  # panels that make a baseline

# ISO 4628-3 pictures by rusted area in %, each degree reaching up to its own picture: between two
# pictures the worse is taken, which is this project's choice (the standard says the nearest)
_RI = table(("0", "0"), ("0.05", "1"), ("0.5", "2"), ("1", "3"), ("8", "4"))
# ASTM D610 Table 1: the share up to which a grade reaches
_D610 = table(
    ("0.01", "10"),
    ("0.03", "9"),
    ("0.1", "8"),
    ("0.3", "7"),
    ("1", "6"),
    ("3", "5"),
    ("10", "4"),
    ("16", "3"),
    ("33", "2"),
    ("50", "1"),
)


def panel_of(place: str) -> str:
    """bonnet of bonnet-2; a place without a closing number is its own panel."""
    stem, _, last = place.rpartition("-")
    if stem and ascii_text.all_digits(last):
        return stem
    return place


def _panels(context: Context) -> tuple[dict[str, Exact], dict[str, int]]:
    spots: dict[str, list[Exact]] = {}
    readings = context.figures_at("film")
    for place in sorted(readings):
        spots.setdefault(panel_of(place), []).append(readings[place])
    figures, counts = {}, {}
    for panel in sorted(spots):
        counts[panel] = len(spots[panel])
        # two readings are no spot value: the middle of them is all one may say
        enough = counts[panel] >= SPOT
        figures[panel] = exact.mean(spots[panel]) if enough else exact.median(spots[panel])
    return figures, counts


def _finish(figure: Exact, deviation: Exact | None, edge: Exact, filler: Exact, thin: Exact) -> str:
    if deviation is None:
        if not exact.less(figure, filler):
            return "filler"
        return "thin" if exact.less(figure, thin) else ""
    if not exact.less(deviation, edge):
        return "repainted" if exact.less(figure, filler) else "filler"
    if not exact.less((-deviation[0], deviation[1]), edge) or exact.less(figure, thin):
        return "thin"
    return "original" if exact.less(figure, filler) else "filler"


def paint(context: Context) -> None:
    """Facts baseline, spread, panel, deviation, finish, confidence, repainted, filled."""
    figures, counts = _panels(context)
    unit = context.unit("film", "um")
    plastic = context.strings("plastic")
    metal = [panel for panel in sorted(figures) if panel not in plastic]
    repaint = context.figure("repaint", "60", "um")
    filler, thin = context.figure("filler", "500", "um"), context.figure("thin", "70", "um")
    baseline: Exact | None = None
    edge = repaint
    if len(metal) >= PANELS:
        baseline = exact.median([figures[panel] for panel in metal])
        away = [exact.absolute(exact.subtract(figures[panel], baseline)) for panel in metal]
        spread = exact.multiply(_NORMAL, exact.median(away))
        context.fact("baseline", baseline, unit, "", said("more-median", {"count": len(metal)}))
        context.fact("spread", spread, unit)
        edge = exact.largest([repaint, exact.multiply(context.figure("sigma", "3", "1"), spread)])
    by_finish: dict[str, list[str]] = {}
    for panel in sorted(figures):
        context.fact("panel", figures[panel], unit, panel, _readings(counts[panel]))
        if panel in plastic:
            continue
        deviation = None if baseline is None else exact.subtract(figures[panel], baseline)
        if deviation is not None:
            context.fact("deviation", deviation, unit, panel)
        finish = _finish(figures[panel], deviation, edge, filler, thin)
        if not finish:
            continue
        by_finish.setdefault(finish, []).append(panel)
        context.explain("finish", finish, panel)
        if counts[panel] < SPOT or deviation is None:
            confidence = "low"
        elif exact.less(exact.absolute(deviation), exact.multiply(edge, (2, 1))):
            confidence = "medium"
        else:
            confidence = "high"
        context.say("confidence", confidence, panel)
    for silent, _ in context.words_of("film"):
        panel = panel_of(silent["place"])
        if panel not in plastic and panel not in by_finish.get("no-reading", []):
            by_finish.setdefault("no-reading", []).append(panel)
            context.explain("finish", "no-reading", panel)
    if figures:
        for name, finish in (("repainted", "repainted"), ("filled", "filler")):
            panels = by_finish.get(finish, [])
            more = None
            if panels:
                more = said(
                    "more-panels", {"panels": listed([{"place": panel} for panel in panels])}
                )
            context.fact(name, (len(panels), 1), "1", "", more)


def _readings(count: int) -> Said:
    return said("more-mean" if count >= SPOT else "more-too-few", {"count": count})


def rust(context: Context) -> None:
    """Facts depth (the choice), ri and d610 (from reading `extent`)."""
    if context.choice:
        depth = context.say("depth", context.choice)
        depth["title"] = {"fact": "depth-" + context.parameter("place", "skin")}
        depth["shown"] = title("choice", context.item, context.choice)
    extent = context.figure_of("extent")
    if extent is None:
        return
    ri: Exact = (5, 1)
    for limit, degree in reversed(_RI):
        if not exact.less(limit, extent):
            ri = degree
    d610: Exact = (0, 1)
    for limit, degree in reversed(_D610):
        if not exact.less(limit, extent):
            d610 = degree
    context.fact("ri", ri, "1", "", said("more-area"))
    context.fact("d610", d610, "1")


def _pairs(context: Context, reading: str, first: str, second: str, fact: str) -> None:
    figures = context.figures_at(reading)
    for place in sorted(figures):
        if place != first and not place.endswith("-" + first):
            continue
        stem = place[: len(place) - len(first)]
        other = stem + second
        if other in figures:
            gap = exact.absolute(exact.subtract(figures[place], figures[other]))
            context.fact(fact, gap, context.unit(reading, "mm"), stem.rstrip("-"))


def left_right(context: Context) -> None:
    """Facts difference.<stem> of a reading at <stem>-left and <stem>-right."""
    _pairs(context, context.parameter("reading", "gap"), "left", "right", "difference")


def diagonals(context: Context) -> None:
    """Facts out_of_square.<pair> of reading `diagonal` at <pair>-a and <pair>-b."""
    _pairs(context, "diagonal", "a", "b", "out_of_square")
