"""Damaged bytes in the database: named, passed over, brought again by a phone; lists worked out."""

from __future__ import annotations

import random
from typing import Any

import pytest
from sqlalchemy import text, update
from starlette.testclient import TestClient

from bradawl.database.connection import writing
from bradawl.log.chains.repair import repair
from bradawl.log.event_log import Log
from bradawl.log.format.tables import BATCHES, DEVICES, SCOPES
from bradawl.log.integrity.doctor import examine
from tests.log.server import DEVICE, OTHER_KEY, VISIT
from tests.log.writer import Writer

PUSH, PULL = "/api/v1/sync/push", "/api/v1/sync/pull"


@pytest.fixture
def writer(client: TestClient) -> Writer:
    """A phone whose 12 entries lie in three batches, and another phone's two."""
    writer = Writer().fill(12)
    for first in (1, 5, 9):
        assert client.post(PUSH, json=writer.batch(first, first + 3)).status_code == 200
    other = Writer(OTHER_KEY)
    other.put("about/place", "under a roof")
    assert client.post(PUSH, json=other.batch()).status_code == 200
    return writer


def flip(log: Log, from_seq: int, column: str, chance: random.Random) -> None:
    """Change one bit of a stored batch."""
    with writing(log.engine) as connection:
        query = text(
            f"SELECT {column} FROM log_batch WHERE device = :device AND from_seq = :from_seq"
        )
        where = {"device": DEVICE, "from_seq": from_seq}
        value = connection.execute(query, where).scalar()
        data = bytearray(value.encode() if isinstance(value, str) else value)
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(7)
        changed = bytes(data) if column == "body" else data.decode()
        connection.execute(
            update(BATCHES)
            .where(BATCHES.c.device == DEVICE, BATCHES.c.from_seq == from_seq)
            .values({column: changed})
        )


def repaired(log: Log) -> list[str]:
    with writing(log.engine) as connection:
        return repair(connection)


def pulled(client: TestClient, have: Any) -> Any:
    answer = client.post(PULL, json={"protocol": 2, "have": have})
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_a_whole_database_is_left_alone(log: Log, writer: Writer) -> None:
    assert repaired(log) == []
    assert examine(log).findings == []
    assert len(log.events_of(VISIT)) == 13


@pytest.mark.parametrize("from_seq", [1, 5, 9])
@pytest.mark.parametrize("column", ["body", "head", "prev", "signature"])
def test_a_flipped_bit_is_found_passed_over_and_brought_again_by_a_phone(
    log: Log, client: TestClient, writer: Writer, from_seq: int, column: str
) -> None:
    if (from_seq, column) == (1, "prev"):
        return  # the first batch's is empty
    before = log.events_of(VISIT)
    flip(log, from_seq, column, random.Random(f"{from_seq} {column}"))
    assert any(finding.code == "chain" for finding in examine(log).findings)
    assert any("are damaged" in sentence for sentence in repaired(log))

    # the rest can be read and pulled by others, the phone that has it all is asked for it
    assert len(log.events_of(VISIT)) < len(before)
    others = pulled(client, {})
    assert OTHER_KEY.device in {batch["device"] for batch in others["batches"]}
    answer = pulled(client, writer.have())
    assert answer["want"][DEVICE] < from_seq
    assert pulled(client, {})["want"] == {}

    assert client.post(PUSH, json=writer.batch(answer["want"][DEVICE] + 1)).status_code == 200
    assert examine(log).findings == []
    assert log.events_of(VISIT) == before
    assert pulled(client, writer.have())["want"] == {}
    writer.fill(1)
    assert client.post(PUSH, json=writer.batch(13)).json()["held"] == 13


@pytest.mark.parametrize("column", ["body", "head"])
def test_a_phone_whose_last_batch_is_damaged_goes_on(
    log: Log, client: TestClient, writer: Writer, column: str
) -> None:
    """How far its chain is held does not follow from what is damaged."""
    flip(log, 9, column, random.Random(3))
    assert any("are damaged" in sentence for sentence in repaired(log))
    writer.fill(1)
    answer = client.post(PUSH, json=writer.batch(13))
    assert (answer.status_code, answer.json()["held"]) == (200, 13)


def test_damage_that_no_phone_can_mend_stays_named(log: Log, writer: Writer) -> None:
    flip(log, 5, "body", random.Random(1))
    repaired(log)
    assert any(finding.code == "chain" for finding in examine(log).findings)
    assert any("are damaged" in sentence for sentence in repaired(log))


def test_a_batch_that_does_not_join_what_is_there_mends_nothing(
    log: Log, client: TestClient, writer: Writer
) -> None:
    flip(log, 5, "body", random.Random(1))
    repaired(log)
    parted = Writer().fill(4)
    parted.put("about/place", "elsewhere")
    parted.fill(7)
    answer = client.post(PUSH, json=parted.batch(5, 12))
    assert answer.status_code in (409, 503), answer.text
    assert any(finding.code == "chain" for finding in examine(log).findings)
    assert client.post(PUSH, json=writer.batch(5)).status_code == 200
    assert examine(log).findings == []


