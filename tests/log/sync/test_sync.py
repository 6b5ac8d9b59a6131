"""What is acknowledged is stored exactly once; what cannot be stored is refused with a sentence."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from bradawl.log.event_log import Log
from bradawl.log.sync import pulls
from tests.log.server import DEVICE, MS, OTHER, OTHER_KEY, VISIT, client_of
from tests.log.writer import Writer, hash_of, read_as

PUSH = "/api/v1/sync/push"
PULL = "/api/v1/sync/pull"


def pull(client: TestClient, have: dict[str, list[Any]]) -> dict[str, Any]:
    answer = client.post(PULL, json={"protocol": 2, "have": have})
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def refused(answer: Any, status: int, code: str) -> dict[str, Any]:
    assert answer.status_code == status, answer.text
    error: dict[str, Any] = answer.json()["error"]
    assert error["code"] == code
    # a sentence for the person reading
    assert error["message"][0].isupper()
    assert error["message"].rstrip().endswith(".")
    return error


def test_pushed_events_come_back_byte_for_byte(client: TestClient, log: Log) -> None:
    writer = Writer().fill(3)
    sent = writer.batch()
    answer = client.post(PUSH, json=sent)
    assert answer.status_code == 200
    assert answer.json()["held"] == 3
    assert answer.json()["head"] == hash_of(writer.events[-1])
    assert log.events_of(VISIT) == read_as(writer.events)
    del sent["protocol"]
    assert pull(client, {})["batches"] == [sent]


def test_a_repeat_has_the_same_answer_and_stores_nothing(client: TestClient, log: Log) -> None:
    writer = Writer().fill(5)
    first = client.post(PUSH, json=writer.batch()).json()
    again = client.post(PUSH, json=writer.batch()).json()
    assert (first["held"], first["head"]) == (again["held"], again["head"])
    assert log.visits()[0].events == 5
    assert len(log.events_of(VISIT)) == 5


def test_a_repeat_of_an_earlier_part_says_how_far_the_log_is(client: TestClient, log: Log) -> None:
    writer = Writer().fill(6)
    client.post(PUSH, json=writer.batch())
    for to_seq in range(1, 7):
        answer = client.post(PUSH, json=writer.batch(1, to_seq))
        assert answer.status_code == 200
        assert answer.json()["held"] == 6
    assert len(log.events_of(VISIT)) == 6


def test_an_overlapping_batch_adds_only_what_is_new(client: TestClient, log: Log) -> None:
    writer = Writer().fill(7)
    client.post(PUSH, json=writer.batch(1, 4))
    assert client.post(PUSH, json=writer.batch(3, 7)).json()["held"] == 7
    assert log.events_of(VISIT) == read_as(writer.events)


def test_a_gap_is_refused_and_says_where_to_go_on(client: TestClient, log: Log) -> None:
    writer = Writer().fill(9)
    client.post(PUSH, json=writer.batch(1, 2))
    error = refused(client.post(PUSH, json=writer.batch(5, 9)), 409, "gap")
    assert error["held"] == 2
    assert len(log.events_of(VISIT)) == 2
    assert client.post(PUSH, json=writer.batch(3, 9)).json()["held"] == 9


@pytest.mark.parametrize(("from_seq", "to_seq"), [(1, 2), (2, 3), (1, 4), (2, 5), (4, 5)])
def test_another_history_under_the_same_numbers_is_a_fork(
    client: TestClient, log: Log, from_seq: int, to_seq: int
) -> None:
    client.post(PUSH, json=Writer().fill(3).batch())
    other = Writer(ms=5_000).fill(5)
    error = refused(client.post(PUSH, json=other.batch(from_seq, to_seq)), 409, "fork")
    assert error["boundaries"] == [
        [seq, Writer().fill(3).hash_at(seq)] for seq in range(1, min(to_seq, 3) + 1)
    ]
    assert len(log.events_of(VISIT)) == 3


def test_a_changed_event_breaks_the_chain(client: TestClient, log: Log) -> None:
    batch = Writer().fill(3).batch()
    batch["events"][1]["value"] = '{"typed":"9,5","unit":"mm"}'
    refused(client.post(PUSH, json=batch), 422, "chain")
    assert log.visits() == []


def test_an_unpaired_phone_is_told_to_pair_again(log: Log) -> None:
    with client_of(log, "") as client:
        refused(client.post(PUSH, json=Writer().fill(1).batch()), 401, "pair_again")


def test_an_old_app_and_an_old_server_are_named(client: TestClient) -> None:
    batch = Writer().fill(1).batch()
    refused(client.post(PUSH, json=batch | {"protocol": 1}), 426, "app_too_old")
    # a newer app may send fields that this server cannot know
    refused(client.post(PUSH, json=batch | {"protocol": 3, "new": 1}), 422, "server_too_old")


def test_a_gzipped_batch_is_unpacked_within_its_limit(client: TestClient, log: Log) -> None:
    headers = {"content-encoding": "gzip"}
    packed = gzip.compress(json.dumps(Writer().fill(3).batch()).encode())
    assert client.post(PUSH, content=packed, headers=headers).json()["held"] == 3
    bomb = gzip.compress(b" " * 9_000_000)
    assert len(bomb) < 20_000
    refused(client.post(PUSH, content=bomb, headers=headers), 413, "too_large")
    refused(client.post(PUSH, content=packed[:-9], headers=headers), 400, "batch")
    refused(client.post(PUSH, content=packed + b"x", headers=headers), 400, "batch")
    refused(client.post(PUSH, content=b"not gzip", headers=headers), 400, "batch")
    refused(client.post(PUSH, content=b"{}", headers={"content-encoding": "br"}), 415, "encoding")


def test_a_body_that_is_too_large_is_refused(client: TestClient) -> None:
    refused(client.post(PUSH, content=b" " * 8_000_001), 413, "too_large")


def test_a_batch_of_too_many_events_is_refused(client: TestClient) -> None:
    batch = Writer().fill(1).batch()
    batch["events"] *= 2001
    refused(client.post(PUSH, json=batch), 413, "too_large")


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[",
        b"[]",
        b"{}",
        b'"\xff"',
        b'{"protocol":2}',
        b'{"protocol":"1"}',
        b"[" * 100_000,
    ],
)
def test_a_body_that_is_no_batch_is_refused(client: TestClient, body: bytes) -> None:
    refused(client.post(PUSH, content=body), 400, "batch")


@pytest.mark.parametrize(
    "change",
    [
        {"device": "x"},
        {"from_seq": 0},
        {"from_seq": 2**53},
        {"events": []},
        {"prev": "0" * 64},
        {"prev": 1},
        {"surplus": 1},
        {"key": None},
        {"signature": 1},
    ],
)
def test_a_wrong_envelope_is_refused(client: TestClient, change: dict[str, Any]) -> None:
    refused(client.post(PUSH, json=Writer().fill(1).batch() | change), 400, "batch")


def test_pull_gives_each_device_what_it_lacks(client: TestClient, log: Log) -> None:
    mine, other = Writer().fill(4), Writer(OTHER_KEY).fill(3)
    client.post(PUSH, json=mine.batch(1, 2))
    client.post(PUSH, json=mine.batch(3, 4))
    log.push(other.batch(), received_ms=MS)
    got = pull(client, {**mine.have(3), **other.have(3)})
    assert got["held"] == {DEVICE: 4, OTHER: 3}
    assert (got["more"], got["want"], got["forked"], got["shop"]) == (False, {}, {}, [])
    expected = mine.batch(4, 4)
    del expected["protocol"]
    # the signature is the one that came with the batch
    expected["signature"] = got["batches"][0]["signature"]
    assert got["batches"] == [expected]


def test_pull_in_pages_ends_and_leaves_nothing_out(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pulls, "PULL_EVENTS", 3)
    writers = [Writer().fill(11), Writer(OTHER_KEY).fill(5)]
    for writer in writers:
        for seq in range(1, len(writer.events) + 1, 2):
            log.push(writer.batch(seq, min(seq + 1, len(writer.events))), received_ms=MS)
    have: dict[str, list[Any]] = {}
    events: dict[str, list[Any]] = {}
    for _ in range(20):
        got = pull(client, have)
        for batch in got["batches"]:
            assert batch["from_seq"] == have.get(batch["device"], [0])[0] + 1
            have[batch["device"]] = [batch["from_seq"] + len(batch["events"]) - 1, batch["head"]]
            events.setdefault(batch["device"], []).extend(batch["events"])
        if not got["more"]:
            break
    assert {device: seq for device, (seq, _) in have.items()} == {DEVICE: 11, OTHER: 5}
    for writer in writers:
        assert events[writer.device] == writer.batch()["events"]


def test_pull_from_every_place_carries_the_right_hashes(client: TestClient, log: Log) -> None:
    writer = Writer().fill(6)
    log.push(writer.batch(1, 4), received_ms=MS)
    log.push(writer.batch(5, 6), received_ms=MS)
    for held in range(6):
        (batch,) = pull(client, writer.have(held))["batches"]
        assert batch["prev"] == writer.events[held]["prev"]
        assert batch["head"] == hash_of(writer.events[-1])
        assert len(batch["events"]) == 6 - held


def test_a_large_pull_is_packed_and_no_batch_exceeds_the_limit(
    client: TestClient, log: Log
) -> None:
    writer = Writer().fill(2500)
    log.push(writer.batch(1, 2000), received_ms=MS)
    log.push(writer.batch(2001, 2500), received_ms=MS)
    answer = client.post(PULL, json={"protocol": 2, "have": {}})
    assert answer.headers["content-encoding"] == "gzip"
    assert [len(batch["events"]) for batch in answer.json()["batches"]] == [2000, 500]


@pytest.mark.parametrize(
    "have",
    [
        {"x": [1, "0" * 64]},
        {DEVICE: [0, "0" * 64]},
        {DEVICE: [-1, "0" * 64]},
        {DEVICE: [2**53, "0" * 64]},
        {DEVICE: [1, ""]},
        {DEVICE: [1, "0" * 63]},
    ],
)
def test_a_wrong_question_is_refused(client: TestClient, have: dict[str, Any]) -> None:
    refused(client.post(PULL, json={"protocol": 2, "have": have}), 422, "have")


@pytest.mark.parametrize("have", [{DEVICE: 1}, {DEVICE: [1]}, {DEVICE: ["1", "0" * 64]}, [], None])
def test_a_question_of_another_shape_is_refused(client: TestClient, have: Any) -> None:
    refused(client.post(PULL, json={"protocol": 2, "have": have}), 400, "batch")
    refused(client.post(PULL, content=b"{"), 400, "batch")


@pytest.mark.parametrize(("protocol", "status", "code"), [
    (1, 426, "app_too_old"), (3, 422, "server_too_old"),
])  # fmt: skip
def test_a_question_of_another_protocol_is_told_which_side_is_older(
    client: TestClient, protocol: int, status: int, code: str
) -> None:
    for path, body in (
        (PULL, {"protocol": protocol, "have": {DEVICE: 1}}),
        (PUSH, {"protocol": protocol, "events": "in a form to come"}),
        ("/api/v1/sync/aside", {"protocol": protocol, "events": "in a form to come"}),
    ):
        error = refused(client.post(path, json=body), status, code)
        assert error["protocol"] == 2
        assert "phone" in error["message"]


def test_visits_are_listed_with_the_last_changed_first(log: Log) -> None:
    early, late = (
        Writer(visit="b0" * 16, ms=1000).fill(3),
        Writer(OTHER_KEY, visit="c0" * 16).fill(2),
    )
    log.push(early.batch(), received_ms=MS)
    log.push(late.batch(), received_ms=MS)
    assert [(v.visit, v.events) for v in log.visits()] == [("c0" * 16, 2), ("b0" * 16, 3)]
    assert log.visits()[1].first_at == early.events[0]["at"]
    assert log.visits()[1].last_at == early.events[-1]["at"]
    assert log.events_of("f0" * 16) == []


def test_events_of_a_visit_are_in_the_order_of_their_stamps(log: Log) -> None:
    one, two = Writer(ms=1_000_000).fill(4), Writer(OTHER_KEY, ms=1_000_500).fill(4)
    log.push(two.batch(), received_ms=MS)
    log.push(one.batch(), received_ms=MS)
    stamps = [event["at"] for event in log.events_of(VISIT)]
    assert stamps == sorted(stamps)
    assert len(stamps) == 8
