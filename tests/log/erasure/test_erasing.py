"""Erased is gone: from every file of the store, from what comes later, and after a restore.

What must still hold is checked by another log, which accepts every batch only with its hashes,
commitments and signatures, and by the doctor.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bradawl.common.errors import ApiError
from bradawl.database.connection import open_engine
from bradawl.inspection.seals import is_signed, leaves
from bradawl.judge import fold
from bradawl.log.erasure.erased_list import ErasedList
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from tests.log.chains.test_own_chains import Phone
from tests.log.photos.pictures import encoded, sha256
from tests.log.server import DESK, DEVICE, KEY, MS, OTHER_KEY, VISIT, client_of, new_log
from tests.log.writer import JSON, Writer
from tests.writing import plain, seal_value

NAME = "Zéphyrine Q. Ombrage"
SCOPE = f"inspection/{VISIT}"
NOTE = "items/rust.sill/note"
FILL = "a long text of no importance. " * 300  # reaches beyond one page of the database


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    made = new_log(tmp_path / "store", clock=lambda: MS + 3_600_000)
    yield made
    made.close()


def written() -> Writer:
    """A phone's visit with a name in a note that was changed once, and a place."""
    writer = Writer()
    writer.put("about/seller", NAME)
    first = writer.put(NOTE, f"{FILL}Ask {NAME}.")
    writer.put(NOTE, f"{FILL}Ask {NAME} again.", [id_of(first)])
    writer.put("items/rust.sill/grade", {"grade": "major"})
    return writer


def id_of(event: JSON) -> str:
    return f"{event['at']}~{event['commit']}"


def pushed(log: Log, writer: Writer) -> Writer:
    log.push(writer.batch(), received_ms=MS)
    return writer


def bytes_in(folder: Path) -> bytes:
    """Everything that lies in a folder, names of files included."""
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    assert any(path.suffix == ".db" for path in files)
    return b"".join(str(path).encode() + path.read_bytes() for path in files)


def is_in(folder: Path, text: str) -> bool:
    """Whether a text lies in a folder: in UTF-8, or with the escapes of JSON."""
    there = bytes_in(folder)
    forms = {text.encode(), json.dumps(text)[1:-1].encode(), text.encode("utf-16-le")}
    return any(form in there for form in forms)


def gone(log: Log, *seqs: int, device: str = DEVICE) -> int:
    return log.erasures.erase(DESK, VISIT, [(device, seq) for seq in seqs])


def test_what_is_erased_is_nowhere_in_the_store_any_more(log: Log, tmp_path: Path) -> None:
    pushed(log, written())
    assert is_in(tmp_path, NAME)  # so the search can find it
    assert gone(log, 1, 2, 3) == 3
    # while the server runs: in the database's file, its journal, or anywhere else
    assert not is_in(tmp_path, NAME)
    events = {event["seq"]: event for event in log.events_of(VISIT)}
    for seq in (1, 2, 3):
        assert events[seq]["erased"]
        assert (events[seq]["value"], events[seq]["text"], events[seq]["salt"]) == (None, "", "")
    assert fold(list(events.values()))["items/rust.sill/grade"]["value"] == {"grade": "major"}


def test_chain_signature_commitments_and_seal_hold_over_what_was_erased(
    log: Log, tmp_path: Path
) -> None:
    writer = written()
    seal = writer.put("seal/1", seal_value(KEY, VISIT, [plain(one) for one in writer.events]))
    pushed(log, writer)
    before = log.events_of(VISIT)
    gone(log, 1, 2, 3)
    after = log.events_of(VISIT)
    hashed = ("at", "commit", "device", "over", "prev", "put", "scope", "seq")
    assert [[event[name] for name in hashed] for event in after] == [
        [event[name] for name in hashed] for event in before
    ]
    value = plain(seal)["value"]
    assert is_signed(SCOPE, DEVICE, value)
    assert leaves(after[:4]) == leaves(before[:4])
    assert examine(log).findings == []
    # the shop's server that lost it all takes every batch again: hashes, signatures, orders
    shutil.copytree(tmp_path / "store" / "keys", tmp_path / "other" / "keys")
    other = new_log(tmp_path / "other")
    for batch in json.loads(log.pull({}).json(0))["batches"]:
        other.push({**batch, "protocol": 2}, received_ms=MS)
    assert other.events_of(VISIT) == after
    assert not is_in(tmp_path / "other", NAME)
    other.close()


