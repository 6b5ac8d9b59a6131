"""Compression, vacuum, fuel pressure, coolant sensor, oil pressure.

Regulator: rail gauge pressure = set pressure - manifold vacuum. Vacuum at height: standard
atmosphere. Sensor: a published curve of the common 2.5 kOhm family. The rest: common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values import exact, units
from ..values.interpolation import between, geometric, geometric_inverse, table, thermistor
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
_NO_HOSE = "no-hose"  # the answer that the regulator has no vacuum line


def banks(context: Context) -> list[list[str]]:
    """The cylinders of each bank in their order; [] while nobody knows how the engine is numbered.

    Up to five stand in one row unless somebody says otherwise. Of more the maker decides: 1 to 4
    and 5 to 8, or odd and even sides (common practice of both).
    """
    stated = context.table("banks")
    count = visit_facts.cylinders(context.visit)
    if stated or count is None:
        return stated
    numbers = [str(number) for number in range(1, count + 1)]
    order = context.visit["car"].get("banks")
    if order == "inline" or (order is None and count <= 5):
        return [numbers]
    half = (count + 1) // 2
    if order == "in-turn":
        return [numbers[:half], numbers[half:]]
    if order == "alternating":
        odd = [numbers[i] for i in range(0, count, 2)]
        return [odd, [numbers[i] for i in range(1, count, 2)]]
    return []


def _low_neighbours(low: dict[str, bool], sides: list[list[str]]) -> list[str]:
    """The low cylinders that stand beside a low one in their bank."""
    beside: dict[str, bool] = {}
    for bank in sides:
        for i in range(1, len(bank)):
            if bank[i - 1] in low and bank[i] in low:
                beside[bank[i - 1]] = True
                beside[bank[i]] = True
    return sorted(beside)


def compression(context: Context) -> None:
    """Facts lowest, highest, mean, low_share, off_mean, wet_rise, seat, neighbours.

    Wet well above dry: rings; no rise: valves, or the gasket where neighbours are low together.
    Who stands beside whom is not guessed.
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
    sides = banks(context)
    together = _low_neighbours(low, sides)
    more = None
    if together:
        more = said("more-cylinders", {"cylinders": listed([{"place": name} for name in together])})
    if sides:
        context.say("neighbours", "yes" if together else "no", "", more)
    _seats(context, low, rises, together, len(low) > 1 and not sides)


def _seats(
    context: Context,
    low: dict[str, bool],
    rises: dict[str, Exact],
    together: list[str],
    may_be_gasket: bool,
) -> None:
    """What each low cylinder leaks past."""
    clear_rise = context.figure("rise", "10", "%")
    for place in sorted(low):
        if place in rises and not exact.less(rises[place], clear_rise):
            context.explain("seat", "rings", place)
        elif place in together:
            context.explain("seat", "gasket", place)
        elif place in rises:
            context.explain("seat", "valves-or-gasket" if may_be_gasket else "valves", place)
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


def _band(context: Context) -> tuple[Exact, Exact] | None:
    """Lowest and highest set pressure that is right: the maker's, else what its system has.

    None where nobody said which system it is: then `_fits_none` is all that can be said.
    """
    spec = context.figure_of("spec")
    if spec is not None:
        tolerance = exact.divide(context.figure("tolerance", "10", "%"), _PERCENT)
        margin = exact.multiply(spec, tolerance)
        return exact.subtract(spec, margin), exact.add(spec, margin)
    for system, low, high in _systems(context):
        if system == context.visit["car"].get("injection"):
            return low, high
    return None


def _systems(context: Context) -> list[tuple[str, Exact, Exact]]:
    """(kind of injection, lowest, highest set pressure), as the checklist has them in psi."""
    rows = []
    for row in context.table("systems"):
        low, high = exact.parse(row[1]), exact.parse(row[2])
        if low is not None and high is not None:
            rows.append((row[0], units.to_base(low, "psi"), units.to_base(high, "psi")))
    return rows


def _judge_set_pressure(context: Context, unset: Exact) -> None:
    """Facts set_short and set_over, or set_pressure where no system at all runs at that."""
    band = _band(context)
    if band is None:
        rows = _systems(context)
        fitting = [row for row in rows if not exact.less(unset, row[1])]
        fitting = [row for row in fitting if not exact.less(row[2], unset)]
        if rows and not fitting:
            context.explain("set_pressure", "fits-none")
        return
    short = exact.multiply(exact.divide(exact.subtract(band[0], unset), band[0]), _PERCENT)
    over = exact.multiply(exact.divide(exact.subtract(unset, band[1]), band[1]), _PERCENT)
    unit = context.unit("open", "psi")
    context.fact("set_low", band[0], unit)
    context.fact("set_high", band[1], unit)
    context.fact("set_short", exact.largest([short, exact.ZERO]), "%")
    context.fact("set_over", exact.largest([over, exact.ZERO]), "%")


