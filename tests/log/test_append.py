"""The server's own device writes events that every replica accepts and that settle conflicts."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import text

from bradawl.database import writing
from bradawl.errors import ApiError
from bradawl.judgement import fold
from bradawl.log import Log
from tests.log.server import DESK, MS, OTHER, VISIT, new_log
from tests.log.writer import Writer, hash_of


def test_appended_events_form_a_chain_that_another_log_accepts(log: Log, tmp_path: Path) -> None:
    log.append(DESK, VISIT, [("about/seller", "A. Name"), ("car/year", 1987)])
    log.append(DESK, VISIT, [("about/seller", None)])
    events = log.events_of(VISIT)
    assert [event["seq"] for event in events] == [1, 2, 3]
    assert [event["prev"] for event in events] == ["", *(hash_of(e) for e in events[:-1])]
    (tmp_path / "second").mkdir()
    second = new_log(tmp_path / "second")
    for batch in log.pull({}).batches:
        body = batch.body.decode()
        second.push_json(
            (
                f'{{"protocol":1,"device":"{batch.device}","from_seq":{batch.from_seq},'
                f'"prev":"{batch.prev}","events":{body},"head":"{batch.head}"}}'
            ).encode(),
            received_ms=1,
        )
    assert second.events_of(VISIT) == events
    second.close()


def test_a_new_stamp_is_later_than_every_stamp_seen_whatever_the_clocks_say(
    tmp_path: Path,
) -> None:
    log = new_log(tmp_path, clock=lambda: 1_000)  # a server in 1970
    phone = Writer(OTHER, ms=MS).fill(2)
    log.push(phone.batch(), received_ms=1_000)
    log.append(DESK, VISIT, [("about/place", "here"), ("about/place", "there")])
    stamps = [event["at"] for event in log.events_of(VISIT)]
    assert stamps == sorted(set(stamps))
    assert log.stands_for(stamps[-1][22:]) == DESK
    assert fold(log.events_of(VISIT))["about/place"]["value"] == "there"
    log.close()


def test_over_names_every_living_value_so_that_a_conflict_is_settled(log: Log) -> None:
    # two phones wrote unseen of one another, the second pair of them the same value
    for device, value in (("e1" * 16, "minor"), ("e2" * 16, "major"), ("e3" * 16, "major")):
        writer = Writer(device)
        writer.put("items/brakes.pads/grade", {"grade": value})
        log.push(writer.batch(), received_ms=1)
    cells = fold(log.events_of(VISIT))
    assert cells["items/brakes.pads/grade"]["others"] != []
    log.append(DESK, VISIT, [("items/brakes.pads/grade", {"grade": "none"})])
    event = log.events_of(VISIT)[-1]
    assert len(event["over"]) == 3
    assert event["over"] == sorted(event["over"])
    assert fold(log.events_of(VISIT))["items/brakes.pads/grade"]["others"] == []


@pytest.mark.parametrize("value", [1.5, 2**53, {"ü": 1}, {1, 2}, "\ud800", float("nan")])
def test_a_value_that_no_event_may_hold_is_refused_whole(log: Log, value: object) -> None:
    with pytest.raises(ApiError) as caught:
        log.append(DESK, VISIT, [("about/place", "here"), ("about/seller", value)])
    assert caught.value.code == "event"
    assert log.events_of(VISIT) == []


def test_nothing_to_append_changes_nothing(log: Log) -> None:
    assert log.append(DESK, VISIT, []).held == 0
    assert log.visits() == []


def test_after_a_restore_the_desk_goes_on_under_a_new_id_that_phones_accept(
    tmp_path: Path,
) -> None:
    """A restored chain would reuse numbers that phones have seen with other events."""
    log = new_log(tmp_path)
    log.append(DESK, VISIT, [("about/place", "before the backup")])
    # what a backup does to its copy (keeping/records.py)
    with writing(log.engine) as connection:
        connection.execute(text("UPDATE log_device SET closed = true WHERE stands_for <> ''"))
    assert log.events_of(VISIT)[0]["device"] == DESK
    log.append(DESK, VISIT, [("about/place", "after the restore")])
    log.append(DESK, VISIT, [("about/place", "and once more")])
    first, second, third = log.events_of(VISIT)
    assert second["device"] == third["device"] != first["device"]
    assert (second["seq"], second["prev"], third["seq"]) == (1, "", 2)
    assert second["over"] == [first["at"]]
    assert {log.stands_for(event["device"]) for event in (first, second)} == {DESK}
    assert log.stands_for(OTHER) == OTHER
    log.close()


def test_nobody_may_push_into_a_chain_that_the_server_writes(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here")])
    (event,) = log.events_of(VISIT)
    writer = Writer(event["device"])
    writer.put("about/place", "forged")
    with pytest.raises(ApiError) as caught:
        log.push(writer.batch(), received_ms=1, device=event["device"])
    assert caught.value.code == "not_your_device"


def test_an_id_that_a_phone_took_first_is_not_used_by_the_desk(log: Log) -> None:
    log.push(Writer(DESK).fill(1).batch(), received_ms=1, device=DESK)
    log.append(DESK, VISIT, [("about/place", "here")])
    assert len({event["device"] for event in log.events_of(VISIT)}) == 2
