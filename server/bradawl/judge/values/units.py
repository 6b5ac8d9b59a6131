"""Units: each a factor, exact by definition, to its quantity's base unit.

Sources: international yard and pound (1959): 1 in = 25.4 mm, 1 mi = 1.609344 km, 1 lb =
0.45359237 kg; standard gravity 9.80665 m/s2; conventional inch of mercury at 0 degC, density
13595.1 kg/m3. Oracle in tests: pint.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .exact import add, divide, multiply, subtract

if TYPE_CHECKING:
    from .types import Exact

_LBF = (44482216152605, 10000000000000)  # newton
_PSI = divide(_LBF, (64516, 100000))  # kPa: lbf over a square inch of 645.16 mm2, per 1000
_INHG = divide(multiply(multiply((135951, 10), (980665, 100000)), (254, 10000)), (1000, 1))  # kPa
_INCH = (127, 5)  # mm

# unit: (quantity, factor to base, offset added before the factor)
_UNITS: dict[str, tuple[str, Exact, Exact]] = {
    "mm": ("length", (1, 1), (0, 1)),
    "in": ("length", _INCH, (0, 1)),
    "in/32": ("length", divide(_INCH, (32, 1)), (0, 1)),
    "um": ("film", (1, 1), (0, 1)),
    "mil": ("film", (127, 5), (0, 1)),
    "kPa": ("pressure", (1, 1), (0, 1)),
    "bar": ("pressure", (100, 1), (0, 1)),
    "psi": ("pressure", _PSI, (0, 1)),
    "inHg": ("pressure", _INHG, (0, 1)),
    "degC": ("temperature", (1, 1), (0, 1)),
    "degF": ("temperature", (5, 9), (-32, 1)),
    # a difference of two temperatures, which knows no zero
    "degC-diff": ("temperature-difference", (1, 1), (0, 1)),
    "degF-diff": ("temperature-difference", (5, 9), (0, 1)),
    "V": ("voltage", (1, 1), (0, 1)),
    "mV": ("voltage", (1, 1000), (0, 1)),
    "A": ("current", (1, 1), (0, 1)),
    "mA": ("current", (1, 1000), (0, 1)),
    "ohm": ("resistance", (1, 1), (0, 1)),
    "kohm": ("resistance", (1000, 1), (0, 1)),
    "N": ("force", (1, 1), (0, 1)),
    "daN": ("force", (10, 1), (0, 1)),
    "kN": ("force", (1000, 1), (0, 1)),
    "kgf": ("force", (980665, 100000), (0, 1)),
    "lbf": ("force", _LBF, (0, 1)),
    "kg": ("mass", (1, 1), (0, 1)),
    "lb": ("mass", (45359237, 100000000), (0, 1)),
    "Nm": ("torque", (1, 1), (0, 1)),
    "lbf.ft": ("torque", multiply(_LBF, (3048, 10000)), (0, 1)),
    "km": ("distance", (1, 1), (0, 1)),
    "m": ("distance", (1, 1000), (0, 1)),
    "mi": ("distance", (1609344, 1000000), (0, 1)),
    "ft": ("distance", (3048, 10000000), (0, 1)),
    "km/h": ("speed", (1, 1), (0, 1)),
    "mph": ("speed", (1609344, 1000000), (0, 1)),
    "deg": ("angle", (1, 1), (0, 1)),
    "%": ("percent", (1, 1), (0, 1)),
    "1": ("count", (1, 1), (0, 1)),
    "s": ("duration", (1, 1), (0, 1)),
    "min": ("duration", (60, 1), (0, 1)),
    "d": ("duration", (86400, 1), (0, 1)),
    "yr": ("duration", (31556952, 1), (0, 1)),  # the mean Gregorian year
}
_QUANTITIES = {"vacuum": "pressure"}  # a vacuum is a pressure below the air's

#: Which system a unit belongs to; one that is in neither (V, %, s) is everybody's.
SYSTEMS = {
    "us": (
        "in",
        "in/32",
        "mil",
        "psi",
        "inHg",
        "degF",
        "degF-diff",
        "lbf",
        "lb",
        "lbf.ft",
        "mi",
        "ft",
        "mph",
    ),
    "metric": (
        "mm",
        "um",
        "kPa",
        "bar",
        "degC",
        "degC-diff",
        "N",
        "daN",
        "kN",
        "kgf",
        "kg",
        "Nm",
        "km",
        "m",
        "km/h",
    ),
}
#: The system that the trade of a region measures in.
SYSTEM_OF_REGION = {"us": "us", "eu": "metric"}
#: A system's usual unit of a quantity, where a checklist offers none of that system.
USUAL = {
    "us": {
        "length": "in",
        "film": "mil",
        "pressure": "psi",
        "temperature": "degF",
        "temperature-difference": "degF-diff",
        "force": "lbf",
        "mass": "lb",
        "torque": "lbf.ft",
        "distance": "mi",
        "speed": "mph",
    },
    "metric": {
        "length": "mm",
        "film": "um",
        "pressure": "bar",
        "temperature": "degC",
        "temperature-difference": "degC-diff",
        "force": "N",
        "mass": "kg",
        "torque": "Nm",
        "distance": "km",
        "speed": "km/h",
    },
}
#: Digits after the point that a figure of that unit deserves; 0 for those that are not here.
_PLACES = {
    "mm": 2,
    "in": 3,
    "in/32": 1,
    "mil": 1,
    "psi": 1,
    "bar": 2,
    "inHg": 1,
    "V": 2,
    "A": 1,
    "kohm": 2,
    "deg": 1,
    "%": 1,
    "s": 1,
    "min": 1,
    "yr": 1,
    "1": 2,
}


def system(unit: str) -> str:
    """ "us", "metric", or "" for a unit of both."""
    for name in ("us", "metric"):
        if unit in SYSTEMS[name]:
            return name
    return ""


def places(unit: str) -> int:
    """Digits after the point that a figure of that unit deserves."""
    return _PLACES.get(unit, 0)


def message_name(unit: str) -> str:
    """The unit in the id of a message: in/32 is in-32, lbf.ft is lbf-ft, % is percent."""
    return "percent" if unit == "%" else unit.replace("/", "-").replace(".", "-")


def is_known(unit: str) -> bool:
    return unit in _UNITS


def quantity(unit: str) -> str:
    return _UNITS[unit][0]


def comparable(unit: str, other: str) -> bool:
    """Whether figures of both can be compared: they are of one quantity, or its differences."""
    return quantity(unit).split("-")[0] == quantity(other).split("-")[0]


def alike(unit: str) -> list[str]:
    """The units of its quantity, sorted."""
    return sorted([other for other in _UNITS if quantity(other) == quantity(unit)])


def difference(unit: str) -> str:
    """The unit of a difference of two figures in `unit`."""
    return unit + "-diff" if unit + "-diff" in _UNITS else unit


def measures(unit: str, wanted: str) -> bool:
    """Whether the unit is one of that quantity (a reading's `quantity`)."""
    return unit in _UNITS and _UNITS[unit][0] == _QUANTITIES.get(wanted, wanted)


def to_base(number: Exact, unit: str) -> Exact:
    """A figure in `unit` as a figure in its quantity's base unit."""
    entry = _UNITS[unit]
    if entry[2][0]:
        number = add(number, entry[2])
    return number if entry[1] == (1, 1) else multiply(number, entry[1])


def from_base(number: Exact, unit: str) -> Exact:
    """The other way, without drift: from_base(to_base(x, u), u) is x."""
    entry = _UNITS[unit]
    if entry[1] != (1, 1):
        number = divide(number, entry[1])
    return subtract(number, entry[2]) if entry[2][0] else number
