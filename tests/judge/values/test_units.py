"""Units against pint (its own definitions), numbers against fractions and decimal.

The text forms a person may type are common practice; the conversion check values are exact by
definition (the inch of mercury by the conventional one).
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.values import exact, units
from bradawl.judge.values.exact import half_up, parse

PINT = {
    "mm": ("millimeter", "millimeter"),
    "in": ("inch", "millimeter"),
    "um": ("micrometer", "micrometer"),
    "mil": ("thou", "micrometer"),
    "kPa": ("kilopascal", "kilopascal"),
    "bar": ("bar", "kilopascal"),
    "psi": ("pound_force_per_square_inch", "kilopascal"),
    "inHg": ("inch_Hg", "kilopascal"),
    "V": ("volt", "volt"),
    "mV": ("millivolt", "volt"),
    "A": ("ampere", "ampere"),
    "mA": ("milliampere", "ampere"),
    "ohm": ("ohm", "ohm"),
    "kohm": ("kiloohm", "ohm"),
    "N": ("newton", "newton"),
    "daN": ("decanewton", "newton"),
    "kN": ("kilonewton", "newton"),
    "kgf": ("kilogram_force", "newton"),
    "lbf": ("force_pound", "newton"),
    "lb": ("pound", "kilogram"),
    "kg": ("kilogram", "kilogram"),
    "Nm": ("newton * meter", "newton * meter"),
    "lbf.ft": ("force_pound * foot", "newton * meter"),
    "km": ("kilometer", "kilometer"),
    "m": ("meter", "kilometer"),
    "mi": ("mile", "kilometer"),
    "ft": ("foot", "kilometer"),
    "s": ("second", "second"),
    "min": ("minute", "second"),
    "d": ("day", "second"),
}
numbers = st.tuples(st.integers(-(10**9), 10**9), st.integers(1, 10**6))
ALL = sorted(units._UNITS)


def fraction(number: tuple[int, int]) -> Fraction:
    return Fraction(number[0], number[1])


@pytest.fixture(scope="module")
def registry() -> Any:
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("unit", sorted(PINT))
def test_a_unit_is_what_pint_says(registry: Any, unit: str) -> None:
    theirs, base = PINT[unit]
    factor = (Fraction(1) * registry.parse_units(theirs)).to(registry.parse_units(base)).magnitude
    assert fraction(units.to_base((1, 1), unit)) == Fraction(factor)


@pytest.mark.parametrize(
    ("figure", "celsius"),
    [
        ("-40", "-40"),
        ("32", "0"),
        ("212", "100"),
        ("401", "205"),
        ("446", "230"),
        ("284", "140"),
        ("311", "155"),
        ("500", "260"),
        ("356", "180"),
    ],
)
def test_fahrenheit_is_what_the_definition_says(figure: str, celsius: str) -> None:
    """-40 by definition; 401 and 446 degF stand beside 205 and 230 degC in 49 CFR 571.116 [R2]."""
    number = parse(figure)
    assert number is not None
    assert exact.decimal(units.to_base(number, "degF"), 6) == celsius


@pytest.mark.parametrize(
    ("typed", "unit", "wanted", "places", "source"),
    [
        ("36", "psi", "248.21", 2, "exact"),
        ("29.92", "inHg", "101.32", 2, "definition"),
        ("100", "lbf.ft", "135.58", 2, "exact"),
        ("5", "mil", "127", 0, "exact"),
        ("1/32", "in", "0.79375", 5, "exact"),
        ("1", "mi", "1.609344", 6, "exact"),
    ],
)
def test_conversions_of_the_tables(
    typed: str, unit: str, wanted: str, places: int, source: str
) -> None:
    number = parse(typed)
    assert number is not None
    assert exact.decimal(units.to_base(number, unit), places) == wanted, source


@given(numbers, st.sampled_from(ALL))
def test_there_and_back_again_nothing_drifts(number: tuple[int, int], unit: str) -> None:
    assert fraction(units.from_base(units.to_base(number, unit), unit)) == fraction(number)


@given(numbers, numbers)
def test_arithmetic_is_that_of_fractions(x: tuple[int, int], y: tuple[int, int]) -> None:
    a, b = fraction(x), fraction(y)
    assert fraction(exact.add(x, y)) == a + b
    assert fraction(exact.subtract(x, y)) == a - b
    assert fraction(exact.multiply(x, y)) == a * b
    assert exact.less(x, y) == (a < b)
    if y[0]:
        assert fraction(exact.divide(x, y)) == a / b


@given(st.integers(-(10**12), 10**12), st.integers(0, 6))
def test_rounding_is_half_up_like_decimal(n: int, places: int) -> None:
    value = Decimal(n) / Decimal(10**7)
    step = Decimal(1).scaleb(-places)
    wanted = int(value.quantize(step, ROUND_HALF_UP).scaleb(places))
    assert half_up((n, 10**7), places) == wanted
    assert Decimal(exact.decimal((n, 10**7), places)) == value.quantize(step, ROUND_HALF_UP)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("2.5", Fraction(5, 2)),
        (" 12 ", Fraction(12)),
        ("-4", Fraction(-4)),
        ("5/32", Fraction(5, 32)),
        ("1 5/32", Fraction(37, 32)),
        ("-1 1/2", Fraction(-3, 2)),
        (".5", Fraction(1, 2)),
        ("163.900", Fraction(1639, 10)),
    ],
)
def test_a_canonical_text_is_its_number(text: str, number: Fraction) -> None:
    found = parse(text)
    assert found is not None
    assert fraction(found) == number


@pytest.mark.parametrize(
    "text",
    ["", " ", "abc", "1/0", "1/", "/2", "1e3", "1.2.3", "12 34", "2,5", "1 2/3 4", "9" * 16, "-"],
)
def test_what_is_not_canonical_is_none(text: str) -> None:
    assert parse(text) is None


@given(st.text(max_size=12))
def test_no_text_makes_the_parser_stumble(text: str) -> None:
    found = parse(text)
    assert found is None or found[1] > 0