@pytest.mark.parametrize(
    ("table", "values"),
    [
        (DEVICES, {"held": 7}),
        (DEVICES, {"head": "0" * 64}),
        (SCOPES, {"events": 99}),
        (SCOPES, {"last_at": "0" * 54}),
    ],
)
def test_what_follows_from_the_events_is_worked_out_anew(
    log: Log, writer: Writer, table: Any, values: dict[str, Any]
) -> None:
    with writing(log.engine) as connection:
        connection.execute(update(table).values(values))
    assert examine(log).findings != []
    assert repaired(log) != []
    assert examine(log).findings == []


@pytest.mark.parametrize("body", [b"", b"[]", b"{}", b"[{}]", b"\xff", b"[[]]"])
def test_bytes_that_are_no_events_are_passed_over_and_brought_again(
    log: Log, client: TestClient, writer: Writer, body: bytes
) -> None:
    before = log.events_of(VISIT)
    with writing(log.engine) as connection:
        connection.execute(
            update(BATCHES)
            .where(BATCHES.c.device == DEVICE, BATCHES.c.from_seq == 5)
            .values(body=body)
        )
    assert any(finding.code == "chain" for finding in examine(log).findings)
    assert any("are damaged" in sentence for sentence in repaired(log))
    assert pulled(client, writer.have())["want"] == {DEVICE: 4}
    assert client.post(PUSH, json=writer.batch(5)).status_code == 200
    assert log.events_of(VISIT) == before


@pytest.mark.parametrize(("first", "last"), [(5, 6), (5, 10), (3, 7), (5, 12), (5, 13), (1, 5)])
def test_what_mends_need_not_be_cut_as_it_was(
    log: Log, client: TestClient, writer: Writer, first: int, last: int
) -> None:
    """A phone cuts its batches as it likes, and goes on perhaps; the rest of a row stays."""
    before = log.events_of(VISIT)
    flip(log, 5, "body", random.Random(3))
    repaired(log)
    writer.fill(1)
    sent = min(last, 13)
    assert client.post(PUSH, json=writer.batch(first, sent)).status_code == 200
    if sent < 8:
        (device, held), *_ = pulled(client, writer.have())["want"].items()
        assert (device, held) == (DEVICE, sent)
        assert client.post(PUSH, json=writer.batch(sent + 1, 12)).status_code == 200
    assert examine(log).findings == []
    assert log.events_of(VISIT)[: len(before)] == before
    assert client.post(PUSH, json=writer.batch(13)).json()["held"] == 13


def test_events_among_damaged_ones_are_asked_for_from_where_they_begin(
    log: Log, client: TestClient, writer: Writer
) -> None:
    flip(log, 5, "body", random.Random(3))
    repaired(log)
    answer = client.post(PUSH, json=writer.batch(6, 8))
    assert answer.status_code == 409
    assert answer.json()["error"]["code"] == "gap"
    assert answer.json()["error"]["held"] == 4
    assert answer.json()["error"]["head"] == writer.hash_at(4)


def test_another_life_mends_nothing_wherever_it_parts(
    log: Log, client: TestClient, writer: Writer
) -> None:
    flip(log, 5, "body", random.Random(3))
    repaired(log)
    before = log.events_of(VISIT)
    for parted in (2, 5, 8, 9):
        other = Writer()
        other.events = writer.events[:parted]
        other.ms = writer.ms
        other.fill(14 - parted)
        for last in (8, 10, 13):
            answer = client.post(PUSH, json=other.batch(1, last))
            whole = parted >= last
            assert (answer.status_code == 200) == whole, (parted, last)
            if whole:
                return  # the shared part is the same: it mends
            assert log.events_of(VISIT) == before


def test_damage_keeps_nothing_else_of_the_log_from_working(
    log: Log, client: TestClient, writer: Writer
) -> None:
    flip(log, 5, "body", random.Random(3))
    repaired(log)
    log.append("de" * 16, VISIT, [("about/place", "here")])
    other = Writer()
    other.events = writer.events[:2]
    other.ms = writer.ms
    other.fill(3)
    answer = client.post("/api/v1/sync/aside", json=other.batch(3))
    assert answer.status_code == 200
    fork = client.post(PUSH, json=other.batch(3, 4))
    assert fork.json()["error"]["code"] == "fork"
    assert [seq for seq, _ in fork.json()["error"]["boundaries"]] == [1, 2, 3, 4]
    pulled(client, {DEVICE: [12, "0" * 64]})
    log.chains()
    log.visits()
