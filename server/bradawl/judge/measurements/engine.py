"""Compression, vacuum, fuel pressure, coolant sensor, oil pressure.

Regulator: rail gauge pressure = set pressure - manifold vacuum. Vacuum at height: standard
atmosphere. Sensor: a published curve of the common 2.5 kOhm family. The rest: common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact, units
from ..values.ascii_text import all_digits
from ..values.interpolation import between, geometric, geometric_inverse, table
from ..values.saying import figure, listed, said

if TYPE_CHECKING:
    from ..values.types import Exact
    from .context import Context

_PERCENT = (100, 1)
# standard atmosphere: height in ft, air pressure in inHg
_AIR = table(
    ("0", "29.921"),
    ("1000", "28.856"),
    ("2000", "27.821"),
    ("3000", "26.817"),
    ("4000", "25.842"),
    ("5000", "24.896"),
    ("6000", "23.978"),
    ("7000", "23.088"),
    ("8000", "22.225"),
    ("10000", "20.577"),
)
_SENSOR = (
    (-40.0, 48805.0),
    (-20.0, 15971.0),
    (-10.0, 9620.0),
    (0.0, 5975.0),
    (10.0, 3816.0),
    (20.0, 2502.0),
    (25.0, 2044.0),
    (40.0, 1152.0),
    (50.0, 807.0),
    (60.0, 576.0),
    (70.0, 418.0),
    (80.0, 309.0),
    (90.0, 231.0),
    (100.0, 176.0),
    (110.0, 135.0),
    (120.0, 105.0),
)
_SHORT_OHM = (50, 1)
_OPEN_OHM = (100000, 1)  # twice what the coldest row of the curve reads
_FIVE_MINUTES = (300, 1)


def _number(place: str) -> tuple[int, str]:
    return (int(place), place) if all_digits(place) else (0, place)


def _low_neighbours(
    cylinders: list[str], low: dict[str, bool], banks: list[list[str]]
) -> list[str]:
    """The low cylinders that stand beside a low one in their bank."""
    beside: dict[str, bool] = {}
    for bank in banks or [cylinders]:
        for i in range(1, len(bank)):
            if bank[i - 1] in low and bank[i] in low:
                beside[bank[i - 1]] = True
                beside[bank[i]] = True
    return sorted(beside)


def compression(context: Context) -> None:
    """Facts lowest, highest, mean, low_share, off_mean, wet_rise, seat, neighbours.

    Wet well above dry: rings; no rise: valves, or the gasket where neighbours are low together.
    """
    dry = context.figures_at("dry")
    if len(dry) < 2:
        return
    unit = context.unit("dry", "kPa")
    figures = [dry[place] for place in sorted(dry)]
    lowest, highest, mean = exact.smallest(figures), exact.largest(figures), exact.mean(figures)
    if highest[0] <= 0:
        return
    context.fact("lowest", lowest, unit)
    context.fact("highest", highest, unit)
    context.fact("mean", mean, unit)
    context.fact("low_share", exact.multiply(exact.divide(lowest, highest), _PERCENT), "%")
    wet = context.figures_at("wet")
    limit = exact.divide(context.figure("low", "75", "%"), _PERCENT)
    clear_rise = context.figure("rise", "10", "%")
    low: dict[str, bool] = {}
    rises: dict[str, Exact] = {}
    for place in sorted(dry):
        away = exact.divide(exact.subtract(dry[place], mean), mean)
        context.fact("off_mean", exact.multiply(away, _PERCENT), "%", place)
        if exact.less(dry[place], exact.multiply(highest, limit)):
            low[place] = True
        if place in wet and dry[place][0] > 0:
            rise = exact.divide(exact.subtract(wet[place], dry[place]), dry[place])
            rises[place] = exact.multiply(rise, _PERCENT)
            context.fact("wet_rise", rises[place], "%", place)
    cylinders = [pair[1] for pair in sorted([_number(place) for place in dry])]
    together = _low_neighbours(cylinders, low, context.table("banks"))
    more = None
    if together:
        more = said("more-cylinders", {"cylinders": listed([{"place": name} for name in together])})
    context.say("neighbours", "yes" if together else "no", "", more)
    for place in sorted(low):
        if place in rises and not exact.less(rises[place], clear_rise):
            context.explain("seat", "rings", place)
        elif place in together:
            context.explain("seat", "gasket", place)
        elif place in rises:
            context.explain("seat", "valves", place)
        else:
            context.explain("seat", "untested", place)


def vacuum(context: Context) -> None:
    """Facts expected_low, expected_high, vacuum_below: idle vacuum at the height of the place."""
    idle, altitude = context.figure_of("idle"), context.figure_of("altitude")
    feet = exact.ZERO if altitude is None else units.from_base(altitude, "ft")
    lost = units.to_base(exact.subtract(_AIR[0][1], between(_AIR, feet)), "inHg")
    unit = context.unit("idle", "inHg")
    low = exact.subtract(context.figure("low", "17", "inHg"), lost)
    if idle is not None:
        more = said("more-sea-level" if altitude is None else "more-height")
        context.fact("expected_low", low, unit, "", more)
        high = exact.subtract(context.figure("high", "22", "inHg"), lost)
        context.fact("expected_high", high, unit, "", more)
        context.fact("vacuum_below", exact.subtract(low, idle), unit)


def _loss(start: Exact, end: Exact, seconds: Exact) -> Exact:
    return exact.multiply(exact.divide(exact.subtract(start, end), seconds), _FIVE_MINUTES)


def fuel_pressure(context: Context) -> None:
    """Facts expected_idle, idle_off, implied_vacuum, reference, loss, leak."""
    unset, idle = context.figure_of("open"), context.figure_of("idle")
    unit = context.unit("open", context.unit("hold_start", "psi"))
    if unset is not None:
        drawn = context.figure_of("vacuum")
        more = None
        if drawn is None:
            drawn = context.figure("idle_vacuum", "16", "inHg")
            more = said("more-vacuum", {"vacuum": figure(drawn, "inHg")})
        expected = exact.subtract(unset, drawn)
        context.fact("expected_idle", expected, unit, "", more)
        if idle is not None:
            context.fact("idle_off", exact.subtract(idle, expected), unit)
            implied = exact.subtract(unset, idle)
            context.fact("implied_vacuum", implied, context.unit("vacuum", "inHg"))
            if not exact.less(units.to_base((2, 1), "inHg"), implied):
                context.explain("reference", "none")
            elif exact.less(implied, units.to_base((12, 1), "inHg")):
                context.explain("reference", "weak")
            else:
                context.say("reference", "working")
    start, end, time = (
        context.figure_of("hold_start"),
        context.figure_of("hold_end"),
        context.figure_of("hold_time"),
    )
    if start is None or end is None or time is None or time[0] <= 0:
        return
    context.fact("loss", _loss(start, end, time), unit)
    allowed = context.figure("hold", "5", "psi")
    if not exact.less(allowed, _loss(start, end, time)):
        context.explain("leak", "none")
        return
    back, supply = context.figure_of("clamp_return"), context.figure_of("clamp_supply")
    if back is not None and not exact.less(allowed, _loss(start, back, time)):
        context.explain("leak", "regulator")
    elif supply is not None and not exact.less(allowed, _loss(start, supply, time)):
        context.explain("leak", "pump-valve")
    elif back is not None and supply is not None:
        context.explain("leak", "injector")
    elif back is None:
        context.explain("leak", "untested")
    else:
        context.say("leak", "untested", "", said("more-leak-supply"))


def coolant_sensor(context: Context) -> None:
    """Facts expected, off, believed, circuit from readings `resistance` and `temperature`."""
    if context.words_of("resistance"):
        context.say("circuit", "open", "", said("more-circuit-unplugged"))
        return
    resistance, temperature = context.figure_of("resistance"), context.figure_of("temperature")
    if resistance is None:
        return
    if exact.less(resistance, _SHORT_OHM):
        context.explain("circuit", "short")
        return
    if exact.less(_OPEN_OHM, resistance):
        context.explain("circuit", "open")
        return
    curve = _curve(context)
    believed = geometric_inverse(curve, exact.as_float(resistance))
    context.fact("believed", exact.from_float(believed), context.unit("temperature", "degC"))
    if temperature is None:
        return
    expected = exact.from_float(geometric(curve, exact.as_float(temperature)))
    context.fact("expected", expected, "ohm")
    off = exact.multiply(exact.divide(exact.subtract(resistance, expected), expected), _PERCENT)
    context.fact("off", off, "%")
    within = not exact.less(context.figure("tolerance", "15", "%"), exact.absolute(off))
    context.say("circuit", "plausible" if within else "off")


def _curve(context: Context) -> list[tuple[float, float]]:
    """The stated table, if it falls as such a sensor must; else the common family."""
    rows: list[tuple[float, float]] = []
    for row in context.table("table"):
        celsius, ohm = exact.parse(row[0]), exact.parse(row[1])
        if celsius is not None and ohm is not None and ohm[0] > 0:
            rows.append((exact.as_float(celsius), exact.as_float(ohm)))
    rows.sort()
    for i in range(1, len(rows)):
        if rows[i][1] >= rows[i - 1][1]:
            return list(_SENSOR)
    return rows if len(rows) > 1 else list(_SENSOR)


def oil_pressure(context: Context) -> None:
    """Facts expected and short: a rule of thumb per 1,000 rpm, warm; the maker's figure wins."""
    pressure, speed = context.figure_of("pressure"), context.figure_of("rpm")
    if pressure is None or speed is None:
        return
    per_rpm = exact.divide(context.figure("per_1000", "10", "psi"), (1000, 1))
    expected = exact.multiply(per_rpm, speed)
    unit = context.unit("pressure", "psi")
    context.fact("expected", expected, unit)
    context.fact("short", exact.subtract(expected, pressure), unit)
