"""What is estimated is rounded for the eye by one rule; the steps are the house's own.

Oracle: the same rule in exact fractions.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.language import Reader, about, about_hours, reading_as


@pytest.mark.parametrize(
    ("cents", "said"),
    [
        *[(0, "$0"), (1, "$1"), (249, "$2"), (250, "$3"), (999, "$10"), (1_240, "$10")],
        *[(1_250, "$15"), (8_700, "$85"), (9_999, "$100"), (12_995, "$130"), (99_500, "$1,000")],
        *[(623_853, "$6,250"), (-623_853, "-$6,250"), (12_345_678, "$123,450")],
    ],
)
def test_an_estimate_is_said_in_round_figures(cents: int, said: str) -> None:
    assert about(cents, "USD") == said


#: The phone is held to the same rows (web/test/app/text/estimates.test.ts).
ROWS = json.loads((Path(__file__).parent / "about.json").read_text(encoding="utf-8"))["rows"]


@pytest.mark.parametrize(("dollars", "shown"), ROWS)
def test_phone_and_server_round_alike(dollars: int, shown: str) -> None:
    assert about(100 * dollars, "USD") == shown


def test_it_is_written_as_the_reader_writes_money() -> None:
    with reading_as(Reader(region="eu")):
        assert about(623_853) == "€6,250"


@pytest.mark.parametrize(
    ("hundredths", "shown"),
    [(0, 0), (4, 25), (108, 100), (113, 125), (990, 1000), (10_086, 10_100)],
)
def test_hours_are_quarters_and_from_ten_on_halves(hundredths: int, shown: int) -> None:
    assert about_hours(hundredths) == shown


@given(st.integers(-(10**9), 10**9))
def test_no_figure_is_off_by_more_than_half_a_step_and_none_vanishes(cents: int) -> None:
    size = abs(cents)
    step = 100 if size < 1_000 else 500 if size < 10_000 else 1_000 if size < 100_000 else 5_000
    shown = int(about(cents, "USD").replace("$", "").replace(",", "")) * 100
    assert shown % step == 0
    assert (shown == 0) == (cents == 0)
    assert abs(Fraction(shown - cents)) <= Fraction(step, 2) or abs(shown) == step
    assert shown * cents >= 0