def test_an_order_is_the_shops_event_by_whoever_gave_it(log: Log) -> None:
    writer = pushed(log, written())
    gone(log, 1)
    (order,) = log.orders()["erase"]
    assert (order["device"], order["seq"], order["put"]) == (DEVICE, 1, "about/seller")
    assert order["commit"] == writer.events[0]["commit"]
    (event,) = [one for one in log.events_in("shop") if one["put"].startswith("erase/")]
    assert log.stands_for(event["device"]) == DESK
    assert order["at"] == event["at"]


@pytest.mark.parametrize("put", ["items/rust.sill/grade", "items/rust.sill/readings/a/b", "seal/1"])
def test_what_the_record_rests_on_is_not_erased_and_nothing_else_along_with_it(
    log: Log, put: str
) -> None:
    writer = written()
    writer.put(put, {"typed": NAME})
    pushed(log, writer)
    with pytest.raises(ApiError) as caught:
        gone(log, 1, 5)
    assert caught.value.code == "not_erasable"
    assert log.orders()["erase"] == []
    assert log.events_of(VISIT)[0]["value"] == NAME


def test_what_is_not_there_is_refused(log: Log) -> None:
    pushed(log, written())
    with pytest.raises(ApiError) as caught:
        gone(log, 1, 9)
    assert caught.value.code == "unknown_entry"
    assert log.events_of(VISIT)[0]["value"] == NAME


def test_erasing_twice_changes_nothing(log: Log) -> None:
    pushed(log, written())
    assert gone(log, 1) == 1
    assert gone(log, 1) == 0
    assert len(log.orders()["erase"]) == 1


def test_an_event_that_comes_later_is_stored_erased(log: Log, tmp_path: Path) -> None:
    """The order is known, the event is not: as after a restore, or on another server."""
    writer = pushed(log, written())
    gone(log, 1, 2, 3)
    other = new_log(tmp_path / "other")
    shop, phone = sorted(
        json.loads(log.pull({}).json(0))["batches"], key=lambda one: one["device"] == DEVICE
    )
    other.push({**shop, "protocol": 2}, received_ms=MS)
    other = _adopted(other, tmp_path / "other", shop["device"])
    other.push(writer.batch(), received_ms=MS)  # from a phone that knows nothing of it
    assert not is_in(tmp_path / "other", NAME)
    assert [event.get("erased", False) for event in other.events_of(VISIT)] == [True] * 3 + [False]
    assert phone["head"] == writer.batch()["head"]
    assert examine(other).findings == []
    other.close()


def _adopted(log: Log, folder: Path, device: str) -> Log:
    """The log opened anew with a chain that counts as the server's own, as its key would do."""
    with log.engine.begin() as connection:
        connection.exec_driver_sql(
            "UPDATE log_device SET kind = 'shop', marked = '' WHERE device = ?", (device,)
        )
    log.close()
    return new_log(folder)


def test_a_copy_that_was_taken_aside_goes_too_and_is_not_taken_aside_again(
    log: Log, tmp_path: Path
) -> None:
    mine, copy = Writer(), Writer()
    for writer in (mine, copy):
        writer.put("about/bundle", "b" * 64)
    mine.put("car/make", "x")
    copy.put(NOTE, f"Ask {NAME}.")
    pushed(log, mine)
    body = json.dumps(copy.batch()).encode()
    side = log.take_fork_aside(body, received_ms=MS)
    (event,) = [one for one in log.events_of(VISIT) if one["put"] == NOTE]
    assert event["device"] == side
    gone(log, event["seq"], device=side)
    assert not is_in(tmp_path, NAME)
    log.take_fork_aside(body, received_ms=MS)
    assert not is_in(tmp_path, NAME)
    # nor under another number, from a phone that wrote its entries anew with their salts
    again = Writer(OTHER_KEY)
    again.put(NOTE, f"Ask {NAME}.")
    again.events[0] = {**copy.events[1], "device": again.device, "seq": 1, "prev": ""} | {
        "at": again.events[0]["at"]
    }
    pushed(log, again)
    assert not is_in(tmp_path, NAME)


