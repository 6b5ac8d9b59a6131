"""What the server writes itself: every replica accepts it, and a copy of it never goes on."""

from __future__ import annotations

import json
import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import platformdirs
import platformdirs.macos
import platformdirs.unix
import platformdirs.windows
import pytest
from sqlalchemy import text

from bradawl.common import settings
from bradawl.common.device_keys import DeviceKey
from bradawl.common.errors import ApiError
from bradawl.database.connection import writing
from bradawl.judge import fold
from bradawl.log.chains import own_chains
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from tests.log.server import DESK, KEY, MS, OTHER, OTHER_KEY, VISIT, client_of, new_log
from tests.log.sync.reference import SENT, hash_of, id_of
from tests.log.sync.test_sync import PUSH, pull, refused
from tests.log.writer import Writer

DAY_MS = 86_400_000
YEAR_MS = 365 * DAY_MS


class Phone:
    """Whoever pulls from one log and brings it to another, batch by batch."""

    def __init__(self) -> None:
        self.batches: list[dict[str, Any]] = []
        self.have: dict[str, list[Any]] = {}

    def pull(self, log: Log) -> dict[str, Any]:
        got: dict[str, Any] = json.loads(log.pull(self.have).json(0))
        for batch in got["batches"]:
            self.batches.append(batch)
            end = batch["from_seq"] + len(batch["events"]) - 1
            self.have[batch["device"]] = [end, batch["head"]]
        return got

    def bring(self, log: Log) -> None:
        for device, held in self.pull(log)["want"].items():
            for batch in self.batches:
                if (
                    batch["device"] == device
                    and batch["from_seq"] + len(batch["events"]) > held + 1
                ):
                    log.push({**batch, "protocol": 2}, received_ms=log.clock())


def own(log: Log, scope: str = "shop") -> list[dict[str, Any]]:
    devices = log.own_devices()
    return [event for event in log.events_in(scope) if event["device"] in devices]


def reasons(log: Log) -> list[str]:
    """Why each own chain that goes on from another was begun."""
    return [one["value"]["why"] for one in own(log) if one["put"] == "device/continues"]


def test_appended_events_form_a_chain_that_another_log_accepts(log: Log, tmp_path: Path) -> None:
    log.append(DESK, VISIT, [("about/seller", "A. Name"), ("car/year", 1987)])
    log.append(DESK, VISIT, [("about/seller", None)])
    events = log.events_of(VISIT)
    assert [event["seq"] for event in events] == [1, 2, 3]
    assert [event["prev"] for event in events] == ["", *(hash_of(e) for e in events[:-1])]
    assert log.own_devices() == [events[0]["device"]]
    assert log.stands_for(events[0]["device"]) == DESK
    (tmp_path / "second").mkdir()
    second = new_log(tmp_path / "second")
    phone = Phone()
    phone.pull(log)
    phone.bring(second)
    assert second.events_of(VISIT) == events
    assert second.own_devices() == []  # another server's word is nobody's order here
    second.close()


@pytest.mark.parametrize("value", [1.5, 2**53, {"ü": 1}, {1, 2}, float("nan")])
def test_a_value_that_no_event_may_hold_is_refused_whole(log: Log, value: object) -> None:
    with pytest.raises(ApiError) as caught:
        log.append(DESK, VISIT, [("about/place", "here"), ("about/seller", value)])
    assert caught.value.code == "event"
    assert log.events_of(VISIT) == []


@pytest.mark.parametrize("bad", ["About/place", "", "a//b"])
def test_a_path_that_no_event_may_have_is_refused_whole(log: Log, bad: str) -> None:
    with pytest.raises(ApiError) as caught:
        log.append(DESK, VISIT, [("about/place", "here"), (bad, 1)])
    assert caught.value.code == "event"
    assert log.events_of(VISIT) == []
    assert log.append(DESK, VISIT, [("about/place", "here")]) == 1


