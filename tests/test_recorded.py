"""Every reader takes any JSON value, never fails, and gives what it promises."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl import recorded
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
    recorded.text, recorded.whole, recorded.mapping, recorded.sequence, recorded.mappings,
    recorded.texts, recorded.words, recorded.reading, recorded.given, recorded.moment,
    recorded.photo, recorded.done, recorded.periods, recorded.pieces, recorded.musts,
    recorded.strokes, recorded.box,
]  # fmt: skip


@given(ANYTHING)
def test_no_value_makes_a_reader_fail(value: Any) -> None:
    for read in READERS:
        read(value)
    cells = {"about/currency": {"value": value}, "brief/uses": {"value": value}, "x": value}
    assert recorded.value(cells, "about/currency") == value
    assert recorded.value(cells, "nothing") is None
    recorded.value(cells, "x")
    assert len(recorded.currency(cells)) <= recorded.CURRENCY_LIMIT
    assert isinstance(recorded.uses(cells), list)


@given(ANYTHING)
def test_what_a_reader_gives_is_of_its_kind(value: Any) -> None:
    assert isinstance(recorded.text(value), str)
    assert isinstance(recorded.words(value), str)
    assert recorded.whole(value, 0, 9) in (None, *range(10))
    assert recorded.given(value).grade in ("", *recorded.GRADES)
    assert min(recorded.box(value)) > 0
    assert sum(len(line) for line in recorded.strokes(value)) <= 2 * recorded.MOST_POINTS
    for piece in recorded.pieces(value):
        low, likely, high = piece["cost"]
        assert 0 <= low <= likely <= high
        assert 0 <= piece["chance_percent"] <= 100
    assert sum(piece["count"] for piece in recorded.pieces(value)) <= recorded.MOST_PIECES
    assert all(period["budget"] >= 0 for period in recorded.periods(value))
    done = recorded.done(value)
    assert done is None or all(isinstance(item, str) for item in done.items)


def test_what_the_app_and_the_desk_write_is_read_as_it_is() -> None:
    assert recorded.reading({"typed": "2,5", "unit": "mm"}) == recorded.Reading("2,5", "mm")
    assert recorded.given({"grade": "minor", "why": "seen"}) == recorded.Given("minor", "seen")
    assert str(recorded.moment({"date": "2026-11-25", "time": "09:20"})) == "2026-11-25 09:20"
    photo = recorded.photo({"caption": "Sill", "taken": "2026", "width": 640, "height": 480})
    assert photo == recorded.Photo("Sill", "2026", "", 640, 480)
    done = recorded.done({"title": "Pads", "items": ["a"], "by": "Ada", "cost": 40, "note": ""})
    assert done == recorded.Done("Pads", ["a"], "", "Ada", None, 40, "", "")
    piece = {"title": "plug", "cost": [1, 2, 3], "count": 4, "chance_percent": 30}
    assert recorded.pieces([piece]) == [piece]
    must = {"text": "A tow bar", "met": "yes"}
    assert recorded.musts([must]) == [must]
    assert recorded.strokes([[10, 10, 40, 60], [90, 50]]) == [[10, 10, 40, 60], [90, 50]]
    assert recorded.box([320, 120]) == (320, 120)


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
    assert recorded.words(value) == said
