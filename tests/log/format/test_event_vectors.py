"""The server makes of events what event_vectors.json says; oracle: tests/log/sync/reference.py."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest

from bradawl import judge
from bradawl.common import device_keys
from bradawl.common.errors import ApiError
from bradawl.inspection.seals import hashed
from bradawl.log.format import events as ev
from bradawl.log.format import value_text
from bradawl.log.format.batches import read_batch
from tests.log.format import make_event_vectors

FILE = json.loads(make_event_vectors.PATH.read_text(encoding="utf-8"))


def each(part: str) -> Any:
    return pytest.mark.parametrize("case", FILE[part], ids=lambda case: case.get("name"))


def test_the_file_is_what_the_reference_makes_today() -> None:
    assert make_event_vectors.PATH.read_text(encoding="utf-8") == make_event_vectors.text(), (
        "The reference changed: run `python -m tests.log.format.make_event_vectors`."
    )


@each("value_texts")
def test_a_value_that_may_be_recorded_is_read_as_it_is_shown(case: dict[str, Any]) -> None:
    value_text.check(case["text"])
    assert value_text.value_of(case["text"]) == case["shown"]
    assert value_text.text_of(case["shown"]) == value_text.text_of(case["value"])
    if case["shown"] == case["value"]:
        assert value_text.text_of(case["value"]) == case["text"]


@each("refused_texts")
def test_a_text_that_no_event_may_hold_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(value_text.ValueFaultError) as caught:
        value_text.check(case["text"])
    assert caught.value.code == case["why"]


def test_commitments_are_those_of_salt_and_text() -> None:
    for case in FILE["commitments"]:
        assert value_text.commit_to(case["salt"], case["text"]) == case["commit"]


@each("chains")
def test_a_chain_has_its_hashes_ids_and_signatures(case: dict[str, Any]) -> None:
    for sent in case["batches"]:
        batch = read_batch(json.dumps(sent).encode())
        assert batch.hashes == case["hashes"][batch.from_seq - 1 : batch.to_seq]
        stored = ev.unpack(ev.pack(batch.events))
        full = ev.chain(batch.device, batch.from_seq, batch.prev, stored)
        for event, written in zip(full, stored, strict=True):
            place = event.seq - 1
            plain = ev.plain(event, written)
            assert judge.event_id(plain) == case["ids"][place]
            assert {key: plain[key] for key in ev.Event.__struct_fields__} == {
                key: case["events"][place][key] for key in ev.Event.__struct_fields__
            }
            canonical = case["canonical"][place]
            assert hashlib.sha256(canonical.encode()).hexdigest() == ev.hash_of(event)


@each("refused_batches")
def test_a_batch_with_one_thing_wrong_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(ApiError) as caught:
        read_batch(json.dumps(case["batch"]).encode())
    assert caught.value.code == case["code"]
    assert caught.value.message.endswith(".")


def test_a_device_is_named_by_its_key() -> None:
    for case in FILE["devices"]:
        assert device_keys.device_of(case["key"]) == case["device"]


@each("refused_keys")
def test_what_is_no_key_signs_nothing(case: dict[str, Any]) -> None:
    signature = FILE["signatures"][1]
    assert not device_keys.verifies(case["key"], signature["text"], signature["signature"])
    if case["name"] != "not on the curve":
        with pytest.raises(device_keys.KeyFaultError):
            device_keys.device_of(case["key"])


@each("signatures")
def test_signatures(case: dict[str, Any]) -> None:
    valid = device_keys.verifies(case["key"], case["text"], case["signature"])
    assert valid is case["valid"]


@each("seals")
def test_a_seal_is_signed_over_its_value_without_the_signature(case: dict[str, Any]) -> None:
    unsigned = judge.unsigned_text(case["seal"])
    assert unsigned == case["unsigned_text"]
    digest = hashlib.sha256(unsigned.encode()).hexdigest()
    signed = f"bradawl-seal-2\n{case['device']}\n{case['scope']}\n{digest}"
    assert signed == case["signed_text"]
    assert device_keys.verifies(case["seal"]["key"], signed, case["seal"]["signature"])


@each("folds")
def test_what_stands_and_what_a_seal_has_for_leaves(case: dict[str, Any]) -> None:
    for events in (case["events"], case["events"][::-1], case["events"] * 2):
        ordered = judge.obeyed(events, case["orders"]) if case["orders"] else events
        assert judge.fold(ordered) == case["cells"]
        assert judge.live_ids(ordered) == case["live"]
        leaves = sorted(
            hashed(judge.canonical([kind, hashed(text)]))
            for kind, text in judge.leaf_texts(ordered)
        )
        assert leaves == case["leaves"]
        digest = hashlib.sha256(judge.canonical(leaves).encode()).hexdigest()
        assert digest == case["leaves_hash"]


@each("orders")
def test_what_the_shop_ordered(case: dict[str, Any]) -> None:
    assert judge.orders(case["events"], case["shop"]) == case["orders"]
    assert judge.orders(case["events"][::-1], case["shop"]) == case["orders"]


def test_a_path_tells_the_kind_of_its_entry() -> None:
    for case in FILE["kinds"]:
        assert judge.entry_kind(case["path"]) == case["kind"], case["path"]


def test_only_personal_data_may_be_erased() -> None:
    for case in FILE["erasable"]:
        assert judge.may_be_erased(case["path"]) is case["may"], case["path"]
