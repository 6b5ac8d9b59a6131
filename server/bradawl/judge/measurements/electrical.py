"""Battery and charging.

Rest voltage against charge: textbook table of the flooded lead-acid battery at about 25 degC;
temperature coefficient and the allowance for absorbed glass mat: from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact
from ..values.interpolation import between, table
from ..values.saying import said

if TYPE_CHECKING:
    from .context import Context

_CHARGE = table(("11.89", "0"), ("12.06", "25"), ("12.24", "50"), ("12.45", "75"), ("12.65", "100"))
_TABLE_TEMPERATURE = (26, 1)  # degC
_PER_DEGREE = (12, 10000)  # V per K of a 12 V battery
_AGM = (17, 100)  # V by which absorbed glass mat reads higher
_HOUR = (3600, 1)


def battery(context: Context) -> None:
    """Facts charge, rise, days_to_half from `rest`, `temperature`, `charging`, `drain`."""
    rest, charging, drain = (
        context.figure_of("rest"),
        context.figure_of("charging"),
        context.figure_of("drain"),
    )
    if rest is not None:
        volts = rest
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
