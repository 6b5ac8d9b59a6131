"""The parts list as a record holds it: a cell a column, whatever stands in it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judge.ledger import fields, parts_list
from tests.judge.ledger.test_entries import cells
from tests.nasty.values import VALUES, handed_out

LINE = "5e0c1a2b3d4f"
TOLD: dict[str, Any] = {
    "job": "cooling.radiator/new", "what": "Radiator", "number": "R-118", "also_fits": "1988 on",
    "quantity": "1", "need": True, "state": "ordered", "origin": "reproduction",
    "condition": "new in box", "vendor": "Harbor Parts", "where": "Bay 4", "quote_cents": 18_900,
    "low_cents": 9_000, "likely_cents": 15_000, "high_cents": 30_000, "freight_cents": 1_250,
    "core_cents": 2_500, "asked_on": "2026-03-01", "reply": "in stock", "due_on": "2026-03-09",
    "return_by": "2026-04-09", "old_kept_at": "shelf 2", "note": "two mounts",
    "hours_planned": "2.5", "hours_done": "1.25", "removed": False,
}  # fmt: skip


def line(**columns: Any) -> Any:
    (read,) = parts_list.lines(
        cells({f"parts/{LINE}/{column}": value for column, value in columns.items()})
    )
    return read


def test_a_line_is_read_as_it_was_written() -> None:
    assert line(**TOLD) == {"id": LINE, **TOLD}
    assert set(TOLD) == set(parts_list.COLUMNS)


def test_a_line_of_which_little_was_said() -> None:
    read = line(what="Clip")
    assert (read["state"], read["need"], read["origin"], read["removed"]) == (
        "needed", True, None, False,
    )  # fmt: skip
    assert read["quote_cents"] is None
    assert parts_list.line_cents(read) == []


def test_what_was_taken_back_and_what_is_no_column_makes_no_line() -> None:
    record = cells({
        f"parts/{LINE}/what": None, f"parts/{LINE}/color": "red", "parts/x": "y",
        f"parts/{LINE}/what/more": "z", "parts": "p",
    })  # fmt: skip
    assert parts_list.lines(record) == []


@pytest.mark.parametrize(
    ("column", "value", "read"),
    [
        ("state", "lost", "needed"), ("state", None, "needed"), ("origin", "gold", None),
        ("quote_cents", -1, None), ("quote_cents", True, None), ("quote_cents", "5", None),
        ("need", "no", True), ("need", False, False), ("removed", 1, False), ("what", 7, ""),
        ("due_on", "next week", ""), ("due_on", "2026-02-29", ""),
    ],
)  # fmt: skip
def test_what_is_not_of_its_kind_counts_as_not_said(column: str, value: Any, read: Any) -> None:
    assert line(**{**TOLD, column: value})[column] == read


@pytest.mark.parametrize(
    ("told", "unit"),
    [
        ({"quote_cents": 4783}, [4783, 4783, 4783]),
        ({"quote_cents": 4783, "low_cents": 1, "high_cents": 9}, [4783, 4783, 4783]),
        ({"likely_cents": 500}, [500, 500, 500]),
        ({"low_cents": 100, "high_cents": 201}, [100, 151, 201]),  # halfway, half up
        ({"low_cents": 100, "likely_cents": 150}, [100, 150, 150]),
        ({"likely_cents": 150, "high_cents": 400}, [150, 150, 400]),
        ({"low_cents": 15, "likely_cents": 1300, "high_cents": 80}, [15, 1300, 1300]),
        ({}, []),
    ],
)  # fmt: skip
def test_one_figure_is_enough_and_figures_that_fall_are_put_in_order(
    told: dict[str, int], unit: list[int]
) -> None:
    assert parts_list.unit_cents(line(what="Hose", **told)) == unit


def test_a_line_costs_its_pieces_its_freight_and_its_deposit() -> None:
    # 2.5 ft at $12.99 = $32.475, half up $32.48; freight $8.00; deposit $15.00: $55.48
    told = {"quote_cents": 1299, "quantity": "2.5", "freight_cents": 800, "core_cents": 1500}
    assert parts_list.line_cents(line(**told)) == [5548, 5548, 5548]


@pytest.mark.parametrize("quantity", ["", "none", "-2", "0", "9" * 20, "1e3"])
def test_a_quantity_that_nobody_could_mean_is_one(quantity: str) -> None:
    assert parts_list.line_cents(line(quote_cents=1299, quantity=quantity)) == [1299] * 3


amounts = st.none() | st.integers(0, 10**7)


@given(amounts, amounts, amounts, amounts, st.integers(1, 99999))
def test_low_likely_and_high_never_fall(
    quote: int | None, low: int | None, likely: int | None, high: int | None, hundredths: int
) -> None:
    quantity = f"{hundredths // 100}.{hundredths % 100:02d}"
    told = {"quote_cents": quote, "low_cents": low, "likely_cents": likely, "high_cents": high}
    read = parts_list.read(LINE, {**told, "quantity": quantity})
    unit = parts_list.unit_cents(read)
    assert unit == sorted(unit)
    if quote is not None:  # oracle: Python's fractions, rounded half up
        whole = int(quote * Fraction(hundredths, 100) + Fraction(1, 2))
        assert parts_list.line_cents(read) == [whole] * 3


@pytest.mark.parametrize("name", sorted(VALUES))
def test_nothing_that_a_record_may_hold_makes_the_list_fail(name: str) -> None:
    value = handed_out(VALUES[name])
    record = cells({f"parts/{LINE}/{column}": value for column in parts_list.COLUMNS})
    for read in parts_list.lines(record):
        for amount in parts_list.line_cents(read):
            assert 0 <= amount <= fields.MOST_CENTS
