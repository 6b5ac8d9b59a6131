"""Figures in the reader's unit, by the table that the phone's twin is held to as well.

Oracle: pint.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pint
import pytest

from bradawl.judge.values import exact, units
from bradawl.language.formats import unit_for
from bradawl.language.reader import Reader, reading_as

TABLE: dict[str, Any] = json.loads(
    (Path(__file__).parent / "measures.json").read_text(encoding="utf-8")
)
PINT = {"in/32": "thirty_second", "in": "inch", "mil": "thou", "degF": "degF", "mi": "mile"}
PINT |= {"psi": "pound_force_per_square_inch", "lbf.ft": "force_pound * foot", "inHg": "inch_Hg"}
BASE = {"length": "mm", "film": "micrometer", "temperature": "degC", "distance": "km"}
BASE |= {"pressure": "kPa", "torque": "newton * meter"}


@pytest.fixture(scope="module")
def registry() -> Any:
    made = pint.UnitRegistry(non_int_type=Fraction)
    made.define("thirty_second = inch / 32")
    return made


@pytest.mark.parametrize(("base", "unit", "offered", "region", "figure", "shown"), TABLE["rows"])
def test_a_figure_is_shown_in_the_readers_unit(
    registry: Any, base: str, unit: str, offered: list[str], region: str, figure: str, shown: str
) -> None:
    number = Fraction(base)
    with reading_as(Reader(region=region)):
        assert unit_for(unit, offered) == shown
    exactly = units.from_base((number.numerator, number.denominator), shown)
    assert exact.decimal(exactly, units.places(shown)) == figure
    if shown in PINT:
        quantity = registry.Quantity(number, BASE[units.quantity(shown)]).to(PINT[shown])
        half = Fraction(1, 2 * 10 ** units.places(shown))
        # the conventional inch of mercury differs from pint's in the sixth digit
        assert abs(Fraction(quantity.magnitude) - Fraction(figure)) <= half * Fraction(1001, 1000)
