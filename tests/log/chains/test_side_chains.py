"""Entries that cannot go onto their own chain are kept once, whole, on a chain of the server's."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from bradawl.common.errors import ApiError
from bradawl.judge import fold
from bradawl.log.chains import stored
from bradawl.log.event_log import ListedChain, Log
from bradawl.log.integrity.doctor import examine
from tests.log.chains.test_chains import THIRD_KEY, branched
from tests.log.server import DESK, DEVICE, MS, OTHER, OTHER_KEY, VISIT, client_of, new_log
from tests.log.sync.reference import erased, hash_of, id_of
from tests.log.sync.test_sync import PUSH, pull, refused
from tests.log.writer import JSON, Writer, batch_of
from tests.operations.lines import json_lines, logging_to

ASIDE = "/api/v1/sync/aside"
DAY_MS = 86_400_000


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    made = new_log(tmp_path, clock=lambda: MS + 3_600_000)
    yield made
    made.close()


def aside(client: TestClient, batch: JSON) -> str:
    answer = client.post(ASIDE, json=batch)
    assert answer.status_code == 200, answer.text
    return str(answer.json()["device"])


def entries(log: Log, device: str) -> list[tuple[str, Any]]:
    """Path and value of what a chain holds, without its beginning."""
    found = [
        event
        for scope in (f"inspection/{VISIT}", "shop")
        for event in log.events_in(scope)
        if event["device"] == device and event["put"] != "device/continues"
    ]
    return [(one["put"], one["value"]) for one in sorted(found, key=lambda one: int(one["seq"]))]


def begun(log: Log, device: str) -> JSON:
    value: JSON = next(
        event["value"]
        for event in log.events_in("shop")
        if event["device"] == device and event["seq"] == 1
    )
    return value


def listed(log: Log, device: str) -> ListedChain:
    return next(chain for chain in log.chains() if chain.device == device)


def forked(log: Log, shared: int = 2, more: int = 3) -> Writer:
    """A copy of DEVICE's chain that parts after `shared` events from what the log holds."""
    mine = Writer().fill(4)
    log.push(mine.batch(), received_ms=MS)
    return branched(mine, shared, more)


def test_a_forked_copy_is_kept_and_marked(client: TestClient, log: Log) -> None:
    other = forked(log)
    refused(client.post(PUSH, json=other.batch(3)), 409, "fork")
    side = aside(client, other.batch(3))
    assert entries(log, side) == [(f"items/x.y/note{number}", "other") for number in range(3)]
    chain = listed(log, side)
    assert (chain.kind, chain.continues, chain.marked) == ("side", DEVICE, "forked")
    assert begun(log, side) == {
        "device": DEVICE, "seq": 2, "head": other.hash_at(2), "why": "forked"
    }  # fmt: skip
    assert log.stands_for(side) == side
    log.confirm(side)
    assert log.stands_for(side) == DEVICE
    assert log.own_devices() == []  # what stands on it is no order of the shop
    assert examine(log).findings == []
    # it travels like every other chain
    assert {batch["device"] for batch in pull(client, {})["batches"]} == {DEVICE, side}


def test_a_repeat_changes_nothing_however_it_is_cut(client: TestClient, log: Log) -> None:
    other = forked(log, shared=2, more=5)
    side = aside(client, other.batch(3, 5))
    events = len(log.events_of(VISIT))
    for first, last in ((3, 5), (1, 5), (2, 4), (5, 5), (1, 3)):
        assert aside(client, other.batch(first, last)) == side
    assert len(log.events_of(VISIT)) == events
    # a longer copy adds what is new
    more = aside(client, other.batch(1, 7))
    assert more != side
    assert len(entries(log, side)) == 3
    assert len(entries(log, more)) == 2
    for first, last in ((3, 7), (6, 7), (1, 7)):
        aside(client, other.batch(first, last))
    assert len(log.chains()) == 3


def test_what_is_held_already_is_not_kept_twice(client: TestClient, log: Log) -> None:
    other = forked(log, shared=2)
    side = aside(client, other.batch())  # from the first event on, two of which are held
    assert len(entries(log, side)) == 3
    assert begun(log, side)["seq"] == 2


def test_a_copy_that_does_not_part_is_taken_in_as_what_it_is(client: TestClient, log: Log) -> None:
    mine = Writer().fill(6)
    assert aside(client, mine.batch(1, 2)) == DEVICE  # nothing was held: the beginning of a chain
    assert aside(client, mine.batch(1, 2)) == DEVICE
    assert aside(client, mine.batch(1, 4)) == DEVICE
    assert aside(client, mine.batch(5, 6)) == DEVICE
    assert log.held() == {DEVICE: 6}


