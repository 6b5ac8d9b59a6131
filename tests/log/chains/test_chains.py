"""Chains brought by anybody: signatures, unknown devices, where copies part, who lacks what."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from bradawl.common.device_keys import DeviceKey
from bradawl.common.errors import ApiError
from bradawl.log.chains import stored
from bradawl.log.event_log import ListedChain, Log
from bradawl.log.format.batches import read_batch
from bradawl.log.integrity.doctor import examine
from bradawl.log.sync import pulls
from tests.log.server import DEVICE, KEY, MS, OTHER, OTHER_KEY, VISIT, client_of, new_log
from tests.log.sync.test_sync import PUSH, pull, refused
from tests.log.writer import JSON, Writer, batch_of, read_as

THIRD_KEY = DeviceKey.derived(b"test phone 3")


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    """A log where two phones are paired, and nobody else."""
    made = new_log(tmp_path, registered=lambda device: device in (DEVICE, OTHER))
    yield made
    made.close()


def listed(log: Log, device: str) -> ListedChain:
    return next(chain for chain in log.chains() if chain.device == device)


def branched(writer: Writer, seq: int, count: int, what: str = "other") -> Writer:
    """A second life of a device, the same up to `seq`."""
    life = Writer(writer.key, ms=writer.ms)
    life.events = writer.events[:seq]
    for number in range(count):
        life.put(f"items/x.y/note{number}", what)
    return life


# who may bring what


def test_another_phone_brings_what_the_server_lacks_of_a_device(
    client: TestClient, log: Log
) -> None:
    theirs = Writer(OTHER_KEY).fill(4)
    assert client.post(PUSH, json=theirs.batch()).json()["held"] == 4  # asked by DEVICE
    assert log.events_of(VISIT) == read_as(theirs.events)
    assert listed(log, OTHER).marked == ""
    assert log.stands_for(OTHER) == OTHER


@pytest.mark.parametrize("key", [OTHER_KEY, THIRD_KEY])
def test_nobody_continues_a_chain_without_its_key(
    client: TestClient, log: Log, key: DeviceKey
) -> None:
    mine = Writer().fill(3)
    client.post(PUSH, json=mine.batch(1, 2))
    forged = mine.batch(3, 3)
    text = f"bradawl-head-2\n{DEVICE}\n3\n{forged['head']}"
    for change in (
        {"signature": key.sign(text)},
        {"signature": key.sign(text), "key": key.public},
        {"signature": ""},
        {"signature": forged["signature"][:-2] + "AA"},
        {"signature": mine.batch(1, 2)["signature"]},
    ):
        refused(client.post(PUSH, json=forged | change), 422, "signature")
    assert log.held() == {DEVICE: 2}
    assert client.post(PUSH, json=forged).json()["held"] == 3


def test_a_repeat_with_a_wrong_signature_is_refused_like_any_other(client: TestClient) -> None:
    mine = Writer().fill(2)
    client.post(PUSH, json=mine.batch())
    refused(client.post(PUSH, json=mine.batch() | {"signature": ""}), 422, "signature")


def test_entries_of_an_unknown_phone_are_kept_and_marked_until_the_owner_confirms(
    client: TestClient, log: Log
) -> None:
    stranger = Writer(THIRD_KEY).fill(2)
    assert client.post(PUSH, json=stranger.batch()).status_code == 200
    assert listed(log, THIRD_KEY.device).marked == "unknown"
    assert log.chains()[0].device == THIRD_KEY.device
    stranger.fill(1)
    client.post(PUSH, json=stranger.batch(3, 3))
    assert listed(log, THIRD_KEY.device).marked == "unknown"
    log.confirm(THIRD_KEY.device)
    assert listed(log, THIRD_KEY.device).marked == ""
    assert len(log.events_of(VISIT)) == 3


@pytest.mark.parametrize("key", [OTHER_KEY, THIRD_KEY])
@pytest.mark.parametrize("why", ["lost", "forked", "rolled_back", "unsigned"])
def test_a_chain_that_goes_on_from_another_says_why_and_waits_for_the_owner(
    client: TestClient, log: Log, key: DeviceKey, why: str
) -> None:
    """A paired phone too: anybody can say that he goes on from somebody."""
    client.post(PUSH, json=Writer().fill(3).batch())
    new = Writer(key)
    value = {"device": DEVICE, "seq": 3, "head": Writer().fill(3).hash_at(3), "why": why}
    new.put("device/continues", value, scope="shop")
    new.fill(2)
    assert client.post(PUSH, json=new.batch()).json()["held"] == 3
    chain = listed(log, key.device)
    assert (chain.continues, chain.marked) == (DEVICE, why)
    assert log.stands_for(key.device) == key.device  # not before the owner has looked
    log.confirm(key.device)
    assert log.stands_for(key.device) == DEVICE


@pytest.mark.parametrize(
    ("value", "continues", "marked"),
    [
        ({"device": DEVICE, "why": "invented"}, DEVICE, "unknown"),
        ({"device": DEVICE, "why": ["lost"]}, DEVICE, "unknown"),
        ({"device": "nobody", "why": "lost"}, "", "unknown"),
        ({"device": THIRD_KEY.device, "why": "lost"}, "", "unknown"),  # goes on from itself
        ({"why": "lost"}, "", "unknown"),
        ("lost", "", "unknown"),
        (None, "", "unknown"),
    ],
)
def test_nonsense_about_what_a_chain_goes_on_from_is_kept_and_marked(
    log: Log, value: Any, continues: str, marked: str
) -> None:
    new = Writer(THIRD_KEY)
    new.put("device/continues", value, scope="shop")
    log.push(new.batch(), received_ms=MS)
    chain = listed(log, THIRD_KEY.device)
    assert (chain.continues, chain.marked) == (continues, marked)


def test_what_a_chain_goes_on_from_is_read_from_its_first_event_in_scope_shop_alone(
    log: Log,
) -> None:
    value = {"device": DEVICE, "seq": 1, "head": "0" * 64, "why": "lost"}
    new = Writer(OTHER_KEY)
    new.put("device/continues", value)  # in an inspection
    new.put("device/continues", value, scope="shop")  # not the first
    log.push(new.batch(), received_ms=MS)
    assert (listed(log, OTHER).continues, listed(log, OTHER).marked) == ("", "")


def test_chains_that_go_on_from_one_another_in_a_circle_stand_for_somebody(log: Log) -> None:
    for key, other in ((KEY, OTHER_KEY), (OTHER_KEY, KEY)):
        writer = Writer(key)
        value = {"device": other.device, "seq": 1, "head": "0" * 64, "why": "lost"}
        writer.put("device/continues", value, scope="shop")
        log.push(writer.batch(), received_ms=MS)
        log.confirm(key.device)
    assert log.stands_for(DEVICE) in (DEVICE, OTHER)


def test_no_phone_fills_the_list_of_unknown_ones(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stored, "MAX_MARKED", 3)
    strangers = [Writer(DeviceKey.derived(b"stranger %d" % number)).fill(1) for number in range(5)]
    for stranger in strangers[:3]:
        assert client.post(PUSH, json=stranger.batch()).status_code == 200
    for stranger in strangers[3:]:
        refused(client.post(PUSH, json=stranger.batch()), 409, "unconfirmed")
    # who is in goes on, and so does a phone that the owner has paired
    strangers[0].fill(1)
    assert client.post(PUSH, json=strangers[0].batch(2, 2)).json()["held"] == 2
    paired = Writer()
    value = {"device": OTHER, "seq": 1, "head": "0" * 64, "why": "lost"}
    paired.put("device/continues", value, scope="shop")
    assert client.post(PUSH, json=paired.batch()).json()["held"] == 1
    for stranger in strangers[:2]:
        log.confirm(stranger.device)
    assert client.post(PUSH, json=strangers[3].batch()).status_code == 200


# where two copies part


def test_a_fork_shows_every_place_near_the_end_where_the_copies_may_meet(
    client: TestClient, log: Log
) -> None:
    mine = Writer().fill(9)
    client.post(PUSH, json=mine.batch())  # one batch: its ends alone would not tell
    for parted in range(9):
        other = branched(mine, parted, 3)
        error = refused(client.post(PUSH, json=other.batch(parted + 1)), 409, "fork")
        assert error["held"] == 9
        there = dict(error["boundaries"])
        assert list(there) == list(range(1, min(parted + 3, 9) + 1))
        assert all(there[seq] == mine.hash_at(seq) for seq in there)
        shared = [
            seq for seq in there if seq <= len(other.events) and other.hash_at(seq) == there[seq]
        ]
        assert max(shared, default=0) == parted
    assert log.events_of(VISIT) == read_as(mine.events)


def test_far_back_ends_of_batches_are_enough_and_their_number_is_bounded(
    log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stored, "MAX_EXACT", 10)
    mine = Writer().fill(400)
    for seq in range(1, 400, 2):
        log.push(mine.batch(seq, seq + 1), received_ms=MS)
    with log.engine.connect() as connection:
        for asked in (400, 399, 57, 1, 0, 500):
            there = stored.boundaries(connection, DEVICE, asked)
            seqs = [seq for seq, _ in there]
            last = min(asked, 400)
            assert seqs == sorted(set(seqs))
            assert seqs[-10:] == list(range(max(last - 9, 1), last + 1))[-10:]
            assert all(hashed == mine.hash_at(seq) for seq, hashed in there)
            assert len(seqs) < 140
        assert stored.boundaries(connection, OTHER, 5) == []


def test_a_batch_that_leaves_a_gap_is_refused_whoever_sends_it(client: TestClient) -> None:
    theirs = Writer(OTHER_KEY).fill(5)
    error = refused(client.post(PUSH, json=theirs.batch(3, 5)), 409, "gap")
    assert (error["held"], error["head"]) == (0, "")
    client.post(PUSH, json=theirs.batch(1, 2))
    error = refused(client.post(PUSH, json=theirs.batch(4, 5)), 409, "gap")
    assert (error["held"], error["head"]) == (2, theirs.hash_at(2))


@pytest.mark.parametrize("to_seq", [3, 4])
def test_stamps_rise_across_batches_too(client: TestClient, log: Log, to_seq: int) -> None:
    mine = Writer().fill(2)
    client.post(PUSH, json=mine.batch())
    mine.ms -= 1000  # the next has the stamp of the last
    mine.fill(to_seq - 2)
    error = refused(client.post(PUSH, json=mine.batch(3)), 422, "event")
    assert error["index"] == 0
    error = refused(client.post(PUSH, json=mine.batch(2)), 422, "event")
    assert error["index"] == 1
    assert log.held() == {DEVICE: 2}


# who lacks what


def test_who_has_another_copy_is_shown_where_they_may_meet(client: TestClient, log: Log) -> None:
    mine = Writer().fill(5)
    log.push(mine.batch(1, 3), received_ms=MS)
    log.push(mine.batch(4, 5), received_ms=MS)
    for parted, count in ((2, 1), (2, 3), (4, 1), (0, 5)):
        other = branched(mine, parted, count)
        got = pull(client, other.have())
        assert got["batches"] == []
        assert got["more"] is False
        there = dict(got["forked"][DEVICE])
        assert list(there) == list(range(1, len(other.events) + 1))
        met = max((s for s in there if other.hash_at(s) == there[s]), default=0)
        assert met == parted
        # from there on it gets what it lacks
        (batch,) = pull(client, other.have(met) if met else {})["batches"]
        assert batch["from_seq"] == met + 1
        assert batch["head"] == mine.hash_at(5)


def test_the_server_asks_for_what_it_lacks(client: TestClient, log: Log) -> None:
    mine, theirs = Writer().fill(4), Writer(OTHER_KEY).fill(2)
    log.push(mine.batch(1, 1), received_ms=MS)
    got = pull(client, {**mine.have(), **theirs.have()})
    assert got["want"] == {DEVICE: 1, OTHER: 0}
    for device, writer in ((DEVICE, mine), (OTHER, theirs)):
        client.post(PUSH, json=writer.batch(got["want"][device] + 1))
    got = pull(client, {**mine.have(), **theirs.have()})
    assert (got["want"], got["forked"], got["batches"]) == ({}, {}, [])
    assert examine(log).findings == []


def test_what_is_asked_for_in_one_answer_is_bounded(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pulls, "MAX_WANTED", 2)
    monkeypatch.setattr(pulls, "MAX_FORKED", 1)
    have: JSON = {f"{number:032x}": [1, "0" * 64] for number in range(5)}
    assert len(pull(client, have)["want"]) == 2
    for key in (KEY, OTHER_KEY):
        log.push(Writer(key).fill(2).batch(), received_ms=MS)
    have = {DEVICE: [1, "0" * 64], OTHER: [2, "0" * 64]}
    got = pull(client, have)
    assert len(got["forked"]) == 1
    assert got["more"] is False


def test_a_batch_that_was_cut_in_transit_is_told_by_its_head(client: TestClient, log: Log) -> None:
    mine = Writer().fill(3)
    short = mine.batch()
    short["events"] = short["events"][:2]
    refused(client.post(PUSH, json=short), 422, "chain")
    assert log.held() == {}


def test_each_batch_that_is_pulled_is_signed_at_its_end(log: Log) -> None:
    mine = Writer().fill(7)
    for first, last in ((1, 3), (4, 4), (5, 7)):
        log.push(mine.batch(first, last), received_ms=MS)
    with client_of(log) as client:
        for seq in range(7):
            for batch in pull(client, mine.have(seq))["batches"]:
                read_batch(json.dumps({**batch, "protocol": 2}).encode())


def test_two_lives_of_one_device_are_told_apart_by_their_batches(log: Log) -> None:
    first = Writer().fill(2)
    log.push(first.batch(), received_ms=MS)
    with pytest.raises(ApiError) as caught:
        log.push(batch_of(KEY, branched(first, 1, 1).events[1:]), received_ms=MS)
    assert caught.value.code == "fork"