def test_half_a_character_from_a_form_is_recorded_as_a_replacement(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", ["x\ud800"])])
    assert log.events_of(VISIT)[0]["value"] == ["x\ufffd"]


def test_nothing_to_append_changes_nothing(log: Log) -> None:
    assert log.append(DESK, VISIT, []) == 0
    assert log.visits() == []
    assert log.chains() == []


def test_salts_are_new_each_time(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here"), ("about/seller", "here")])
    first, second = log.events_of(VISIT)
    assert first["salt"] != second["salt"]
    assert first["commit"] != second["commit"]


def test_over_names_every_living_value_so_that_a_conflict_is_settled(log: Log) -> None:
    # phones wrote unseen of one another, the second pair of them the same value
    for number, value in enumerate(("minor", "major", "major")):
        writer = Writer(DeviceKey.derived(b"phone %d" % number))
        writer.put("items/brakes.pads/grade", {"grade": value})
        log.push(writer.batch(), received_ms=MS)
    assert fold(log.events_of(VISIT))["items/brakes.pads/grade"]["others"] != []
    log.append(DESK, VISIT, [("items/brakes.pads/grade", {"grade": "none"})])
    (event,) = [one for one in log.events_of(VISIT) if one["device"] in log.own_devices()]
    assert len(event["over"]) == 3
    assert event["over"] == sorted(event["over"])
    cell = fold(log.events_of(VISIT))["items/brakes.pads/grade"]
    assert (cell["value"], cell["others"]) == ({"grade": "none"}, [])


def test_within_one_append_a_later_value_replaces_an_earlier(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here"), ("about/place", "there")])
    first, second = log.events_of(VISIT)
    assert second["over"] == [id_of(first)]


def test_behind_a_fence_the_desk_names_what_stands_and_what_is_fenced(log: Log) -> None:
    honest, hostile = Writer(), Writer(OTHER_KEY)
    first = honest.put("about/place", "honest")
    lie = hostile.put("about/place", "lie", [id_of(first)])
    for writer in (honest, hostile):
        log.push(writer.batch(), received_ms=MS)
    fence = ("shop", f"fence/{OTHER}/1", {"to_seq": None, "why": "stolen phone"})
    log.append_in(DESK, [fence])
    assert fold(log.events_of(VISIT))["about/place"]["value"] == "honest"
    log.append(DESK, VISIT, [("about/place", "settled")])
    (event,) = [one for one in own(log, f"inspection/{VISIT}") if one["put"] == "about/place"]
    assert event["over"] == sorted([id_of(first), id_of(lie)])
    for _ in range(2):
        cell = fold(log.events_of(VISIT))["about/place"]
        assert (cell["value"], cell["others"]) == ("settled", [])
        log.append_in(DESK, [("shop", f"fence/{OTHER}/1", None)])  # lifted: nothing comes back
    assert log.orders()["fence"] == {}


def test_what_a_phone_writes_over_an_order_keeps_it_from_nothing(log: Log) -> None:
    """Nor from being lifted, even when the order's stamp is the later one."""
    path = f"fence/{OTHER}/1"
    log.clock = lambda: MS + 20 * YEAR_MS
    log.append_in(DESK, [("shop", path, {"to_seq": None, "why": "stolen"})])
    (order,) = own(log)
    log.clock = lambda: MS
    hostile = Writer(OTHER_KEY)
    hostile.put(path, None, [id_of(order)], scope="shop")
    log.push(hostile.batch(), received_ms=MS)
    assert log.orders()["fence"] == {OTHER: [[1, None, "stolen"]]}
    log.append_in(DESK, [("shop", path, None)])
    assert log.orders()["fence"] == {}


def test_a_large_append_is_cut_into_batches_that_anybody_may_bring_back(log: Log) -> None:
    log.append(DESK, VISIT, [(f"items/x.y/note/{n}", "x" * 60_000) for n in range(150)])
    log.append(DESK, VISIT, [(f"items/x.y/note/{n}", n) for n in range(2100)])
    sizes = []
    phone = Phone()
    while phone.pull(log)["more"]:
        pass
    for batch in phone.batches:
        sizes.append((len(batch["events"]), len(json.dumps(batch))))
    assert sum(count for count, _ in sizes) == 2250
    assert max(count for count, _ in sizes) <= 2000
    assert max(size for _, size in sizes) < 8_000_000


def test_people_at_the_desk_have_chains_of_their_own(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here")])
    log.append("ab" * 16, VISIT, [("about/place", "there")])
    log.append(DESK, VISIT, [("about/place", "nowhere")])
    assert [log.stands_for(one["device"]) for one in log.events_of(VISIT)] == [
        DESK, "ab" * 16, DESK
    ]  # fmt: skip
    assert len(log.own_devices()) == 2


def test_the_private_key_of_a_chain_is_for_the_server_alone(log: Log, tmp_path: Path) -> None:
    log.append(DESK, VISIT, [("about/place", "here")])
    (device,) = log.own_devices()
    file = tmp_path / "keys" / f"{device}.pem"
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700
    assert list(file.parent.iterdir()) == [file]


# a copy goes on under a new number


def test_a_server_started_again_goes_on_with_its_chain(tmp_path: Path) -> None:
    for number in range(3):
        log = new_log(tmp_path)
        log.append(DESK, VISIT, [("about/place", number)])
        log.close()
    log = new_log(tmp_path)
    assert [event["seq"] for event in log.events_of(VISIT)] == [1, 2, 3]
    assert len(log.own_devices()) == 1
    log.close()


def test_two_processes_on_one_folder_go_on_with_one_chain(tmp_path: Path) -> None:
    logs = [new_log(tmp_path), new_log(tmp_path)]
    for number in range(6):
        logs[number % 2].append(DESK, VISIT, [("about/place", number)])
    assert len(logs[0].own_devices()) == 1
    for log in logs:
        log.close()


def test_people_who_record_at_the_same_moment_stay_on_one_chain(log: Log) -> None:
    with ThreadPoolExecutor(8) as pool:
        list(
            pool.map(
                lambda number: log.append(DESK, VISIT, [(f"items/x.y/note/{number}", number)]),
                range(40),
            )
        )
    assert len(log.own_devices()) == 1
    assert [event["seq"] for event in log.events_of(VISIT)] == list(range(1, 41))
    assert examine(log).findings == []


def _restored(log: Log, _folder: Path) -> None:
    """What a backup does to its copy (access/backup.py)."""
    with writing(log.engine) as connection:
        connection.execute(text("UPDATE log_device SET closed = true WHERE stands_for <> ''"))
        connection.exec_driver_sql("PRAGMA user_version = 1")


def _without_key(_log: Log, folder: Path) -> None:
    shutil.rmtree(folder / "keys")


def _without_note(_log: Log, folder: Path) -> None:
    shutil.rmtree(folder.parent / f"{folder.name}-chain-notes")


def _with_a_broken_note(_log: Log, folder: Path) -> None:
    for note in (folder.parent / f"{folder.name}-chain-notes").iterdir():
        note.write_text('{"seq": []}')


def _with_a_broken_key(_log: Log, folder: Path) -> None:
    for key in (folder / "keys").iterdir():
        key.write_text("no key")


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (_restored, "restored"),
        (_without_key, "copied_back"),
        (_without_note, "copied_back"),
        (_with_a_broken_note, "copied_back"),
        (_with_a_broken_key, "copied_back"),
    ],
)
def test_a_chain_that_may_have_gone_on_elsewhere_is_left_and_continued_by_another(
    tmp_path: Path, change: Any, why: str
) -> None:
    log = new_log(tmp_path)
    log.append(DESK, VISIT, [("about/place", "before")])
    change(log, tmp_path)
    log.close()
    log = new_log(tmp_path)
    log.append(DESK, VISIT, [("about/place", "after")])
    log.append(DESK, VISIT, [("about/place", "once more")])
    first, second, third = log.events_of(VISIT)
    assert second["device"] == third["device"] != first["device"]
    assert (second["seq"], third["seq"]) == (2, 3)  # the first says what it goes on from
    assert second["over"] == [id_of(first)]
    (begin,) = own(log)
    assert begin["value"] == {
        "device": first["device"], "seq": 1, "head": hash_of(first), "why": why
    }  # fmt: skip
    assert {log.stands_for(event["device"]) for event in (first, second)} == {DESK}
    assert [chain.marked for chain in log.chains()] == ["", ""]
    assert examine(log).findings == []
    log.close()


def test_a_data_folder_that_was_copied_back_repeats_no_number(tmp_path: Path) -> None:
    """And what it had written since comes back with the next phone (attack: a folder copied)."""
    data, copy = tmp_path / "data", tmp_path / "copy"
    data.mkdir()
    log = new_log(data)
    log.append(DESK, VISIT, [("about/place", "before the copy")])
    log.close()
    shutil.copytree(data, copy)
    log = new_log(data)
    log.append(DESK, VISIT, [("about/place", "after the copy"), ("about/seller", "after")])
    phone = Phone()
    phone.pull(log)
    log.close()
    shutil.rmtree(data)
    shutil.copytree(copy, data)
    log = new_log(data)
    log.append(DESK, VISIT, [("about/place", "written on the copy")])
    got = phone.pull(log)
    assert (got["forked"], len(got["want"])) == ({}, 1)
    phone.bring(log)
    assert reasons(log) == ["copied_back"]
    cells = fold(log.events_of(VISIT))
    assert cells["about/seller"]["value"] == "after"
    assert {cells["about/place"]["value"], cells["about/place"]["others"][0]["value"]} == {
        "after the copy", "written on the copy"
    }  # fmt: skip
    log.append(DESK, VISIT, [("about/place", "settled")])
    assert fold(log.events_of(VISIT))["about/place"]["others"] == []
    assert len(log.own_devices()) == 2
    assert examine(log).findings == []
    log.close()


@pytest.mark.parametrize(
    "system", [platformdirs.unix.Unix, platformdirs.macos.MacOS, platformdirs.windows.Windows]
)
def test_notes_lie_outside_the_data_folder_on_every_system(
    monkeypatch: pytest.MonkeyPatch, system: Any
) -> None:
    """Or else they would be copied back with it. Oracle: platformdirs' own classes."""
    monkeypatch.setattr(platformdirs.windows, "get_win_folder", lambda _name: "/Users/x/Local")
    for name in ("user_data_dir", "user_state_dir"):
        monkeypatch.setattr(
            platformdirs,
            name,
            lambda app, appauthor, name=name: getattr(system(app, appauthor), name),
        )
    monkeypatch.delenv("BRADAWL_DATA", raising=False)
    chosen = settings.from_environment({})
    assert not chosen.chain_notes.is_relative_to(chosen.data)
    assert not chosen.data.is_relative_to(chosen.chain_notes)


def test_an_own_chain_of_which_a_phone_holds_more_is_ended(tmp_path: Path) -> None:
    """The folder was copied back with the notes beside it: nothing here could tell."""
    data, copy = tmp_path / "data", tmp_path / "copy"
    data.mkdir()
    log = new_log(data)
    log.append(DESK, VISIT, [("about/place", "before")])
    notes = tmp_path / "data-chain-notes"
    shutil.copytree(notes, tmp_path / "notes")
    log.close()
    shutil.copytree(data, copy)
    log = new_log(data)
    log.append(DESK, VISIT, [("about/place", "after")])
    phone = Phone()
    phone.pull(log)
    log.close()
    for lost, kept in ((data, copy), (notes, tmp_path / "notes")):
        shutil.rmtree(lost)
        shutil.copytree(kept, lost)
    log = new_log(data)
    phone.bring(log)
    log.append(DESK, VISIT, [("about/place", "later")])
    assert reasons(log) == ["copied_back"]
    assert [event["value"] for event in log.events_of(VISIT)] == ["before", "after", "later"]
    assert len(log.own_devices()) == 2
    log.close()


def test_nobody_ends_a_chain_of_the_server_by_saying_that_he_has_more(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here")])
    (device,) = log.own_devices()
    with client_of(log) as client:
        got = pull(client, {device: [9, "0" * 64]})
        assert got["want"] == {device: 1}
        pull(client, {device: [1, "0" * 64]})
        (batch,) = pull(client, {})["batches"]
        forged = {**batch, "protocol": 2, "key": KEY.public}
        refused(client.post(PUSH, json=forged), 422, "signature")
    log.append(DESK, VISIT, [("about/place", "there")])
    assert log.own_devices() == [device]


def test_a_restored_server_knows_the_chains_that_it_wrote_after_its_backup(
    tmp_path: Path,
) -> None:
    """By their keys: so their orders count again, once a phone has brought them."""
    log = new_log(tmp_path)
    log.append(DESK, VISIT, [("about/place", "in the backup")])
    log.close()
    shutil.copyfile(tmp_path / "log.db", tmp_path / "backup.db")
    log = new_log(tmp_path)
    log.append("ab" * 16, VISIT, [("about/seller", "after the backup")])
    log.append_in("ab" * 16, [("shop", f"fence/{OTHER}/1", {"to_seq": 4, "why": "test"})])
    phone = Phone()
    phone.pull(log)
    log.close()
    for ending in ("", "-wal", "-shm"):
        (tmp_path / f"log.db{ending}").unlink(missing_ok=True)
    shutil.move(tmp_path / "backup.db", tmp_path / "log.db")
    log = new_log(tmp_path, registered=lambda _device: False)
    assert log.orders()["fence"] == {}
    phone.bring(log)
    assert log.orders()["fence"] == {OTHER: [[1, 4, "test"]]}
    assert len(log.own_devices()) == 2
    assert {log.stands_for(device) for device in log.own_devices()} == {DESK, "ab" * 16}
    assert all(chain.marked == "" for chain in log.chains())
    # it does not go on with a chain that somebody else had to bring
    log.append("ab" * 16, VISIT, [("about/seller", "later")])
    assert len(log.own_devices()) == 3
    log.close()


# clocks


def test_a_new_stamp_is_later_than_every_stamp_that_is_believed(tmp_path: Path) -> None:
    log = new_log(tmp_path, clock=lambda: MS)
    ahead = Writer(OTHER_KEY, ms=MS + DAY_MS - 10_000).fill(3)
    log.push(ahead.batch(), received_ms=MS)
    log.append(DESK, VISIT, [("about/place", "here"), ("about/place", "there")])
    stamps = [event["at"] for event in log.events_of(VISIT)]
    assert stamps == sorted(set(stamps))
    assert log.stands_for(stamps[-1][22:]) == DESK
    log.close()


@pytest.mark.parametrize("ahead_ms", [DAY_MS + 60_000, 10 * YEAR_MS, 899_999_999_999_999 - MS])
def test_a_stamp_that_is_not_believed_raises_nothing(tmp_path: Path, ahead_ms: int) -> None:
    log = new_log(tmp_path, clock=lambda: MS)
    poison = Writer(OTHER_KEY, ms=MS + ahead_ms - 2000)
    poison.put("about/place", "poison")
    poison.put("about/seller", "poison")
    log.push(poison.batch(), received_ms=MS)
    log.append(DESK, VISIT, [("about/place", "settled")])
    (event,) = own(log, f"inspection/{VISIT}")
    assert int(event["at"][:15]) == MS
    assert event["over"] == [id_of(poison.events[0])]
    assert fold(log.events_of(VISIT))["about/place"]["value"] == "settled"
    assert int(log.visits()[0].last_at[:15]) <= MS + 1
    log.close()


def test_a_server_whose_clock_had_run_far_ahead_goes_on_at_the_right_time(tmp_path: Path) -> None:
    now = MS
    log = new_log(tmp_path, clock=lambda: now)
    log.append(DESK, VISIT, [("about/place", "right"), ("about/seller", "right")])
    now = MS + 5 * YEAR_MS
    log.append(DESK, VISIT, [("about/place", "years ahead")])
    log.append(DESK, VISIT, [("car/year", 1987)])
    now = MS + 60_000
    phone = Writer(ms=MS + 90_000)
    phone.put("car/year", 1988)  # unseen of the desk's, and later
    log.push(phone.batch(), received_ms=now)
    log.append(DESK, VISIT, [("about/place", "right again")])
    log.append(DESK, VISIT, [("about/place", "and again")])
    assert reasons(log) == ["clock"]
    ahead, right = log.own_devices()
    if log.events_of(VISIT)[0]["device"] != ahead:
        ahead, right = right, ahead
    assert log.orders()["clock"] == {ahead: [[3, 4, now]]}
    assert all(
        int(event["at"][:15]) <= now + 60_000
        for event in log.events_of(VISIT)
        if event["device"] == right
    )
    cells = fold(log.events_of(VISIT))
    assert cells["about/place"]["value"] == "and again"
    assert cells["about/place"]["others"] == []
    assert cells["car/year"]["value"] == 1988
    assert len(log.own_devices()) == 2
    log.close()


def test_a_server_whose_clock_stands_in_1970_records_and_is_read(tmp_path: Path) -> None:
    log = new_log(tmp_path, clock=lambda: 1_000)
    phone = Writer(OTHER_KEY, ms=MS).fill(2)
    log.push(phone.batch(), received_ms=1_000)
    log.append(DESK, VISIT, [("about/place", "here")])
    log.append(DESK, VISIT, [("about/place", "there")])
    assert fold(log.events_of(VISIT))["about/place"]["value"] == "there"
    log.clock = lambda: MS + 60_000
    log.append(DESK, VISIT, [("about/place", "with the right clock")])
    assert fold(log.events_of(VISIT))["about/place"]["value"] == "with the right clock"
    assert len(log.own_devices()) <= 2  # the desk's, and the server's for its orders
    log.close()


def test_a_clock_before_1970_is_no_reason_to_refuse(tmp_path: Path) -> None:
    log = new_log(tmp_path, clock=lambda: -5_000)
    log.append(DESK, VISIT, [("about/place", "here")])
    log.push(Writer().fill(1).batch(), received_ms=-5_000)
    assert len(log.events_of(VISIT)) == 2
    log.close()


def test_an_own_chain_in_its_travelling_form_has_the_fields_of_any_other(log: Log) -> None:
    log.append(DESK, VISIT, [("about/place", "here")])
    with client_of(log) as client:
        (batch,) = pull(client, {})["batches"]
    assert set(batch["events"][0]) == set(SENT)
    assert own_chains.SERVER not in batch.values()
