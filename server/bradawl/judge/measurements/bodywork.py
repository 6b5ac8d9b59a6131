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
MATERIAL = "material_"  # begins a fact of the car: what a panel is made of

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


class _Bands:
    """What a thickness means whatever the rest of the car reads: common practice, no source."""

    def __init__(self, context: Context) -> None:
        self.thin = context.figure("thin", "70", "um")
        self.factory = context.figure("factory", "200", "um")
        self.painted = context.figure("painted", "250", "um")
        self.suspect = context.figure("suspect", "500", "um")
        self.filler = context.figure("filler", "1000", "um")

    def finish(self, figure: Exact) -> str:
        """The word for a figure alone; "" where it may be the factory's paint."""
        if not exact.less(figure, self.suspect):
            return "filler"
        if not exact.less(figure, self.painted):
            return "repainted"
        return "thin" if exact.less(figure, self.thin) else ""


def _own_paint(figures: list[Exact], repaint: Exact, factory: Exact) -> tuple[Exact, str, int]:
    """(baseline, message that says whence, panels behind it) of the metal panels.

    The median, unless some are so much thinner that they are the car's own and the many the
    repainted ones; and never above what factories put on.
    """
    median = exact.median(figures)
    thinner = [f for f in figures if not exact.less(exact.subtract(median, f), repaint)]
    if len(thinner) >= PANELS:
        return exact.median(thinner), "more-thinner", len(thinner)
    if exact.less(factory, median):
        return factory, "more-factory", len(figures)
    return median, "more-median", len(figures)


def _finish(figure: Exact, deviation: Exact | None, edge: Exact, bands: _Bands) -> str:
    absolute = bands.finish(figure)
    if deviation is None or absolute:
        return absolute
    if not exact.less(deviation, edge):
        return "repainted"
    return "thin" if not exact.less((-deviation[0], deviation[1]), edge) else "original"


def paint(context: Context) -> None:
    """Facts baseline, spread, panel, deviation, finish, confidence, material, repainted, filled."""
    figures, counts = _panels(context)
    material = _material(context)
    unit = context.unit("film", "um")
    plastic = [panel for panel in material if material[panel] == "plastic"]
    metal = [panel for panel in sorted(figures) if panel not in plastic]
    repaint = context.figure("repaint", "60", "um")
    bands = _Bands(context)
    baseline: Exact | None = None
    edge, whence = repaint, ""
    if len(metal) >= PANELS:
        thicknesses = [figures[panel] for panel in metal]
        baseline, whence, count = _own_paint(thicknesses, repaint, bands.factory)
        own = [f for f in thicknesses if exact.less(exact.subtract(f, baseline), repaint)]
        away = [exact.absolute(exact.subtract(f, baseline)) for f in own or thicknesses]
        spread = exact.multiply(_NORMAL, exact.median(away))
        context.fact("baseline", baseline, unit, "", said(whence, {"count": count}))
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
        finish = _finish(figures[panel], deviation, edge, bands)
        if finish == "thin" and whence == "more-factory" and not bands.finish(figures[panel]):
            finish = "original"  # below what factories put on at most, and that is no baseline
        if not finish:
            continue
        by_finish.setdefault(finish, []).append(panel)
        is_sure = finish == "filler" and not exact.less(figures[panel], bands.filler)
        context.say(
            "finish", finish, panel, said("more-finish-" + ("filler-sure" if is_sure else finish))
        )
        context.say("confidence", _confidence(counts[panel], deviation, edge), panel)
    _say_silent(context, material, by_finish)
    if figures:
        _count(context, "repainted", by_finish.get("repainted", []))
        _count(context, "filled", by_finish.get("filler", []))


def _confidence(count: int, deviation: Exact | None, edge: Exact) -> str:
    if count < SPOT or deviation is None:
        return "low"
    is_near = exact.less(exact.absolute(deviation), exact.multiply(edge, (2, 1)))
    return "medium" if is_near else "high"


def _material(context: Context) -> dict[str, str]:
    """What the panels that are no steel are made of, as the car's profile has it."""
    found: dict[str, str] = {}
    car = context.visit["car"]
    for name in sorted(car):
        if name.startswith(MATERIAL) and car[name] in ("plastic", "aluminum"):
            found[name[len(MATERIAL) :]] = str(car[name])
    return found


def _say_silent(
    context: Context, material: dict[str, str], by_finish: dict[str, list[str]]
) -> None:
    """What a gauge without a figure says: no steel, or a panel of which somebody knows why."""
    for silent, word in context.words_of("film"):
        panel = panel_of(silent["place"])
        if word != "none" or panel in material:
            context.say("material", material.get(panel, word), panel)
        elif panel not in by_finish.get("no-reading", []):
            by_finish.setdefault("no-reading", []).append(panel)
            context.explain("finish", "no-reading", panel)


def _count(context: Context, name: str, panels: list[str]) -> None:
    more = None
    if panels:
        more = said("more-panels", {"panels": listed([{"place": panel} for panel in panels])})
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