@pytest.mark.parametrize("held", [0, 1])
def test_what_follows_a_hole_is_kept_whatever_is_held_before_it(
    client: TestClient, log: Log, held: int
) -> None:
    """Nobody may have what comes before it any more, and its device has signed it."""
    theirs = Writer(OTHER_KEY).fill(4)
    if held:
        log.push(theirs.batch(1, held), received_ms=MS)
    side = aside(client, theirs.batch(3))
    assert [put for put, _ in entries(log, side)] == [one["put"] for one in theirs.events[2:]]
    assert begun(log, side)["seq"] == 2
    assert (listed(log, side).continues, listed(log, side).marked) == (OTHER, "forked")
    assert aside(client, theirs.batch(3)) == side
    assert examine(log).findings == []
    # whoever brings the whole chain after all doubles nothing
    assert client.post(PUSH, json=theirs.batch()).json()["held"] == 4
    assert len(fold(log.events_of(VISIT))) == 4
    cells = fold(log.events_of(VISIT)).values()
    assert all(cell["others"] == [] for cell in cells)


def test_what_follows_a_hole_in_an_own_chain_that_was_lost_is_the_shops_word(
    tmp_path: Path,
) -> None:
    """The database is another one; keys and notes are there."""
    before, after = tmp_path / "before", tmp_path / "after"
    for folder in (before, after):
        folder.mkdir()
    written = new_log(before, clock=lambda: MS)
    fences = [("shop", f"fence/{OTHER}/{first}", {"to_seq": first}) for first in (1, 2, 3)]
    for fence in fences:
        written.append_in(DESK, [fence])
    (shop,) = written.own_devices()
    head = written.events_by(shop, 2, 1)[0]["prev"]
    (batch,) = pull(client_of(written), {shop: [1, head]})["batches"]
    written.close()
    for part in ("{}/keys", "{}-chain-notes"):
        shutil.copytree(tmp_path / part.format("before"), tmp_path / part.format("after"))
    log = new_log(after, clock=lambda: MS)
    side = aside(client_of(log), {**batch, "protocol": 2})
    assert (listed(log, side).kind, listed(log, side).marked) == ("shop", "")
    assert [first for first, _, _ in log.orders()["fence"][OTHER]] == [2, 3]
    log.close()


def test_a_copy_sent_in_parts_is_kept_whole(client: TestClient, log: Log) -> None:
    other = forked(log, shared=1, more=9)
    for first in range(2, 11, 3):
        aside(client, other.batch(first, min(first + 2, 10)))
    kept = [event for chain in log.chains() if chain.kind == "side"
            for event in entries(log, chain.device)]  # fmt: skip
    assert sorted(kept) == sorted((f"items/x.y/note{number}", "other") for number in range(9))


@pytest.mark.parametrize("change", [{"signature": ""}, {"key": OTHER_KEY.public}])
def test_a_copy_that_its_device_has_not_signed_is_refused(
    client: TestClient, log: Log, change: JSON
) -> None:
    other = forked(log)
    refused(client.post(ASIDE, json=other.batch(3) | change), 422, "signature")
    assert [chain.kind for chain in log.chains()] == ["device"]


def test_salts_and_commitments_stay_and_names_follow(client: TestClient, log: Log) -> None:
    mine = Writer().fill(1)
    log.push(mine.batch(), received_ms=MS)
    other = branched(mine, 1, 0)
    first = other.put("about/seller/name", "half \ud800")
    second = other.put("about/seller/name", "Jo", [id_of(first)])
    before = other.put("items/x.y/note", "seen", [id_of(mine.events[0])])
    log.push(branched(mine, 1, 1, "server's").batch(2), received_ms=MS)
    side = aside(client, other.batch(2))
    kept = {e["put"] + str(e["seq"]): e for e in log.events_of(VISIT) if e["device"] == side}
    one, two, three = (kept[name] for name in sorted(kept, key=lambda name: int(name[-1])))
    assert [one["commit"], two["commit"]] == [first["commit"], second["commit"]]
    assert [one["salt"], two["salt"]] == [first["salt"], second["salt"]]
    assert one["value"] == "half \ufffd"
    with log.engine.connect() as connection:
        bodies = connection.exec_driver_sql("SELECT body FROM log_batch").scalars().all()
    assert any(b"half \\\\ud800" in body for body in bodies)  # kept as it came
    assert one["at"] == first["at"][:22] + side
    assert two["over"] == [id_of(one)]
    assert three["over"] == before["over"]
    assert fold(log.events_of(VISIT))["about/seller/name"]["value"] == "Jo"


