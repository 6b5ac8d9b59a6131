"""Amounts as they are written and read. Oracle: Python's own grouping of digits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.values import amounts


@given(st.integers(-(10**14), 10**14))
def test_a_number_is_grouped_as_python_groups_it(number: int) -> None:
    assert amounts.number_text(number) == f"{number:,}"
    assert amounts.money_text(number, "") == f"{number:,}"
    assert amounts.money_text(number, "USD") == f"{number:,} USD"


@given(st.integers(0, 10**14))
def test_what_was_written_is_read_back(amount: int) -> None:
    grouped = f"{amount:,}"
    for typed in (str(amount), grouped, grouped.replace(",", " "), grouped.replace(",", ".")):
        assert amounts.parse_amount(typed) == amount


@pytest.mark.parametrize("typed", ["", "-5", "2.5", "abc", "12,34,5", "1e3", "5/2", "1" * 16])
def test_what_is_no_whole_amount_is_none(typed: str) -> None:
    assert amounts.parse_amount(typed) is None


def test_whole_cents_are_a_whole_amount() -> None:
    assert amounts.parse_amount("2400.00") == amounts.parse_amount("2400,00") == 2400
