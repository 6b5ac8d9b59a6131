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

from bradawl.judge import (
    CanonicalError,
    amendments,
    canonical,
    covered,
    event_id,
    fold,
    leaf_texts,
    live_ids,
    may_be_erased,
    obeyed,
    orders,
    photos_text,
    unsigned_text,
)
from bradawl.language import ids

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
def test_what_has_no_canonical_text_is_refused_with_a_code(value: Any, code: str) -> None:
    with pytest.raises(CanonicalError) as refused:
        canonical(value)
    assert refused.value.code == code
    assert f"server-value-{code}" in ids()


def test_a_value_nested_beyond_reason_is_refused() -> None:
    value: Any = 1
    for _ in range(40):
        value = [value]
    with pytest.raises(CanonicalError) as refused:
        canonical(value)
    assert refused.value.code == "nesting"


def event(at: str, put: str, value: Any, over: tuple[str, ...] = ()) -> dict[str, Any]:
    """An event with what the fold reads; `over` names stamps, whose commitments follow."""
    return {
        "device": "d",
        "seq": 1,
        "prev": "",
        "at": at,
        "scope": "v",
        "put": put,
        "value": value,
        "commit": f"c{at}",
        "over": [f"{stamp}~c{stamp}" for stamp in over],
    }


def erased(one: dict[str, Any]) -> dict[str, Any]:
    return {**one, "value": None, "erased": True}


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


def test_naming_replaces_whatever_the_stamps_say() -> None:
    # the writer saw a value whose clock ran ahead, and replaced it
    cells = fold([event("1", "p", "a", ("2",)), event("2", "p", "b")])
    assert cells["p"] == {"value": "a", "at": "1", "others": []}
    assert live_ids([event("1", "p", "a", ("2",)), event("2", "p", "b")]) == {"p": ["1~c1"]}


def test_another_commitment_under_a_named_stamp_lives() -> None:
    # what is not written yet cannot be named: nobody can guess its commitment
    forged = {**event("2", "p", "b"), "commit": "another"}
    assert fold([event("1", "p", "a", ("2",)), forged])["p"]["value"] == "b"


def test_what_was_erased_gives_way_and_stays_as_erased_when_nothing_else_stands() -> None:
    first, second = event("1", "p", "a"), event("2", "p", "b")
    assert fold([first, erased(second)])["p"] == {"value": "a", "at": "1", "others": []}
    alone = fold([erased(event("1", "p", "a")), erased(event("2", "p", "b", ("1",)))])["p"]
    assert alone == {"value": None, "at": "2", "others": [], "erased": True}
    # an erased value that was replaced changes nothing
    assert fold([erased(first), event("2", "p", "b", ("1",))])["p"]["others"] == []


def test_leaves_and_the_photos_hash_are_the_same_before_and_after_erasing() -> None:
    events = [
        event("1", "items/x/photos/aa", {"caption": "A. Name"}),
        event("2", "about/seller", "A. Name"),
        event("3", "about/seller", "A. Name, 555-0100", ("2",)),
    ]
    gone = [erased(one) for one in events]
    assert leaf_texts(gone) == leaf_texts(events)
    assert photos_text(fold(gone)) == photos_text(fold(events)) == '["aa"]'


def test_a_leaf_says_kind_path_stamp_and_commitment_of_what_stands() -> None:
    events = [event("1", "p", "a"), event("2", "p", "b", ("1",)), event("3", "p", "c")]
    assert leaf_texts(events) == [["plan", '["p","3","c3"]'], ["plan", '["p","2","c2"]']]


def test_a_seals_signature_covers_everything_but_itself() -> None:
    assert unsigned_text({"b": 1, "a": {"signature": "x"}, "signature": "y"}) == (
        '{"a":{"signature":"x"},"b":1}'
    )


def _order(path: str, value: Any, device: str = "shop", at: str = "9") -> dict[str, Any]:
    return {**event(at, path, value), "device": device}


def test_only_the_shops_own_chains_give_orders() -> None:
    fence = _order("fence/d/1", {"to_seq": None, "why": "x"})
    assert orders([fence], ["shop"])["fence"] == {"d": [[1, None, "x"]]}
    assert orders([{**fence, "device": "phone"}], ["shop"])["fence"] == {}


def test_a_fenced_event_is_passed_over_and_a_corrected_clock_ranks_by_its_receipt() -> None:
    stamp = "{:015d}-00000-d".format
    events = [
        {**event(stamp(900), "p", "far"), "seq": 1},
        {**event(stamp(400), "p", "near"), "seq": 2},
        {**event(stamp(500), "p", "not ours"), "seq": 3},
    ]
    assert fold(events)["p"]["value"] == "far"
    clock = _order("clock/d/1", {"to_seq": 1, "received_ms": 300})
    fence = _order("fence/d/3", {"to_seq": 3, "why": "not ours"}, at="91")
    cell = fold(obeyed(events, orders([clock, fence], ["shop"])))["p"]
    assert (cell["value"], cell["at"]) == ("near", stamp(400))
    assert cell["others"] == [{"value": "far", "at": stamp(300)}]


def test_what_is_no_personal_data_cannot_be_ordered_to_be_erased() -> None:
    wanted = [
        _order("erase/d/1", {"put": "items/x/note", "commit": "c"}),
        _order("erase/d/2", {"put": "items/x/grade", "commit": "c"}, at="91"),
    ]
    assert [one["seq"] for one in orders(wanted, ["shop"])["erase"]] == [1]
    assert orders(wanted, ["shop"])["erase"][0]["at"] == "9"


@pytest.mark.parametrize(
    ("path", "may"),
    [
        ("about/seller", True),
        ("about/place", True),
        ("people/" + "a" * 32, True),
        ("taken/underneath", False),
        ("items/x/why", True),
        ("items/x/note", True),
        ("items/x/photos/" + "a" * 64, True),
        ("media/" + "a" * 64, True),
        ("notes/5e0c1a2b3d4f", True),
        ("work/brakes/note", True),
        ("work/brakes/done", True),
        ("trouble/no-start/tests/spark", True),
        ("plan/remedies/brakes", True),
        ("car/plate", True),
        ("own/1/caption", True),
        ("work/brakes/after/brakes.front-pads/grade", False),
        ("plan/choice/x", False),
        ("device/continues", False),
        ("erase/" + "a" * 32 + "/1", False),
        ("fence/" + "a" * 32 + "/note", False),
        ("car/odometer", False),
        ("about/bundle", False),
        ("note", False),
        ("items/x/grade", False),
        ("items/x/choice", False),
        ("items/x/readings/pad/note", False),
        ("about/sellers", False),
        ("car/vin", False),
        ("seal/1", False),
        ("media", False),
        ("notes", False),
    ],
)
def test_only_personal_data_may_be_erased(path: str, may: bool) -> None:
    assert may_be_erased(path) is may


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
def test_a_value_is_lost_only_when_another_event_names_it(events: list[dict[str, Any]]) -> None:
    cells = fold(events)
    for one in events:
        cell = cells[one["put"]]
        kept = [cell["value"], *(other["value"] for other in cell["others"])]
        named = any(
            later["put"] == one["put"] and event_id(one) in later["over"] for later in events
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
