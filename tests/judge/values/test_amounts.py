"""Amounts as they are written. Oracle: Python's own grouping of digits."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.values import amounts


@given(st.integers(-(10**14), 10**14))
def test_a_number_is_grouped_as_python_groups_it(number: int) -> None:
    assert amounts.number_text(number) == f"{number:,}"
    assert amounts.money_text(number, "") == f"{number:,}"
    assert amounts.money_text(number, "USD") == f"{number:,} USD"
