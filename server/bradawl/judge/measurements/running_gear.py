"""Steering, brakes.

49 CFR 570.7 (free play, linkage, toe), 570.5 (pedal, linings, discs and drums), 571.116 (fluid);
2014/45/EU Annex I 1.2.1 (brake force).
The figures that decide are limits in the checklists; the table of 570.7 is here because free play
is measured against the wheel's diameter.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact, units
from ..values.interpolation import between, table
from ..values.saying import said
from .context import left_right_differences

if TYPE_CHECKING:
    from ..values.types import Exact
    from .context import Context

# 49 CFR 570.7: wheel diameter and free play at the rim, inches; from 16 in on, an eighth of it
_FREE_PLAY = table(("16", "2"), ("18", "2.25"), ("20", "2.5"), ("22", "2.75"))
_DEGREES = (572957795, 10000000)  # degrees in a radian
# 49 CFR 571.116: lowest boiling points dry and wet, degC
_FLUIDS = {"dot3": (205, 140), "dot4": (230, 155), "dot5": (260, 180), "dot5-1": (260, 180)}
_PERCENT = (100, 1)


def steering_play(context: Context) -> None:
    """Facts allowed, play_over, play_angle, play_share from readings `play` and `wheel`."""
    play, wheel = context.figure_of("play"), context.figure_of("wheel")
    if play is None:
        return
    unit = context.unit("play", "mm")
    # unknown wheel: the smallest row is the strictest
    inches = exact.ZERO if wheel is None else units.from_base(wheel, "in")
    allowed = units.to_base(between(_FREE_PLAY, inches), "in")
    row = said("more-wheel") if wheel is None else None
    context.fact("allowed", allowed, unit, "", row)
    context.fact("play_over", exact.subtract(play, allowed), unit)
    if wheel is not None and wheel[0] > 0:
        share = exact.divide(play, wheel)
        context.fact("play_share", exact.multiply(share, _PERCENT), "%")
        # the arc over the radius
        context.fact("play_angle", exact.multiply(exact.multiply(share, (2, 1)), _DEGREES), "deg")


def toe(context: Context) -> None:
    """Facts toe_off and toe_share from readings `toe` and `spec`, toe-in above zero.

    The law's share is that of the maker's value on its own side of zero; on the other side, and
    where the maker wants none, only the distance says how far off it is.
    """
    measured, spec = context.figure_of("toe"), context.figure_of("spec")
    if measured is None or spec is None:
        return
    off = exact.absolute(exact.subtract(measured, spec))
    context.fact("toe_off", off, context.unit("toe", "mm"))
    if spec[0]:
        context.fact("toe_share", exact.multiply(exact.divide(measured, spec), _PERCENT), "%")


def against(context: Context) -> None:
    """Facts off_spec.<place>: how far the readings named `against` lie outside the maker's figure.

    The figure is the reading `spec`, give or take `tolerance`, or the range `spec_low`, `spec_high`
    of which one end may be missing; of the same place, of its axle, or one for all. Within it: 0.
    """
    for name in context.strings("against"):
        _against(context, name)


def _against(context: Context, name: str) -> None:
    lows, highs = context.figures_at("spec_low"), context.figures_at("spec_high")
    specs = context.figures_at("spec")
    if not (lows or highs or specs):
        return
    figures = context.figures_at(name)
    for place in sorted(figures):
        low, high, spec = _of(lows, place), _of(highs, place), _of(specs, place)
        if spec is not None:
            tolerance = context.figure("tolerance", "0", context.parameter("unit", "1"))
            low, high = exact.subtract(spec, tolerance), exact.add(spec, tolerance)
        if low is None and high is None:
            continue
        off = exact.ZERO
        if low is not None and exact.less(figures[place], low):
            off = exact.subtract(low, figures[place])
        elif high is not None and exact.less(high, figures[place]):
            off = exact.subtract(figures[place], high)
        if context.parameter("unit", "1") == "degF-diff":
            context.fact("off_degrees", off, "degF-diff", place)
        else:
            context.fact("off_spec", off, context.unit(name, "1"), place)


def _of(figures: dict[str, Exact], place: str) -> Exact | None:
    """The maker's figure for a place: its own, its axle's, or the one for all."""
    return figures.get(place) or figures.get(place.split("-")[0]) or figures.get("")


def lining(context: Context) -> None:
    """Facts life.<place> and axle_gap.<axle> of a lining or pad."""
    reading = context.parameter("reading", "lining")
    figures = context.figures_at(reading)
    new, worn = context.figure("new", "11", "mm"), context.figure("worn", "1.6", "mm")
    if exact.less(worn, new):
        for place in sorted(figures):
            left = exact.subtract(figures[place], worn)
            share = exact.multiply(exact.divide(left, exact.subtract(new, worn)), _PERCENT)
            context.fact("life", exact.largest([exact.ZERO, share]), "%", place)
    for axle, gap in left_right_differences(figures):
        context.fact("axle_gap", gap, context.unit(reading, "mm"), axle)


def disc(context: Context) -> None:
    """Facts above_minimum.<place> from readings `thickness` and `minimum`."""
    minimum = context.figure_of("minimum")
    figures = context.figures_at("thickness")
    if minimum is not None:
        for place in sorted(figures):
            left = exact.subtract(figures[place], minimum)
            context.fact("above_minimum", left, context.unit("thickness", "mm"), place)


def drum(context: Context) -> None:
    """Facts below_maximum.<place> from readings `diameter` and `maximum`; linings by their kind."""
    _linings(context)
    maximum = context.figure_of("maximum")
    figures = context.figures_at("diameter")
    if maximum is not None:
        for place in sorted(figures):
            left = exact.subtract(maximum, figures[place])
            context.fact("below_maximum", left, context.unit("diameter", "mm"), place)


def _linings(context: Context) -> None:
    """A lining read in the way of the other kind: car/linings says how this car's are held.

    Bonded ones have no rivets, so what was read above them is over the shoe (fact `bonded`). Over
    the shoe says nothing of a riveted one, whose rivets end somewhere inside.
    """
    kind = context.visit["car"].get("linings")
    if kind == "bonded":
        over = context.figures_at("bonded")
        figures = context.figures_at("lining")
        for place in sorted(figures):
            if place not in over:
                unit = context.unit("lining", "mm")
                context.fact("bonded", figures[place], unit, place, said("more-bonded"))
    elif kind == "riveted" and context.figures_at("bonded"):
        context.add_problem("lining_kind", "riveted", context.reading_of("bonded"))


def pedal(context: Context) -> None:
    """Facts pedal_travel and pedal_reserve: (A - B) / A, A rest to floor, B pressed to floor."""
    rest, pressed = context.figure_of("rest"), context.figure_of("pressed")
    if rest is None or pressed is None or rest[0] <= 0:
        return
    if exact.less(rest, pressed):
        context.add_problem("contradiction", "pedal", context.reading_of("pressed"))
        return
    reserve = exact.multiply(exact.divide(pressed, rest), _PERCENT)
    context.fact("pedal_travel", exact.subtract(_PERCENT, reserve), "%")
    context.fact("pedal_reserve", reserve, "%")


def brake_force(context: Context) -> None:
    """Facts imbalance.<axle> and steered_imbalance from readings `force` of a brake tester.

    The difference as a share of the higher side, as 2014/45/EU Annex I 1.2.1 counts it (from
    memory). An axle with one side only, or with none that brakes, has no share.
    """
    figures = context.figures_at("force")
    for axle in ("front", "rear"):
        left, right = figures.get(axle + "-left"), figures.get(axle + "-right")
        if left is None or right is None:
            continue
        higher = exact.largest([left, right])
        if higher[0] <= 0:
            continue
        gap = exact.absolute(exact.subtract(left, right))
        share = exact.multiply(exact.divide(gap, higher), _PERCENT)
        context.fact("imbalance", share, "%", axle)
        if axle == "front":
            context.fact("steered_imbalance", share, "%")


def brake_fluid(context: Context) -> None:
    """Facts above_wet and below_dry: the boiling point against the class (the choice)."""
    boiling = context.figure_of("boiling")
    if boiling is None:
        return
    is_known_class = context.choice in _FLUIDS
    dry, wet = _FLUIDS[context.choice if is_known_class else "dot4"]
    more = None if is_known_class else said("more-dot-4")
    context.fact("above_wet", exact.subtract(boiling, (wet, 1)), "degC-diff", "", more)
    context.fact("below_dry", exact.subtract((dry, 1), boiling), "degC-diff", "", more)
