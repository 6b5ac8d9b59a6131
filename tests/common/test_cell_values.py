"""Every reader takes any JSON value, never fails, and gives what it promises."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.inspection import cell_values
from bradawl.language import Reader, catalogue, reading_as
from bradawl.language.pseudo import marked
from tests.nasty.values import VALUES

KEYS = st.one_of(
    st.sampled_from(sorted(VALUES["keys of everything"])),
    st.text(max_size=5),
)
ANYTHING = st.one_of(
    st.sampled_from(list(VALUES.values())),
    st.recursive(
        st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(max_size=20),
        lambda inside: st.lists(inside, max_size=4) | st.dictionaries(KEYS, inside, max_size=6),
        max_leaves=12,
    ),
)
READERS: list[Callable[[Any], Any]] = [
    cell_values.text, cell_values.whole, cell_values.mapping, cell_values.sequence,
    cell_values.mappings, cell_values.texts, cell_values.words, cell_values.reading,
    cell_values.given, cell_values.moment,
    cell_values.photo, cell_values.done, cell_values.periods, cell_values.pieces,
    cell_values.strokes, cell_values.box,
]  # fmt: skip


@given(ANYTHING)
def test_no_value_makes_a_reader_fail(value: Any) -> None:
    for read in READERS:
        read(value)
    cells = {"about/currency": {"value": value}, "brief/uses": {"value": value}, "x": value}
    assert cell_values.value(cells, "about/currency") == value
    assert cell_values.value(cells, "nothing") is None
    cell_values.value(cells, "x")
    assert len(cell_values.currency(cells)) <= cell_values.CURRENCY_LIMIT
    assert isinstance(cell_values.uses(cells), list)


@given(ANYTHING)
def test_what_a_reader_gives_is_of_its_kind(value: Any) -> None:
    assert isinstance(cell_values.text(value), str)
    assert isinstance(cell_values.words(value), str)
    assert cell_values.whole(value, 0, 9) in (None, *range(10))
    assert cell_values.given(value).grade in ("", *cell_values.GRADES)
    assert min(cell_values.box(value)) > 0
    assert sum(len(line) for line in cell_values.strokes(value)) <= 2 * cell_values.MOST_POINTS
    for piece in cell_values.pieces(value):
        low, likely, high = piece["cost"]
        assert 0 <= low <= likely <= high
        assert 0 <= piece["chance_percent"] <= 100
    assert sum(piece["count"] for piece in cell_values.pieces(value)) <= cell_values.MOST_PIECES
    assert all(period["budget"] >= 0 for period in cell_values.periods(value))
    done = cell_values.done(value)
    assert done is None or all(isinstance(item, str) for item in done.items)


def test_a_value_that_is_no_text_is_said_in_the_readers_language() -> None:
    with reading_as(Reader(catalogue.PSEUDO)):
        assert cell_values.words(True) == marked("yes")
        assert cell_values.words([7] * 22).endswith(marked(" and ") + "2" + marked(" more"))


def test_what_the_app_and_the_desk_write_is_read_as_it_is() -> None:
    assert cell_values.reading({"typed": "2,5", "unit": "mm"}) == cell_values.Reading("2,5", "mm")
    assert cell_values.given({"grade": "minor", "why": "seen"}) == cell_values.Given(
        "minor", "seen"
    )
    assert str(cell_values.moment({"date": "2026-11-25", "time": "09:20"})) == "2026-11-25 09:20"
    photo = cell_values.photo({"taken": "2026", "width": 640, "height": 480})
    assert photo == cell_values.Photo("2026", "", 640, 480)
    done = cell_values.done({"title": "Pads", "items": ["a"], "by": "Ada", "cost": 40, "note": ""})
    assert done == cell_values.Done("Pads", ["a"], "", "Ada", None, 4000, "", "")
    assert getattr(cell_values.done({"cost_cents": 4783, "cost": 40}), "cost_cents", 0) == 4783
    understood = {"typed": "1.300", "unit": "kPa", "read": "1300"}
    assert cell_values.reading(understood) == cell_values.Reading("1300", "kPa")
    piece = {"title": "plug", "cost": [1, 2, 3], "count": 4, "chance_percent": 30}
    assert cell_values.pieces([piece]) == [piece]
    assert cell_values.strokes([[10, 10, 40, 60], [90, 50]]) == [[10, 10, 40, 60], [90, 50]]
    assert cell_values.box([320, 120]) == (320, 120)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("as it is", "as it is"),
        (None, ""),
        (True, "yes"),
        (7, "7"),
        (["red", None, "blue"], "red, blue"),
        ({"front_left": 2, "b": [True]}, "b: yes; front left: 2"),
        ([0] * 25, ", ".join("0" * 20) + " and 5 more"),
        ([[[["deep"]]]], "…"),
    ],
)
def test_any_value_is_said_in_words(value: Any, said: str) -> None:
    assert cell_values.words(value) == said