PHOTO = encoded()
PLACE = f"items/papers.title/photos/{sha256(PHOTO)}"


def kept(log: Log, photo: bytes = PHOTO) -> None:
    with log.photos.arriving(sha256(photo)) as arrival:
        arrival.add(photo)
        log.photos.keep(arrival, DEVICE)
    log.photos.finish()
    assert log.photo(sha256(photo)) is not None


def names_of(folder: Path) -> str:
    return " ".join(str(path) for path in folder.rglob("*") if path.is_file())


def test_an_erased_photo_is_deleted_with_its_copy_and_never_wanted_again(
    log: Log, tmp_path: Path
) -> None:
    writer = Writer()
    writer.put(PLACE, {"caption": NAME})
    pushed(log, writer)
    kept(log)
    assert names_of(tmp_path).count(sha256(PHOTO)) == 2
    gone(log, 1)
    assert sha256(PHOTO) not in names_of(tmp_path)
    assert PHOTO not in bytes_in(tmp_path)
    with client_of(log) as client:
        asked = client.post("/api/v1/blobs/missing", json={"sha256": [sha256(PHOTO)]})
        assert asked.json() == {"missing": []}
        sent = client.put(
            f"/api/v1/blobs/{sha256(PHOTO)}", content=PHOTO, headers={"content-type": "image/jpeg"}
        )
        assert (sent.status_code, sent.json()["error"]["code"]) == (410, "erased")
        assert client.get(f"/api/v1/blobs/{sha256(PHOTO)}").status_code == 404
    assert sha256(PHOTO) not in names_of(tmp_path)
    health = examine(log)
    assert (health.findings, health.waiting_photos) == ([], 0)


@pytest.mark.parametrize("scope", [SCOPE, "inspection/" + "b2" * 16])
def test_a_photo_that_something_else_names_stays(log: Log, tmp_path: Path, scope: str) -> None:
    writer = Writer()
    writer.put(PLACE, {"caption": NAME})
    writer.put(f"items/rust.sill/photos/{sha256(PHOTO)}", {"caption": "sill"}, scope=scope)
    pushed(log, writer)
    kept(log)
    gone(log, 1)
    assert not is_in(tmp_path, NAME)
    assert log.photo_original(sha256(PHOTO)) == PHOTO
    assert log.photos.missing([sha256(PHOTO)]) == []


def test_a_caption_goes_and_the_photo_stays_where_it_was_written_anew(
    log: Log, tmp_path: Path
) -> None:
    writer = Writer()
    writer.put(PLACE, {"caption": NAME, "bytes": 1})
    log.push(writer.batch(), received_ms=MS)
    kept(log)
    log.append(DESK, VISIT, [(PLACE, {"caption": "", "bytes": 1})])
    gone(log, 1)
    assert not is_in(tmp_path, NAME)
    assert log.photo_original(sha256(PHOTO)) == PHOTO
    assert fold(log.events_of(VISIT))[PLACE]["value"] == {"caption": "", "bytes": 1}


def test_a_photo_that_was_taken_back_by_others_and_erased_here_is_deleted(
    log: Log, tmp_path: Path
) -> None:
    writer = Writer()
    first = writer.put(PLACE, {"caption": NAME})
    writer.put(PLACE, None, [id_of(first)])
    pushed(log, writer)
    kept(log)
    gone(log, 1)
    assert sha256(PHOTO) not in names_of(tmp_path)