def test_an_erased_event_stays_erased_on_a_side_chain(client: TestClient, log: Log) -> None:
    other = forked(log, shared=2, more=0)
    other.put("about/seller/name", "Jo")
    other.put("items/x.y/note", "kept")
    other.events[2] = erased(other.events[2])
    batch = batch_of(other.key, other.events[2:])
    side = aside(client, batch)
    gone = next(e for e in log.events_of(VISIT) if e["device"] == side and e["seq"] == 2)
    assert (gone.get("erased"), gone["value"], gone["salt"]) == (True, None, "")
    assert gone["commit"] == other.events[2]["commit"]
    assert examine(log).findings == []
    assert aside(client, batch) == side


def test_stamps_keep_their_time_unless_it_lies_far_ahead(client: TestClient, log: Log) -> None:
    mine = Writer().fill(4)
    log.push(mine.batch(), received_ms=MS)
    other = branched(mine, 2, 1)
    other.ms = MS + 400 * DAY_MS
    other.put("items/x.y/note", "years ahead")
    side = aside(client, other.batch(3))
    stamps = [e["at"] for e in log.events_of(VISIT) if e["device"] == side]
    assert stamps[0][:21] == other.events[2]["at"][:21]
    assert int(stamps[1][:15]) == log.clock()
    assert log.orders()["clock"] == {}
    assert examine(log).findings == []


def test_side_chains_wait_for_the_owner_within_the_same_room(
    client: TestClient, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = forked(log)
    monkeypatch.setattr(stored, "MAX_MARKED", 0)
    refused(client.post(ASIDE, json=other.batch(3)), 409, "unconfirmed")
    assert len(log.chains()) == 1


def test_the_other_life_of_a_phone_has_brought_its_entries_itself(
    client: TestClient, log: Log
) -> None:
    """Nothing is kept aside of what its own phone wrote anew, once the owner has confirmed it."""
    other = forked(log, shared=2)
    anew = Writer(THIRD_KEY)
    value = {"device": DEVICE, "seq": 2, "head": other.hash_at(2), "why": "forked"}
    anew.put("device/continues", value, scope="shop")
    for event in other.events[2:]:
        seq, prev = len(anew.events) + 1, hash_of(anew.events[-1])
        at = event["at"][:22] + anew.device
        anew.events.append({**event, "device": anew.device, "seq": seq, "prev": prev, "at": at})
    client.post(PUSH, json=anew.batch())
    log.confirm(anew.device)
    events = len(log.events_of(VISIT))
    assert aside(client, other.batch(3)) == anew.device
    assert len(log.events_of(VISIT)) == events


def test_nobody_hides_entries_by_claiming_to_have_them(client: TestClient, log: Log) -> None:
    """A chain that nobody has confirmed may say that it goes on from another, and hold less."""
    other = forked(log, shared=2)
    claim = Writer(THIRD_KEY)
    value = {"device": DEVICE, "seq": 2, "head": other.hash_at(2), "why": "forked"}
    claim.put("device/continues", value, scope="shop")
    for event in other.events[2:]:
        at = event["at"][:22] + claim.device
        seq, prev = len(claim.events) + 1, hash_of(claim.events[-1])
        claim.events.append({**event, "device": claim.device, "seq": seq, "prev": prev, "at": at})
    client.post(PUSH, json=claim.batch())
    side = aside(client, other.batch(3))
    assert listed(log, side).kind == "side"
    assert len(entries(log, side)) == 3


def test_a_fork_of_an_own_chain_in_a_folder_counts_as_the_servers_word(
    client: TestClient, log: Log, tmp_path: Path
) -> None:
    """The folder was copied back with its notes, and both copies have gone on."""
    log.append(DESK, VISIT, [("about/place", "shared")])
    copies = {name: (tmp_path / name).read_bytes() for name in ("log.db", "log.db-wal")}
    notes = {
        note: note.read_bytes()
        for note in (tmp_path.parent / f"{tmp_path.name}-chain-notes").iterdir()
    }
    log.append_in(DESK, [("shop", f"fence/{OTHER}/1", {"to_seq": 7, "why": "on the first copy"})])
    log.append(DESK, VISIT, [("about/place", "on the first copy")])
    (lost,) = pull(client, {})["batches"]
    log.close()
    for name, data in copies.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "log.db-shm").unlink(missing_ok=True)
    for note, data in notes.items():
        note.write_bytes(data)
    again = new_log(tmp_path, clock=log.clock)
    again.append(DESK, VISIT, [("about/seller", "on the second copy")])
    (device,) = again.own_devices()
    with pytest.raises(ApiError) as caught:
        again.push({**lost, "protocol": 2}, received_ms=MS)
    assert caught.value.code == "fork"
    side = again.take_fork_aside(json.dumps({**lost, "protocol": 2}).encode(), received_ms=MS)
    assert set(again.own_devices()) == {device, side}
    assert again.orders()["fence"] == {OTHER: [[1, 7, "on the first copy"]]}
    assert again.stands_for(side) == DESK
    assert listed(again, side).marked == ""
    values = [event["value"] for event in again.events_of(VISIT)]
    assert sorted(values) == ["on the first copy", "on the second copy", "shared"]
    # the chain that forked goes on no more
    again.append(DESK, VISIT, [("about/place", "settled")])
    assert len(again.own_devices()) == 3
    assert fold(again.events_of(VISIT))["about/place"]["others"] == []
    again.close()


