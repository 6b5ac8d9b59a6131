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
from .context import gaps

if TYPE_CHECKING:
    from ..values.types.loose import Exact
    from .context import Workings

# 49 CFR 570.7: wheel diameter and free play at the rim, inches; from 16 in on, an eighth of it
_FREE_PLAY = table(("16", "2"), ("18", "2.25"), ("20", "2.5"), ("22", "2.75"))
_DEGREES = (572957795, 10000000)  # degrees in a radian
# 49 CFR 571.116: lowest boiling points dry and wet, degC
_FLUIDS = {"dot3": (205, 140), "dot4": (230, 155), "dot5": (260, 180), "dot5-1": (260, 180)}
_PERCENT = (100, 1)


def steering_play(work: Workings) -> None:
    """Facts allowed, play_over, play_angle, play_share from readings `play` and `wheel`."""
    play, wheel = work.one("play"), work.one("wheel")
    if play is None:
        return
    unit = work.unit("play", "mm")
    # unknown wheel: the smallest row is the strictest
    inches = exact.ZERO if wheel is None else units.from_base(wheel, "in")
    allowed = units.to_base(between(_FREE_PLAY, inches), "in")
    row = "for a wheel of unknown size" if wheel is None else ""
    work.fact("allowed", allowed, unit, "", row)
    work.fact("play_over", exact.subtract(play, allowed), unit)
    if wheel is not None and wheel[0] > 0:
        share = exact.divide(play, wheel)
        work.fact("play_share", exact.multiply(share, _PERCENT), "%")
        # the arc over the radius
        work.fact("play_angle", exact.multiply(exact.multiply(share, (2, 1)), _DEGREES), "deg")


def toe(work: Workings) -> None:
    """Fact toe_share from readings `toe` and `spec`; toe-in and toe-out count alike."""
    measured, spec = work.one("toe"), work.one("spec")
    if measured is not None and spec is not None and spec[0]:
        share = exact.divide(exact.absolute(measured), exact.absolute(spec))
        work.fact("toe_share", exact.multiply(share, _PERCENT), "%")


def _figures(work: Workings, reading: str) -> dict[str, Exact]:
    figures = {}
    for found in work.places(reading):
        figures[found["place"]] = found["number"]
    return figures


def lining(work: Workings) -> None:
    """Facts life.<place> and axle_gap.<axle> of a lining or pad."""
    reading = work.parameter("reading", "lining")
    figures = _figures(work, reading)
    new, worn = work.figure("new", "11", "mm"), work.figure("worn", "1.6", "mm")
    if exact.less(worn, new):
        for place in sorted(figures):
            left = exact.subtract(figures[place], worn)
            share = exact.multiply(exact.divide(left, exact.subtract(new, worn)), _PERCENT)
            work.fact("life", exact.largest([exact.ZERO, share]), "%", place)
    for stem, gap in gaps(figures):
        work.fact("axle_gap", gap, work.unit(reading, "mm"), stem)


def disc(work: Workings) -> None:
    """Facts above_minimum.<place> from readings `thickness` and `minimum`."""
    minimum = work.one("minimum")
    figures = _figures(work, "thickness")
    if minimum is not None:
        for place in sorted(figures):
            left = exact.subtract(figures[place], minimum)
            work.fact("above_minimum", left, work.unit("thickness", "mm"), place)


def drum(work: Workings) -> None:
    """Facts below_maximum.<place> from readings `diameter` and `maximum`."""
    maximum = work.one("maximum")
    figures = _figures(work, "diameter")
    if maximum is not None:
        for place in sorted(figures):
            left = exact.subtract(maximum, figures[place])
            work.fact("below_maximum", left, work.unit("diameter", "mm"), place)


def pedal(work: Workings) -> None:
    """Facts pedal_travel and pedal_reserve: (A - B) / A, A rest to floor, B pressed to floor."""
    rest, pressed = work.one("rest"), work.one("pressed")
    if rest is None or pressed is None or rest[0] <= 0:
        return
    if exact.less(rest, pressed):
        found = work.places("pressed")[0]
        text = "%s: the pressed pedal cannot be farther from the floor than at rest."
        work.trouble("contradiction", text % found["title"], found)
        return
    reserve = exact.multiply(exact.divide(pressed, rest), _PERCENT)
    work.fact("pedal_travel", exact.subtract(_PERCENT, reserve), "%")
    work.fact("pedal_reserve", reserve, "%")


def brake_force(work: Workings) -> None:
    """Facts imbalance.<axle> and steered_imbalance from readings `force` of a brake tester.

    The difference as a share of the higher side, as 2014/45/EU Annex I 1.2.1 counts it (from
    memory). An axle with one side only, or with none that brakes, has no share.
    """
    figures = _figures(work, "force")
    for axle in ("front", "rear"):
        left, right = figures.get(axle + "-left"), figures.get(axle + "-right")
        if left is None or right is None:
            continue
        higher = exact.largest([left, right])
        if higher[0] <= 0:
            continue
        gap = exact.absolute(exact.subtract(left, right))
        share = exact.multiply(exact.divide(gap, higher), _PERCENT)
        work.fact("imbalance", share, "%", axle)
        if axle == "front":
            work.fact("steered_imbalance", share, "%")


def brake_fluid(work: Workings) -> None:
    """Facts above_wet and below_dry: the boiling point against the class (the choice)."""
    boiling = work.one("boiling")
    if boiling is None:
        return
    known = work.choice in _FLUIDS
    dry, wet = _FLUIDS[work.choice if known else "dot4"]
    more = "" if known else "judged as DOT 4, its class being unknown"
    work.fact("above_wet", exact.subtract(boiling, (wet, 1)), "degC", "", more)
    work.fact("below_dry", exact.subtract((dry, 1), boiling), "degC", "", more)