def restored(folder: Path, backup: Path) -> Log:
    """A store whose database is put back as `bradawl restore` does: the rest of the machine stays.

    The copy is marked, its own chains end (serving/backups/records.py).
    """
    for path in folder.glob("log.db*"):
        path.unlink()
    shutil.copy(backup, folder / "log.db")
    with sqlite3.connect(folder / "log.db") as connection:
        connection.execute("UPDATE log_device SET closed = true WHERE stands_for <> ''")
        connection.execute("PRAGMA user_version = 1")
    connection.close()
    return new_log(folder, clock=lambda: MS + 7_200_000)


def backed_up(log: Log, to: Path) -> Path:
    with sqlite3.connect(to) as copy:
        engine = open_engine(str(log.engine.url))
        source = engine.raw_connection()
        source.driver_connection.backup(copy)  # type: ignore[union-attr]
        source.close()
        engine.dispose()
    copy.close()
    return to


def test_a_new_backup_does_not_hold_it(log: Log, tmp_path: Path) -> None:
    pushed(log, written())
    gone(log, 1, 2, 3)
    backup = backed_up(log, tmp_path / "new.backup")
    assert NAME.encode() not in backup.read_bytes()


def test_what_an_old_backup_brings_back_is_erased_again_from_the_list_beside_it(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "store"
    log = new_log(folder, clock=lambda: MS + 3_600_000)
    writer = written()
    writer.put(PLACE, {"caption": NAME})
    pushed(log, writer)
    kept(log)
    photo = log.photos.store.read(sha256(PHOTO), "original")
    backup = backed_up(log, tmp_path / "old.backup")
    gone(log, 1, 2, 3, 5)
    log.close()

    log = restored(folder, backup)
    assert photo is not None
    kept_file = folder / "photos" / "original" / sha256(PHOTO)[:2] / sha256(PHOTO)
    kept_file.write_bytes(photo)  # restored with the rest
    assert is_in(folder, NAME)
    assert log.erasures.obey() == 4
    assert not is_in(folder, NAME)
    assert sha256(PHOTO) not in names_of(folder)
    assert len(log.orders()["erase"]) == 4  # recorded again: the phones hear of it
    assert examine(log).findings == []
    assert log.erasures.obey() == 0
    # what the backup lacked comes back from a phone, and is stored erased
    log.close()


def test_orders_that_a_restored_log_lacks_come_back_from_phones(tmp_path: Path) -> None:
    """On a new machine: the list is lost with the old one, the keys are not."""
    folder = tmp_path / "store"
    log = new_log(folder, clock=lambda: MS + 3_600_000)
    log.append(DESK, VISIT, [("about/bundle", "b" * 64)])
    pushed(log, written())
    phone = Phone()
    backup = backed_up(log, tmp_path / "old.backup")
    gone(log, 1, 2, 3)
    phone.pull(log)
    log.close()
    for lost in tmp_path.glob("*erased*"):
        lost.unlink()

    log = restored(folder, backup)
    assert log.erasures.obey() == 0
    assert is_in(folder, NAME)
    phone.bring(log)
    assert not is_in(folder, NAME)
    assert len(log.orders()["erase"]) == 3
    log.close()


def test_the_list_holds_no_personal_data_and_survives_a_cut_off_line(tmp_path: Path) -> None:
    file = tmp_path / "state" / "erased.jsonl"
    ErasedList(file).add([("d" * 32, 1, "c")])
    with file.open("a") as out:
        out.write('\n{"device": "x')
    ErasedList(file).add([("d" * 32, 1, "c"), ("d" * 32, 2, "e")])
    assert ErasedList(file).entries() == [("d" * 32, 1, "c"), ("d" * 32, 2, "e")]
    assert file.stat().st_mode & 0o077 == 0
    rows: list[Any] = [json.loads(line) for line in file.read_text().splitlines() if "}" in line]
    assert {key for row in rows for key in row} == {"device", "seq", "commit"}