def fuel_pressure(context: Context) -> None:
    """Facts of the set pressure, the regulator's vacuum line, and what a rail loses."""
    unset = context.figure_of("open")
    if unset is not None:
        _judge_set_pressure(context, unset)
        if context.choice == _NO_HOSE or _is_returnless(context):
            context.explain("reference", "not-fitted")
        else:
            _judge_reference(context, unset)
    start, end, time = (
        context.figure_of("hold_start"),
        context.figure_of("hold_end"),
        context.figure_of("hold_time"),
    )
    if start is not None and end is not None and time is not None and time[0] > 0:
        _judge_hold(context, start, end, time)


def _is_returnless(context: Context) -> bool:
    """Whether the regulator sits in the tank: no vacuum line, and no return to clamp."""
    return context.visit["car"].get("fuel_return") == "returnless"


def _judge_reference(context: Context, unset: Exact) -> None:
    """Facts expected_idle, idle_off, implied_vacuum, reference."""
    drawn, idle = context.figure_of("vacuum"), context.figure_of("idle")
    more = None
    if drawn is None:
        drawn = context.figure("idle_vacuum", "16", "inHg")
        more = said("more-vacuum", {"vacuum": figure(drawn, "inHg")})
    expected = exact.subtract(unset, drawn)
    context.fact("expected_idle", expected, context.unit("open", "psi"), "", more)
    if idle is None:
        if not context.choice:
            context.add_unmeasured("idle")
        return
    context.fact("idle_off", exact.subtract(idle, expected), context.unit("open", "psi"))
    implied = exact.subtract(unset, idle)
    context.fact("implied_vacuum", implied, context.unit("vacuum", "inHg"))
    if not exact.less(units.to_base((2, 1), "inHg"), implied):
        context.explain("reference", "none")
    elif exact.less(implied, units.to_base((12, 1), "inHg")):
        context.explain("reference", "weak")
    else:
        context.say("reference", "working")


def _judge_hold(context: Context, start: Exact, end: Exact, time: Exact) -> None:
    """Facts loss (in five minutes, never more than there was), hold and leak."""
    lost = _loss(start, end, time)
    context.fact("loss", exact.smallest([lost, start]), context.unit("hold_start", "psi"))
    nearly_all = exact.multiply(start, (9, 10))
    is_soon = not exact.less(_FIVE_MINUTES, time)
    context.explain("hold", "empties" if is_soon and exact.less(nearly_all, lost) else "keeps")
    allowed = context.figure("hold", "5", "psi")
    if not exact.less(allowed, lost):
        context.explain("leak", "none")
        return
    back, supply = context.figure_of("clamp_return"), context.figure_of("clamp_supply")
    if back is not None and not exact.less(allowed, _loss(start, back, time)):
        context.explain("leak", "regulator")
    elif supply is not None and not exact.less(allowed, _loss(start, supply, time)):
        context.explain("leak", "pump-valve")
    elif supply is not None and (back is not None or _is_returnless(context)):
        context.explain("leak", "injector")
    elif back is None and not _is_returnless(context):
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
    if not curve:
        return
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
    """Through the maker's three points ([] where they don't fall), else the common family."""
    rows: list[tuple[float, float]] = []
    celsius, ohm = context.figures_at("spec_degrees"), context.figures_at("spec_ohm")
    for place in sorted(celsius):
        if place in ohm and ohm[place][0] > 0:
            rows.append((exact.as_float(celsius[place]), exact.as_float(ohm[place])))
    if len(rows) < 3:
        return list(_SENSOR)
    curve = thermistor(rows)
    if not curve:
        context.add_problem("unreadable", "table", context.reading_of("spec_ohm"))
    return curve


def oil_pressure(context: Context) -> None:
    """Facts expected, short, oil_share: the maker's figure at its speed, else a rule of thumb."""
    pressure, speed = context.figure_of("pressure"), context.figure_of("rpm")
    if pressure is None or speed is None:
        return
    per_rpm = exact.divide(context.figure("per_1000", "10", "psi"), (1000, 1))
    expected = exact.multiply(per_rpm, speed)
    spec, at = context.figure_of("spec"), context.figure_of("spec_rpm")
    if spec is not None and at is not None and at[0] > 0:
        # below the maker's speed in proportion, above it no more: the relief valve opens
        share = exact.smallest([exact.divide(speed, at), exact.ONE])
        expected = exact.multiply(spec, share)
    unit = context.unit("pressure", "psi")
    context.fact("expected", expected, unit)
    context.fact("short", exact.subtract(expected, pressure), unit)
    if expected[0] > 0:
        share = exact.divide(pressure, expected)
        context.fact("oil_share", exact.multiply(share, _PERCENT), "%")
