"""Battery and charging.

Rest voltage against charge: textbook table of the flooded lead-acid battery at about 25 degC, a
6 V battery at half of it; temperature coefficient and the allowance for absorbed glass mat: from
memory. When cars went over from 6 to 12 V: common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings, visit_facts
from ..values import exact, units
from ..values.interpolation import between, table
from ..values.saying import said

if TYPE_CHECKING:
    from ..values.types import Measure, VisitFacts
    from .context import Context

_CHARGE = table(("11.89", "0"), ("12.06", "25"), ("12.24", "50"), ("12.45", "75"), ("12.65", "100"))
_TABLE_TEMPERATURE = (26, 1)  # degC
_PER_DEGREE = (12, 10000)  # V per K of a 12 V battery
_AGM = (17, 100)  # V by which absorbed glass mat reads higher
_HOUR = (3600, 1)
_TWELVE = (12, 1)  # V, for which the table stands
_ALL_TWELVE = 1970  # model year from which every car has 12 V
_READINGS = ("rest", "charging", "cranking")
_SIX_VOLTS = ((7, 2), (8, 1))  # what a 6 V car may read, resting, cranking or charging


def with_volts(measures: list[Measure], visit: VisitFacts) -> VisitFacts:
    """The visit with `car/volts` "6", "12", or "unknown" where a reading leaves it open.

    A car of the time of both whose voltage nobody noted, and a reading that is low for 12 V and
    right for 6 V: nobody may say which of the two it is.
    """
    volts = str(visit["car"].get("volts") or "")
    if volts not in ("6", "12"):
        year = visit_facts.whole(visit["car"].get("year"))
        volts = "12"
        for measure in measures:
            if (year is None or year < _ALL_TWELVE) and _may_be_six(measure):
                volts = "unknown"
    resolved = visit.copy()
    resolved["car"] = visit["car"].copy()
    resolved["car"]["volts"] = volts
    return resolved


def _may_be_six(measure: Measure) -> bool:
    number = measure["number"]
    if number is None or measure["of"] not in _READINGS:
        return False
    if units.quantity(measure["unit"]) != "voltage":
        return False
    return not exact.less(number, _SIX_VOLTS[0]) and not exact.less(_SIX_VOLTS[1], number)


def battery(context: Context) -> None:
    """Facts charge, rise, days_to_half from `rest`, `temperature`, `charging`, `drain`."""
    rest, charging, drain = (
        context.figure_of("rest"),
        context.figure_of("charging"),
        context.figure_of("drain"),
    )
    system = str(context.visit["car"].get("volts") or "12")
    for name in _READINGS:
        if context.figure_of(name) is not None and system == "unknown":
            context.add_problem("volts", "volts", context.reading_of(name))
    if rest is not None and system != "unknown":
        volts = exact.multiply(rest, exact.divide(_TWELVE, (int(system), 1)))
        temperature = context.figure_of("temperature")
        if temperature is not None:
            colder = exact.subtract(_TABLE_TEMPERATURE, temperature)
            volts = exact.add(volts, exact.multiply(colder, _PER_DEGREE))
        if context.parameter("type", "flooded") == "agm":
            volts = exact.subtract(volts, _AGM)
        context.fact("charge", between(_CHARGE, volts), "%", "", said("more-charge"))
        if charging is not None:
            context.fact("rise", exact.subtract(charging, rest), "V")
    if drain is not None and drain[0] > 0:
        half = exact.divide(context.figure("capacity", "60", "1"), (2, 1))  # ampere hours
        context.fact("days_to_half", exact.multiply(exact.divide(half, drain), _HOUR), "d")


def polarity(context: Context) -> None:
    """Fact polarity: as-made or reversed, from the answer which post is on the body.

    Backward is the battery of somebody who did not know: generator, radio, coil and ammeter are
    each made for one way around (common practice).
    """
    if context.choice not in ("negative", "positive"):
        return
    made = context.visit["car"].get("polarity")
    if made not in ("negative", "positive"):
        context.problems.append(readings.problem("no_figure", "no-polarity", {}, "car/polarity"))
    elif made != context.choice:
        context.explain("polarity", "reversed")
    elif made == "positive":
        context.explain("polarity", "as-made-positive")
    else:
        context.explain("polarity", "as-made-negative")