# what a file has


def test_entries_of_a_file_are_kept_and_marked(log: Log) -> None:
    begin = {"device": DEVICE, "seq": 0, "head": "", "why": "file"}
    first = {"at": f"{MS:015d}-00000-{DEVICE}", "scope": f"inspection/{VISIT}",
             "put": "about/place", "value": "here", "over": [], "id": "first"}  # fmt: skip
    second = {**first, "at": f"{MS + 5:015d}-00000-{DEVICE}", "value": "th\ud800re",
              "over": ["first"], "id": "second"}  # fmt: skip
    side = log.take_aside([first, second], begin)
    assert entries(log, side) == [("about/place", "here"), ("about/place", "th\ufffdre")]
    assert fold(log.events_of(VISIT))["about/place"]["others"] == []
    assert (listed(log, side).kind, listed(log, side).marked) == ("side", "file")
    assert log.stands_for(side) == side
    assert examine(log).findings == []


def test_a_file_of_this_protocol_is_known_again(log: Log) -> None:
    writer = Writer().fill(2)
    begin = {"device": DEVICE, "seq": 0, "head": "", "why": "file"}
    read = [{**event, "text": event["value"], "id": id_of(event)} for event in writer.events]
    side = log.take_aside(read, begin)
    assert log.take_aside(read, begin) == side
    assert len(log.events_of(VISIT)) == 2


@pytest.mark.parametrize(
    "change",
    [
        {"at": "x"}, {"at": None}, {"scope": "visit"}, {"put": "A"}, {"value": 0.5},
        {"over": ["x"]}, {"text": "{ }"},
    ],
)  # fmt: skip
def test_a_file_with_an_event_that_cannot_be_kept_changes_nothing(log: Log, change: JSON) -> None:
    fine = {"at": f"{MS:015d}-00000-{DEVICE}", "scope": f"inspection/{VISIT}",
            "put": "about/place", "value": "here", "over": []}  # fmt: skip
    begin = {"device": DEVICE, "seq": 0, "head": "", "why": "file"}
    with pytest.raises(ApiError) as caught:
        log.take_aside([fine, fine | change], begin)
    assert caught.value.code == "event"
    assert log.chains() == []


def test_a_file_that_says_it_goes_on_from_the_server_is_no_order(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here")])
    (device,) = log.own_devices()
    order = {"at": f"{MS:015d}-00000-{device}", "scope": "shop", "put": f"fence/{OTHER}/1",
             "value": {"to_seq": None, "why": "forged"}, "over": []}  # fmt: skip
    for why in ("forked", "restored", "file"):
        log.take_aside([order], {"device": device, "seq": 1, "head": "", "why": why})
    assert log.orders()["fence"] == {}
    assert log.own_devices() == [device]


def test_what_is_kept_aside_is_told_of_with_its_origin(
    client: TestClient, log: Log, tmp_path: Path
) -> None:
    other = forked(log, shared=2, more=3)
    with logging_to(tmp_path / "told"):
        side = aside(client, other.batch(3))
        aside(client, other.batch(3))
    lines = [line for line in json_lines(tmp_path / "told") if line["event"] == "sync.aside"]
    # the new chain begins with an event of its own
    assert [(line["chain"], line["new"]) for line in lines] == [(side, 4), (side, 0)]
    assert {(line["origin"], line["signed"], line["level"]) for line in lines} == {
        (DEVICE, True, "warning")
    }
