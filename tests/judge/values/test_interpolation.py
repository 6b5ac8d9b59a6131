"""Curves and dates against the standard library and published formulas.

Sources: International Standard Atmosphere (pressure = 101.325 kPa (1 - 2.25577e-5 h)^5.25588, from
memory); NTC beta equation, 3,611 K computed from the published curve; the Gregorian
calendar of `datetime`.
"""

from __future__ import annotations

import datetime
import math

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.measurements import engine, fluids
from bradawl.judge.values import dates, exact, interpolation


@given(st.floats(0.0, 1000.0), st.floats(0.0, 4.0))
def test_power_is_the_power(base: float, exponent: float) -> None:
    if base == 0.0 and exponent < 1e-9:
        return
    wanted = base**exponent
    assert interpolation.power(base, exponent) == pytest.approx(wanted, rel=1e-9, abs=1e-12)


def test_the_air_table_is_the_standard_atmosphere() -> None:
    for feet in range(0, 10001, 250):
        metres = feet * 0.3048
        wanted = 29.9213 * (1 - 2.25577e-5 * metres) ** 5.25588
        found = exact.as_float(interpolation.between(engine._AIR, (feet, 1)))
        assert found == pytest.approx(wanted, abs=0.02), feet


def test_the_sensor_curve_follows_its_beta() -> None:
    for celsius in range(20, 81):
        wanted = 2502 * math.exp(3611 * (1 / (celsius + 273.15) - 1 / 293.15))
        found = interpolation.geometric(list(engine._SENSOR), float(celsius))
        assert found == pytest.approx(wanted, rel=0.04), celsius


@given(st.floats(-39.0, 119.0))
def test_the_sensor_read_backwards_gives_the_temperature(celsius: float) -> None:
    rows = list(engine._SENSOR)
    ohm = interpolation.geometric(rows, celsius)
    assert interpolation.geometric_inverse(rows, ohm) == pytest.approx(celsius, abs=1e-6)


@pytest.mark.parametrize(
    ("percent", "celsius"),
    [(0, 0), (20, -9), (33, -18), (40, -24), (50, -37), (60, -52), (100, -13)],
)
def test_ethylene_glycol_freezes_by_the_published_table(percent: int, celsius: int) -> None:
    """Standards table; 40 to 60 % read in a secondary page, the rest common practice."""
    assert interpolation.between(fluids._ETHYLENE, (percent, 1)) == (celsius, 1)


def test_water_under_a_cap_boils_by_the_antoine_equation() -> None:
    """Antoine constants of water from memory (bar, K; 379 to 573 K and 344 to 373 K)."""
    for psi in range(17):
        bar = 1.01325 + psi * 0.0689476
        wanted = 1435.264 / (4.6543 - math.log10(bar)) + 64.848 - 273.15
        found = exact.as_float(interpolation.between(fluids._BOILS, (psi, 1)))
        assert found == pytest.approx(wanted, abs=1.6), psi


@given(st.dates(datetime.date(1900, 1, 1), datetime.date(2100, 12, 31)))
def test_days_are_those_of_the_calendar(day: datetime.date) -> None:
    wanted = (day - datetime.date(1970, 1, 1)).days
    assert dates.parse(day.isoformat()) == wanted
    assert dates.days(day.year, day.month, day.day) == wanted


@pytest.mark.parametrize(
    "text", ["2026-02-30", "2026-13", "26", "2026/01/01", "", "20260101", "2026-1-1", "2023-02-29"]
)
def test_what_is_no_day_is_refused(text: str) -> None:
    assert dates.parse(text) is None


def test_a_week_lies_in_a_month() -> None:
    for week in range(1, 53):
        day = datetime.date(2007, 1, 1) + datetime.timedelta(days=7 * (week - 1))
        assert dates.month(2007, week) == day.strftime("%Y-%m")


@given(st.floats(0.1, 1e7))
def test_the_logarithm_is_the_logarithm(x: float) -> None:
    assert interpolation.logarithm(x) == pytest.approx(math.log(x), rel=1e-11, abs=1e-11)


#: A common American coolant sensor, as a public project's source has it (to compare with).
AMERICAN = [(-40.0, 100_000.0), (40.0, 1_459.0), (130.0, 70.0)]
#: degC, ohm, and how far off that may be: worked out apart from these points with Steinhart and
#: Hart's published equation; the last two read in a second project's source.
READ_OFF = [(0.0, 9_501.0, 0.002), (20.0, 3_537.0, 0.002), (80.0, 320.0, 0.003)]
READ_OFF += [(100.0, 167.0, 0.005), (30.0, 2_238.0, 0.01), (99.0, 177.0, 0.035)]


@pytest.mark.parametrize(("celsius", "ohm", "off"), READ_OFF)
def test_three_points_make_a_thermistors_curve(celsius: float, ohm: float, off: float) -> None:
    curve = interpolation.thermistor(AMERICAN)
    assert interpolation.geometric(curve, celsius) == pytest.approx(ohm, rel=off)
    for known, resistance in AMERICAN:
        assert interpolation.geometric(curve, known) == pytest.approx(resistance, rel=1e-3)


@given(st.floats(-30.0, 120.0))
def test_the_curve_is_steinhart_and_harts(celsius: float) -> None:
    # 1/T = A + B ln R + C (ln R)^3, the coefficients solved here by numpy from the same points
    logs = numpy.array([math.log(ohm) for _, ohm in AMERICAN])
    matrix = numpy.stack([numpy.ones(3), logs, logs**3], axis=1)
    a, b, c = numpy.linalg.solve(matrix, [1 / (known + 273.15) for known, _ in AMERICAN])
    ohm = interpolation.geometric(interpolation.thermistor(AMERICAN), celsius)
    at = math.log(ohm)
    assert 1 / (a + b * at + c * at**3) - 273.15 == pytest.approx(celsius, abs=0.02)


@pytest.mark.parametrize(
    "points",
    [
        [],
        AMERICAN[:2],
        [(0.0, 100.0), (20.0, 200.0), (40.0, 300.0)],
        [(0.0, 300.0), (20.0, 200.0), (20.0, 100.0)],
        [(0.0, 300.0), (20.0, 200.0), (40.0, 200.0)],
    ],
)
def test_points_that_do_not_fall_make_no_curve(points: list[tuple[float, float]]) -> None:
    assert interpolation.thermistor(points) == []
