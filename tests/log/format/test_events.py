"""Events are read strictly, and hashed as RFC 8785 says (oracle: the rfc8785 package)."""

from __future__ import annotations

import json
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.common.errors import ApiError
from bradawl.log.format import events, value_text
from bradawl.log.format.batches import read_batch
from bradawl.log.format.clock import ms_of, next_stamp, stamp
from tests.log.server import DEVICE, OTHER, VISIT
from tests.log.sync import reference
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


def read(batch: dict[str, Any]) -> events.Batch:
    return read_batch(json.dumps(batch, ensure_ascii=False).encode())


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
    assert events.unpack(events.pack(batch.events)) == batch.events


@QUICK
@given(values)
def test_a_recorded_text_is_the_canonical_text_and_reads_back_as_the_value(value: Any) -> None:
    text = value_text.text_of(value)
    assert text.encode() == rfc8785.dumps(value)
    value_text.check(text)
    assert value_text.value_of(text) == value


@QUICK
@given(values, st.text(st.characters(categories=["Cs", "Ll"]), max_size=6))
def test_half_a_character_is_kept_as_it_came_and_shown_as_a_replacement(
    value: Any, half: str
) -> None:
    half = json.loads(json.dumps(half))  # two halves that fit are one character
    recorded = {"half": half, "value": value}
    text = reference.text_of(recorded)
    value_text.check(text)
    assert value_text.value_of(text) == reference.shown(recorded)


@QUICK
@given(st.text('\\"ud8DcfeE019[]{},:. -tnul', max_size=12))
def test_a_text_is_taken_only_when_it_is_the_one_text_of_its_value(text: str) -> None:
    """Oracle: parsed by the standard library and written again by the rfc8785 package."""

    def whole(number: str) -> int:
        raise ValueError(number)

    try:
        value = json.loads(text, parse_float=whole, parse_constant=whole)
        taken = reference.text_of(value) == text
    except (ValueError, rfc8785.CanonicalizationError):
        taken = False
    try:
        value_text.check(text)
    except value_text.ValueFaultError:
        assert not taken
    else:
        assert taken


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


ID = stamp(1, 0, OTHER) + "~" + "A" * 43
LATER = stamp(2_000_000_000_000, 0, OTHER) + "~" + "A" * 43


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("at", "x"),
        ("at", stamp(1, 0, OTHER)),
        ("at", stamp(1, 0, DEVICE) + "\n"),
        ("at", "9" * 15 + "-00000-" + DEVICE),
        ("at", 1),
        ("scope", "x"),
        ("scope", f"inspection/{VISIT.upper()}"),
        ("scope", f"inspection/{VISIT}/"),
        ("scope", f"shop/{VISIT}"),
        ("scope", None),
        ("value", 5),
        ("value", None),
        ("value", ""),
        ("value", "{ }"),
        ("salt", ""),
        ("salt", "A" * 21),
        ("salt", "A" * 24),
        ("salt", "A" * 20 + "+A"),
        ("salt", 7),
        ("commit", "A" * 43),
        ("over", ["x"]),
        ("over", [ID[:54]]),
        ("over", [ID[:-1]]),
        ("over", [ID[:-1] + "B"]),
        ("over", [LATER, ID]),
        ("over", [ID, ID]),
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


@pytest.mark.parametrize("field", ["at", "scope", "put", "over"])
def test_a_missing_field_is_refused(field: str) -> None:
    batch = Writer().fill(2).batch()
    del batch["events"][1][field]
    assert refusal(batch).more == {"index": 1}


@pytest.mark.parametrize("field", ["value", "salt"])
def test_an_event_that_lacks_value_or_salt_is_refused(field: str) -> None:
    batch = Writer().fill(2).batch()
    del batch["events"][1][field]
    assert refusal(batch).more == {"index": 1}


def test_an_event_may_name_any_other_whatever_its_stamp() -> None:
    writer = Writer()
    writer.put("items/x.y/note", "a", [ID, LATER])
    assert read(writer.batch()).events[0].over == [ID, LATER]


@pytest.mark.parametrize("scope", ["shop", f"car/{VISIT}", f"inspection/{VISIT}"])
def test_every_scope_is_accepted(scope: str) -> None:
    writer = Writer()
    writer.put("notes/one", "a", scope=scope)
    assert read(writer.batch()).events[0].scope == scope


def test_an_erased_event_keeps_its_place_where_it_holds_personal_data() -> None:
    writer = Writer()
    writer.put("about/seller/name", "Jo")
    writer.put("items/x.y/grade", {"grade": "minor"})
    for number, fine in ((0, True), (1, False)):
        batch = writer.batch()
        event = batch["events"][number]
        del event["value"], event["salt"]
        event["commit"] = writer.events[number]["commit"]
        if fine:
            taken = read(batch)
            assert taken.hashes == [hash_of(one) for one in writer.events]
            assert events.unpack(events.pack(taken.events)) == taken.events
        else:
            assert "can't be erased" in refusal(batch).message


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


def test_an_event_may_have_64_kib_and_not_a_byte_more() -> None:
    """65,536 bytes of hashed text and value together (README.md), counted by the reference."""

    def noted(length: int) -> Writer:
        writer = Writer()
        writer.put("items/rust.sill/note", "x" * length)
        return writer

    hashed = {name: noted(1).events[0][name] for name in reference.HASHED}
    room = 65_536 - len(rfc8785.dumps(hashed)) - len('""')
    assert len(read(noted(room).batch()).events) == 1
    assert "65,536 are allowed" in str(refusal(noted(room + 1).batch()))
