"""Orders of the shop: clocks are corrected, fences obeyed, and nobody else's word counts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from bradawl.judge import fold
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from tests.log.chains.test_chains import THIRD_KEY
from tests.log.server import DESK, DEVICE, KEY, MS, OTHER, OTHER_KEY, VISIT, new_log
from tests.log.sync.reference import id_of
from tests.log.sync.test_sync import PULL, PUSH, pull
from tests.log.writer import Writer

DAY_MS = 86_400_000
NOTE = "items/x.y/note"


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    made = new_log(tmp_path, clock=lambda: MS)
    yield made
    made.close()


def note(log: Log) -> Any:
    return fold(log.events_of(VISIT))[NOTE]["value"]


@pytest.mark.parametrize("ahead_ms", [DAY_MS + 1, 400 * DAY_MS, 899_999_999_999_999 - MS])
def test_events_stamped_far_ahead_rank_by_when_they_came(log: Log, ahead_ms: int) -> None:
    poison = Writer(OTHER_KEY, ms=MS + ahead_ms - 1000)
    poison.put(NOTE, "poison")
    log.push(poison.batch(), received_ms=MS)
    assert log.orders()["clock"] == {OTHER: [[1, 1, MS]]}
    honest = Writer(ms=MS)
    honest.put(NOTE, "unseen, a second later")
    log.push(honest.batch(), received_ms=MS + 2000)
    assert note(log) == "unseen, a second later"
    (read,) = [one for one in log.events_of(VISIT) if one["device"] == OTHER]
    assert read["at"] == poison.events[0]["at"]  # what was signed stays
    assert read["rank"] == f"{MS:015d}-00000-{OTHER}"
    assert examine(log).findings == []


def test_a_day_ahead_is_taken_for_a_clock(log: Log) -> None:
    writer = Writer(OTHER_KEY, ms=MS + DAY_MS - 1000)
    writer.put(NOTE, "a day ahead")
    log.push(writer.batch(), received_ms=MS)
    assert log.orders()["clock"] == {}
    assert log.own_devices() == []


def test_only_what_lies_far_ahead_is_corrected_batch_by_batch(log: Log) -> None:
    writer = Writer(OTHER_KEY, ms=MS)
    writer.put(NOTE, "right")
    writer.ms += 30 * DAY_MS
    writer.put(NOTE, "ahead")
    writer.put(NOTE, "ahead too")
    log.push(writer.batch(), received_ms=MS)
    assert log.orders()["clock"] == {OTHER: [[2, 3, MS]]}
    writer.put(NOTE, "and more")
    log.push(writer.batch(2), received_ms=MS + 5)  # overlaps: what is held has its order
    assert log.orders()["clock"] == {OTHER: [[2, 3, MS], [4, 4, MS + 5]]}
    log.push(writer.batch(), received_ms=MS + 9)
    assert log.orders()["clock"] == {OTHER: [[2, 3, MS], [4, 4, MS + 5]]}
    ranks = [one.get("rank") for one in sorted(log.events_of(VISIT), key=lambda one: one["seq"])]
    assert ranks[1:] == sorted(ranks[1:])
    assert ranks[0] is None


def test_the_order_is_kept_with_the_events_or_not_at_all(log: Log) -> None:
    """One transaction: whatever fails, no stamp is believed that should not be."""
    left = 0

    def count(*_event: Any) -> None:
        nonlocal left
        left -= 1
        if left == 0:
            raise OSError(5, "Input/output error")

    event.listen(log.engine, "before_cursor_execute", count)
    event.listen(log.engine, "commit", count)
    writer = Writer(OTHER_KEY, ms=MS + 400 * DAY_MS).fill(2)
    for number in range(1, 200):
        left = number
        try:
            log.push(writer.batch(), received_ms=MS)
        except OSError:
            left = 0
            assert (log.held(), log.orders()["clock"]) == ({}, {})
        else:
            break
    left = 0
    assert number > 5
    assert log.orders()["clock"] == {OTHER: [[1, 2, MS]]}
    assert examine(log).findings == []


def test_the_next_phone_is_sent_the_order_and_who_gave_it(client: TestClient, log: Log) -> None:
    log.push(Writer(OTHER_KEY, ms=MS + 400 * DAY_MS).fill(1).batch(), received_ms=MS)
    got = pull(client, {})
    (device,) = got["shop"]
    orders = next(batch for batch in got["batches"] if batch["device"] == device)
    (order,) = orders["events"]
    assert (order["scope"], order["put"]) == ("shop", f"clock/{OTHER}/1")
    assert json.loads(order["value"]) == {"received_ms": MS, "to_seq": 1}


def test_a_fenced_phone_changes_nothing_any_more_and_is_still_shown(log: Log) -> None:
    honest, hostile = Writer(ms=MS), Writer(OTHER_KEY, ms=MS)
    first = honest.put(NOTE, "honest")
    hostile.put(NOTE, "hostile", [id_of(first)])
    for writer in (honest, hostile):
        log.push(writer.batch(), received_ms=MS)
    assert note(log) == "hostile"
    log.append_in(DESK, [("shop", f"fence/{OTHER}/1", {"to_seq": None, "why": "stolen"})])
    assert note(log) == "honest"
    hostile.put(NOTE, "once more", [id_of(first), id_of(hostile.events[0])])
    log.push(hostile.batch(2, 2), received_ms=MS)
    assert note(log) == "honest"
    shown = [one for one in log.events_of(VISIT) if one.get("fenced") == "stolen"]
    assert [one["value"] for one in shown] == ["hostile", "once more"]
    log.append_in(DESK, [("shop", f"fence/{OTHER}/1", {"to_seq": 1, "why": "stolen"})])
    assert note(log) == "once more"
    assert examine(log).findings == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (f"fence/{DEVICE}/1", {"to_seq": None, "why": "hostile"}),
        (f"clock/{DEVICE}/1", {"to_seq": 99, "received_ms": 0}),
        (f"erase/{DEVICE}/1", {"put": NOTE, "commit": "A" * 43}),
    ],
)
@pytest.mark.parametrize("key", [OTHER_KEY, THIRD_KEY])
def test_orders_of_a_phone_are_none(log: Log, path: str, value: Any, key: Any) -> None:
    honest = Writer(ms=MS)
    honest.put(NOTE, "honest")
    log.push(honest.batch(), received_ms=MS)
    log.append_in(DESK, [("shop", "devices/x", {"name": "x"})])
    (shop,) = log.own_devices()
    hostile = Writer(key, ms=MS)
    begin = {"device": shop, "seq": 1, "head": "0" * 64, "why": "restored"}
    hostile.put("device/continues", begin, scope="shop")
    hostile.put(path, value, scope="shop")
    log.push(hostile.batch(), received_ms=MS)
    assert log.orders() == {"clock": {}, "fence": {}, "erase": []}
    log.confirm(hostile.device)  # whoever it is: it is no chain of this server's
    assert log.orders() == {"clock": {}, "fence": {}, "erase": []}
    assert note(log) == "honest"


def test_orders_are_read_again_only_when_the_shop_has_recorded_something(
    log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bradawl.log.chains import orders as controls

    read = 0
    honest = controls.orders

    def counted(*given: Any) -> Any:
        nonlocal read
        read += 1
        return honest(*given)

    monkeypatch.setattr(controls, "orders", counted)
    log.push(Writer(KEY, ms=MS).fill(1).batch(), received_ms=MS)
    for _ in range(3):
        log.events_of(VISIT)
    assert read == 0
    log.append_in(DESK, [("shop", f"fence/{OTHER}/1", {"to_seq": 1, "why": "a"})])
    for _ in range(3):
        log.events_of(VISIT)
    assert read == 1


def test_half_a_character_travels_as_it_was_written(client: TestClient, log: Log) -> None:
    writer = Writer(ms=MS)
    writer.put(NOTE, {"a": "x\ud800y\udc00"})
    sent = writer.batch()
    assert client.post(PUSH, json=sent).status_code == 200
    (batch,) = pull(client, {})["batches"]
    assert batch["events"] == sent["events"]
    assert batch["events"][0]["value"] == '{"a":"x\\ud800y\\udc00"}'
    assert note(log) == {"a": "x\ufffdy\ufffd"}
    answer = client.post(PULL, json={"protocol": 2, "have": {}})
    answer.content.decode("utf-8")  # whole letters alone on the wire
