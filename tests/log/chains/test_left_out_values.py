"""Values that were left out on the way are no erasure: what lacks them is asked for again.

Hashes, signatures and seals hold without values (that is what makes erasing possible), so a phone
that brings another's entries to a restored server could leave names and notes out for ever.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, update
from starlette.testclient import TestClient

from bradawl.common.errors import ApiError
from bradawl.database.connection import writing
from bradawl.log.chains.orders import Controls
from bradawl.log.chains.repair import repair
from bradawl.log.event_log import Log
from bradawl.log.format.tables import BATCHES
from bradawl.log.integrity.doctor import examine
from tests.log.server import DESK, MS, OTHER_KEY, VISIT, client_of, new_log
from tests.log.sync.reference import erased
from tests.log.writer import JSON, Writer, batch_of

PUSH, PULL = "/api/v1/sync/push", "/api/v1/sync/pull"
NAME = "Zéphyrine Q. Ombrage"


@pytest.fixture
def writer() -> Writer:
    """A phone's three entries; the first two may be erased."""
    writer = Writer(OTHER_KEY)
    writer.put("about/seller", NAME)
    writer.put("items/rust.sill/note", f"Ask {NAME}.")
    writer.put("items/rust.sill/grade", {"grade": "major"})
    return writer


def without(writer: Writer, *seqs: int) -> JSON:
    """All of a chain in one batch, some values left out."""
    events = [erased(event) if event["seq"] in seqs else event for event in writer.events]
    return batch_of(writer.key, events)


def pulled(client: TestClient, have: Any) -> Any:
    return client.post(PULL, json={"protocol": 2, "have": have}).json()


def seen(log: Log) -> list[tuple[str, bool]]:
    return [(event["put"], bool(event.get("erased"))) for event in log.events_of(VISIT)]


def test_what_comes_without_values_is_passed_over_and_asked_for_until_it_is_whole(
    log: Log, client: TestClient, writer: Writer
) -> None:
    assert client.post(PUSH, json=without(writer, 1, 2)).json()["held"] == 3
    assert seen(log) == []
    assert pulled(client, writer.have())["want"] == {OTHER_KEY.device: 0}

    # as long as nobody has more, nothing changes: not by a repeat, not by the doctor
    assert client.post(PUSH, json=without(writer, 2)).status_code == 200
    with writing(log.engine) as connection:
        repair(connection)
    assert seen(log) == []
    assert pulled(client, writer.have())["want"] == {OTHER_KEY.device: 0}

    assert client.post(PUSH, json=writer.batch()).json()["held"] == 3
    assert log.events_of(VISIT)[0]["value"] == NAME
    assert pulled(client, writer.have())["want"] == {}
    assert examine(log).findings == []


def test_its_device_goes_on_meanwhile(log: Log, client: TestClient, writer: Writer) -> None:
    client.post(PUSH, json=without(writer, 1))
    writer.put("items/rust.floor/grade", {"grade": "minor"})
    assert client.post(PUSH, json=writer.batch(4)).json()["held"] == 4
    assert seen(log) == [("items/rust.floor/grade", False)]
    assert client.post(PUSH, json=writer.batch()).json()["held"] == 4
    assert len(seen(log)) == 4


def test_words_that_name_a_value_are_no_order_to_erase_it(
    log: Log, client: TestClient, writer: Writer
) -> None:
    writer.put("items/rust.floor/note", {"commit": writer.events[0]["commit"]})
    assert client.post(PUSH, json=without(writer, 1)).json()["held"] == 4
    assert seen(log) == []
    assert pulled(client, writer.have())["want"] == {OTHER_KEY.device: 0}


def test_what_was_ordered_to_be_erased_comes_without_its_value(
    log: Log, client: TestClient, writer: Writer, tmp_path: Path
) -> None:
    client.post(PUSH, json=writer.batch())
    log.append(DESK, VISIT, [("about/place", "under a roof")])
    log.erasures.erase(DESK, VISIT, {(OTHER_KEY.device, 1)})
    shop = [batch for batch in pulled(client, {})["batches"] if batch["device"] != OTHER_KEY.device]

    # the same server, restored without any of it; the phones bring back what they hold
    shutil.copytree(tmp_path / "keys", tmp_path / "restored" / "keys")
    restored = new_log(tmp_path / "restored", clock=lambda: MS)
    try:
        phone = client_of(restored)
        assert phone.post(PUSH, json=without(writer, 1)).status_code == 200
        assert seen(restored) == []
        for batch in shop:
            assert phone.post(PUSH, json={"protocol": 2, **batch}).status_code == 200
        assert ("about/seller", True) in seen(restored)
        assert len(seen(restored)) == 4
    finally:
        restored.close()


def test_a_damaged_order_is_named_and_keeps_no_other_damage_from_being_set_aside(
    log: Log, client: TestClient, writer: Writer
) -> None:
    client.post(PUSH, json=writer.batch())
    log.erasures.erase(DESK, VISIT, {(OTHER_KEY.device, 1)})
    shop = next(one.device for one in log.chains() if one.device != OTHER_KEY.device)
    with writing(log.engine) as connection:
        row = connection.execute(select(BATCHES).where(BATCHES.c.device == shop)).one()
        salt = json.loads(row.body)[0]["salt"]
        shorter = row.body.replace(salt.encode(), salt[:-1].encode())
        connection.execute(update(BATCHES).where(BATCHES.c.device == shop).values(body=shorter))
    with writing(log.engine) as connection:
        with pytest.raises(ApiError, match="database is damaged"):
            Controls().orders(connection)
        repair(connection)
    assert seen(log) == []
    assert client.post(PUSH, json=writer.batch()).json()["held"] == 3
    assert len(log.events_of(VISIT)) == 3
