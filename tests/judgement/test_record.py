"""The fold and the canonical text.

Sources: RFC 8785 (JSON Canonicalization Scheme), oracle the `rfc8785` library; the fold's law is
this project's own contract (last writer wins, what was written unseen is kept).
"""

from __future__ import annotations

import json
import random
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from bradawl.judgement import (
    CanonicalError,
    amendments,
    canonical,
    covered,
    fold,
    photos_text,
    record_text,
)

integers = st.integers(min_value=-(2**53) + 1, max_value=2**53 - 1)
texts = st.text(st.characters(codec="utf-8"), max_size=20)
keys = st.text(st.characters(max_codepoint=127), max_size=8)
values = st.recursive(
    st.none() | st.booleans() | integers | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(keys, inner, max_size=4),
    max_leaves=12,
)


@given(values)
def test_the_canonical_text_is_that_of_rfc_8785(value: Any) -> None:
    assert canonical(value).encode() == rfc8785.dumps(value)


@given(values)
def test_the_canonical_text_reads_back_as_the_value(value: Any) -> None:
    assert json.loads(canonical(value)) == value


@pytest.mark.parametrize(
    ("value", "code"),
    [
        (1.0, "float"),
        ({"a": [0.5]}, "float"),
        (2**53, "integer"),
        (-(2**53), "integer"),
        ({"é": 1}, "key"),
        ({1: 1}, "key"),
        ("\ud800", "surrogate"),
        ({"a": "x\udfff"}, "surrogate"),
        (b"bytes", "type"),
    ],
)
def test_what_has_no_canonical_text_is_refused_with_a_sentence(value: Any, code: str) -> None:
    with pytest.raises(CanonicalError) as refused:
        canonical(value)
    assert refused.value.code == code
    assert refused.value.sentence.endswith(".")


def test_a_value_nested_beyond_reason_is_refused() -> None:
    value: Any = 1
    for _ in range(40):
        value = [value]
    with pytest.raises(CanonicalError) as refused:
        canonical(value)
    assert refused.value.code == "nesting"


def event(at: str, put: str, value: Any, over: tuple[str, ...] = ()) -> dict[str, Any]:
    return {
        "device": "d",
        "seq": 1,
        "prev": "",
        "at": at,
        "visit": "v",
        "put": put,
        "value": value,
        "over": list(over),
    }


def test_a_later_value_that_saw_the_earlier_replaces_it() -> None:
    cells = fold([event("1", "items/a/grade", "x"), event("2", "items/a/grade", "y", ("1",))])
    assert cells == {"items/a/grade": {"value": "y", "at": "2", "others": []}}


def test_a_value_written_unseen_stays_beside_the_winner_newest_first() -> None:
    cells = fold([event("2", "p", "b"), event("3", "p", "c"), event("1", "p", "a")])
    assert cells["p"] == {
        "value": "c",
        "at": "3",
        "others": [{"value": "b", "at": "2"}, {"value": "a", "at": "1"}],
    }


def test_two_people_who_wrote_the_same_do_not_disagree() -> None:
    assert (
        fold([event("1", "p", {"grade": "major"}), event("2", "p", {"grade": "major"})])["p"][
            "others"
        ]
        == []
    )


def test_true_and_one_are_different_values() -> None:
    assert fold([event("1", "p", True), event("2", "p", 1)])["p"]["others"] == [
        {"value": True, "at": "1"}
    ]


def test_a_taken_back_path_stays_with_no_value() -> None:
    cells = fold([event("1", "p", "a"), event("2", "p", None, ("1",))])
    assert cells == {"p": {"value": None, "at": "2", "others": []}}


def test_an_event_cannot_kill_one_that_is_later_than_itself() -> None:
    assert fold([event("1", "p", "a", ("2",)), event("2", "p", "b")])["p"]["others"] == [
        {"value": "a", "at": "1"}
    ]


@st.composite
def histories(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Events of a few devices at a few paths, each naming some of the stamps before it."""
    events: list[dict[str, Any]] = []
    for number in range(draw(st.integers(0, 12))):
        path = draw(st.sampled_from(["a", "b/c"]))
        before = [e["at"] for e in events if e["put"] == path]
        over = [stamp for stamp in before if draw(st.booleans())]
        value = draw(st.sampled_from([None, True, 1, "x", {"typed": "2,5", "unit": "mm"}]))
        events.append(event(f"{number:03d}", path, value, tuple(over)))
    return events


@given(histories(), st.integers(0, 2**32))
def test_order_of_arrival_and_repeats_change_nothing(
    events: list[dict[str, Any]], seed: int
) -> None:
    shuffler = random.Random(seed)
    arrived = events + [e for e in events if shuffler.random() < 0.3]
    shuffler.shuffle(arrived)
    assert canonical(fold(arrived)) == canonical(fold(events))


@given(histories())
def test_folding_path_by_path_gives_the_same_record(events: list[dict[str, Any]]) -> None:
    united: dict[str, Any] = {}
    for path in {e["put"] for e in events}:
        united.update(fold([e for e in events if e["put"] == path]))
    assert canonical(united) == canonical(fold(events))


@given(histories())
def test_a_value_is_lost_only_when_a_later_event_names_it(events: list[dict[str, Any]]) -> None:
    cells = fold(events)
    for one in events:
        cell = cells[one["put"]]
        kept = [cell["value"], *(other["value"] for other in cell["others"])]
        named = any(
            later["put"] == one["put"] and later["at"] > one["at"] and one["at"] in later["over"]
            for later in events
        )
        assert named or canonical(one["value"]) in [canonical(value) for value in kept]


def test_a_seal_covers_each_photo_once_and_none_that_was_taken_back() -> None:
    cells = fold(
        [
            event("1", "items/x/photos/bb", {"caption": "sill"}),
            event("2", "items/y/photos/aa", {"caption": "sill"}),
            event("3", "items/y/photos/bb", {"caption": "sill"}),
            event("4", "items/y/photos/cc", {"caption": "sill"}),
            event("5", "items/y/photos/cc", None, ("4",)),
            event("6", "items/y/note", "photos"),
        ]
    )
    assert photos_text(cells) == '["aa","bb"]'
    assert record_text("v", {}) == '{"cells":{},"visit":"v"}'


def _event(device: str, seq: int, put: str) -> dict[str, Any]:
    return {"device": device, "seq": seq, "put": put, "at": f"{seq:015d}-00000-{device}"}


def test_a_seal_covers_what_its_writer_had_and_nothing_of_a_device_it_had_not_heard_of() -> None:
    # this project's own contract: `through` names, per device, the last seq that is covered
    events = [
        _event("a", 1, "car/make"),
        _event("a", 2, "items/x.y/note"),
        _event("a", 3, "seal/1"),
        _event("a", 4, "items/x.y/note"),
        _event("b", 1, "items/x.y/grade"),  # earlier by its stamp, and unknown to the seal
        _event("a", 5, "seal/2"),
    ]
    through = {"a": 2}
    assert [event["seq"] for event in covered(events, through)] == [1, 2]
    assert [(event["device"], event["seq"]) for event in amendments(events, through)] == [
        ("a", 4),
        ("b", 1),
    ]


@pytest.mark.parametrize("through", [None, {}, [], {"a": "2"}, {"a": None}])
def test_a_seal_that_does_not_say_how_far_it_reaches_covers_nothing(through: Any) -> None:
    assert covered([_event("a", 1, "car/make")], through) == []
