"""Events are read strictly, and hashed as RFC 8785 says (oracle: the rfc8785 package)."""

from __future__ import annotations

from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.errors import ApiError
from bradawl.log import events as ev
from bradawl.log.clock import ms_of, next_stamp, stamp
from tests.log.server import DEVICE, OTHER, VISIT
from tests.log.writer import Writer, hash_of

QUICK = settings(max_examples=150, deadline=None, derandomize=True, database=None)

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | texts,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(max_codepoint=127), max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)


def read(batch: dict[str, Any]) -> ev.Batch:
    import json

    return ev.read_batch(json.dumps(batch, ensure_ascii=False).encode())


def refusal(batch: dict[str, Any]) -> ApiError:
    with pytest.raises(ApiError) as caught:
        read(batch)
    return caught.value


@QUICK
@given(st.lists(values, min_size=1, max_size=5))
def test_every_value_hashes_as_the_reference_library_says(some: list[Any]) -> None:
    writer = Writer()
    for number, value in enumerate(some):
        writer.put(f"items/x.y/note{number}", value)
    batch = read(writer.batch())
    assert batch.hashes == [hash_of(event) for event in writer.events]
    assert ev.unpack(ev.pack(batch.events)) == batch.events


@QUICK
@given(values)
def test_stored_text_is_the_canonical_text(value: Any) -> None:
    written = ev.Written("s", [], "p", value, "v")
    assert ev.pack([written]) == rfc8785.dumps(
        [{"at": "s", "over": [], "put": "p", "value": value, "visit": "v"}]
    )


@pytest.mark.parametrize(
    "value",
    [0.5, 1.0, 1e3, -0.0, [0.5], {"a": {"b": 0.1}}, 2**53, -(2**53), 10**30, {"schlüssel": 1}],
)
def test_a_value_outside_the_restricted_json_is_refused(value: Any) -> None:
    batch = Writer().fill(2).batch()
    batch["events"][1]["value"] = value
    error = refusal(batch)
    assert (error.code, error.status, error.more) == ("event", 422, {"index": 1})


@pytest.mark.parametrize("text", [r'"\ud800"', r'"\udc00x"', r'{"a":"\ud800\ud800"}', "NaN", "1e2"])
def test_half_a_character_and_odd_numbers_are_refused(text: str) -> None:
    import json

    body = json.dumps(Writer().fill(1).batch()).replace('{"typed": "2,5", "unit": "mm"}', text)
    with pytest.raises(ApiError) as caught:
        ev.read_batch(body.encode())
    assert caught.value.code in ("event", "batch")


@pytest.mark.parametrize(
    "path",
    ["", "/", "a/", "/a", "a//b", "A", "a b", "ä", "a\n", "a" * 201, "a\u0000", "items/x?y", "a/٣"],
)
def test_a_path_outside_its_alphabet_is_refused(path: str) -> None:
    batch = Writer().fill(1).batch()
    batch["events"][0]["put"] = path
    assert refusal(batch).more == {"index": 0}


@pytest.mark.parametrize("path", ["a", "about/bundle", "items/a.b-c/photos/" + "f" * 64, "a" * 200])
def test_a_path_of_the_protocol_is_accepted(path: str) -> None:
    writer = Writer()
    writer.put(path, None)
    assert read(writer.batch()).head == hash_of(writer.events[0])


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("at", "x"),
        ("at", stamp(1, 0, OTHER)),
        ("at", stamp(1, 0, DEVICE) + "\n"),
        ("at", "9" * 15 + "-00000-" + DEVICE),
        ("at", 1),
        ("visit", "x"),
        ("visit", VISIT.upper()),
        ("visit", None),
        ("over", ["x"]),
        ("over", [stamp(2, 0, OTHER), stamp(1, 0, OTHER)]),
        ("over", [stamp(1, 0, OTHER), stamp(1, 0, OTHER)]),
        ("over", [stamp(2_000_000_000_000, 0, OTHER)]),
        ("over", "x"),
        ("over", [1]),
        ("surplus", 1),
    ],
)
def test_a_wrong_field_is_refused_and_the_event_is_named(field: str, value: Any) -> None:
    batch = Writer().fill(3).batch()
    batch["events"][2][field] = value
    error = refusal(batch)
    assert (error.code, error.more["index"]) == ("event", 2)
    assert "Event 3" in error.message


@pytest.mark.parametrize("field", ["at", "visit", "put", "value", "over"])
def test_a_missing_field_is_refused(field: str) -> None:
    batch = Writer().fill(2).batch()
    del batch["events"][1][field]
    assert refusal(batch).more == {"index": 1}


def test_stamps_that_do_not_rise_are_refused() -> None:
    batch = Writer().fill(2).batch()
    batch["events"][1]["at"] = batch["events"][0]["at"]
    assert refusal(batch).more == {"index": 1}


def test_nesting_and_size_are_bounded() -> None:
    deep: Any = "x"
    for _ in range(16):
        deep = [deep]
    for value, fine in ((deep, True), ([deep], False), ("x" * 65_000, True), ("é" * 33_000, False)):
        writer = Writer()
        writer.put("items/x.y/note", value)
        if fine:
            assert read(writer.batch()).head == hash_of(writer.events[0])
        else:
            assert refusal(writer.batch()).code == "event"


def test_the_tail_of_a_batch_keeps_its_place_in_the_chain() -> None:
    writer = Writer().fill(5)
    tail = read(writer.batch()).after(3)
    assert (tail.from_seq, tail.prev) == (4, writer.events[3]["prev"])
    assert tail.hashes == [hash_of(event) for event in writer.events[3:]]


@QUICK
@given(
    st.integers(-(10**13), 10**14), st.integers(0, 10**14), st.integers(0, 99_999), st.booleans()
)
def test_a_new_stamp_is_later_than_the_latest_seen(
    now: int, ms: int, counter: int, own: bool
) -> None:
    latest = stamp(ms, counter, DEVICE if own else OTHER)
    made = next_stamp(now, latest, DEVICE)
    assert made > latest
    assert len(made) == 54
    assert ms_of(made) <= max(now, ms + 1)
    assert next_stamp(now, "", DEVICE) == stamp(max(now, 0), 0, DEVICE)
