"""`bradawl doctor` finds every kind of damage, names the place and says what to do."""

from __future__ import annotations

import errno
import hashlib
import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import text

from bradawl import cli
from bradawl.database.connection import open_engine, writing
from bradawl.judge import canonical
from bradawl.log.bundles import Bundles
from bradawl.log.chains import stored
from bradawl.log.event_log import Log
from bradawl.log.format.batches import read_batch
from bradawl.log.integrity.doctor import examine
from bradawl.log.integrity.photo_checks import MANY, examine_photos, repair_copies
from bradawl.log.photos.storage import FolderPhotoStore, open_photo_store
from tests.log.photos.pictures import encoded, sha256
from tests.log.server import DESK, DEVICE, MS, VISIT, new_log
from tests.log.writer import Writer

PHOTO = encoded()


def filled(folder: Path) -> Log:
    log = new_log(folder)
    writer = Writer().fill(30)
    writer.put(f"items/rust.sills/photos/{sha256(PHOTO)}", {"bytes": len(PHOTO)})
    writer.put(f"items/rust.sills/photos/{'0' * 64}", {"bytes": 1})
    for seq in range(1, 33, 8):
        log.push(writer.batch(seq, seq + 7), received_ms=MS)
    log.append(DESK, VISIT, [("about/place", "x")])
    with log.photos.arriving(sha256(PHOTO)) as arrival:
        arrival.add(PHOTO)
        log.photos.keep(arrival, DEVICE)
    log.photos.finish()
    return log


def opened(folder: Path) -> Log:
    """The log as `bradawl doctor` opens it: without asking whether it is up to date."""
    return Log(open_engine(f"sqlite:///{folder / 'log.db'}"), open_photo_store(folder / "photos"))


def codes(log: Log) -> set[str]:
    return {finding.code for finding in examine(log).findings}


def test_a_whole_log_has_no_findings(tmp_path: Path) -> None:
    log = filled(tmp_path)
    health = examine(log)
    assert (health.devices, health.events, health.photos, health.waiting_photos) == (2, 33, 1, 1)
    assert health.findings == []
    log.close()


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("UPDATE log_batch SET body = replace(body, '2,5', '9,5') WHERE from_seq = 9", "chain"),
        ("UPDATE log_batch SET body = x'ff' WHERE from_seq = 9", "chain"),
        ("UPDATE log_batch SET prev = head WHERE from_seq = 17", "chain"),
        ("DELETE FROM log_batch WHERE from_seq = 9", "chain"),
        ("DELETE FROM log_batch WHERE from_seq = 25", "chain"),
        ("UPDATE log_device SET held = held + 1", "chain"),
        ("UPDATE log_batch SET signature = 'x' WHERE from_seq = 9", "chain"),
        (
            "UPDATE log_batch SET signature = (SELECT max(signature) FROM log_batch)",
            "chain",
        ),
        ("UPDATE log_device SET key = 'x'", "chain"),
        ("UPDATE log_scope SET events = events - 1", "visit"),
        ("DELETE FROM log_batch_scope", "visit"),
        ("DELETE FROM log_scope", "visit"),
    ],
)
def test_a_changed_row_is_found(tmp_path: Path, statement: str, code: str) -> None:
    filled(tmp_path).close()
    database = sqlite3.connect(tmp_path / "log.db")
    database.execute(statement)
    database.commit()
    database.close()
    log = new_log(tmp_path)
    assert code in codes(log)
    log.close()


@pytest.mark.parametrize(
    ("damage", "code"),
    [
        (lambda path: path.unlink(), "photo_missing"),
        (lambda path: path.write_bytes(PHOTO[:-1]), "photo_altered"),
        (lambda path: path.write_bytes(b"x" + PHOTO[1:]), "photo_altered"),
    ],
)
def test_a_missing_or_altered_photo_is_found(
    tmp_path: Path, damage: Callable[[Path], object], code: str
) -> None:
    log = filled(tmp_path)
    store = log.photos.store
    assert isinstance(store, FolderPhotoStore)
    damage(store.path_of(sha256(PHOTO), "original"))
    (finding,) = examine(log).findings
    assert finding.code == code
    assert sha256(PHOTO) in str(finding.remedy)
    log.close()


def test_a_batch_that_is_stamped_before_the_one_it_follows_is_found(tmp_path: Path) -> None:
    log = new_log(tmp_path)
    writer = Writer().fill(2)
    log.push(writer.batch(), received_ms=MS)
    writer.ms -= 3000
    late = read_batch(json.dumps(writer.fill(1).batch(3)).encode())
    with writing(log.engine) as connection:  # past `intake`, which would refuse it
        stored.add_batch(connection, late, MS, known=True, first={})
    assert any("don't follow in time" in str(finding.what) for finding in examine(log).findings)
    log.close()


def test_a_copy_that_is_another_is_made_again_and_counted(tmp_path: Path) -> None:
    log = filled(tmp_path)
    store = log.photos.store
    assert isinstance(store, FolderPhotoStore)
    served = store.path_of(sha256(PHOTO), "served")
    honest = served.read_bytes()
    served.write_bytes(encoded("JPEG", 64, 48))
    findings = examine(log).findings
    assert [finding.code for finding in findings] == ["served_altered"]
    assert repair_copies(log, findings) == 1
    assert served.read_bytes() == honest
    assert examine(log).findings == []
    log.close()


def test_a_damaged_photo_is_asked_for_again_and_whole_once_a_phone_has_sent_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = filled(tmp_path)
    store = log.photos.store
    assert isinstance(store, FolderPhotoStore)
    store.path_of(sha256(PHOTO), "original").write_bytes(b"x" + PHOTO[1:])
    log.close()
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    monkeypatch.setenv("BRADAWL_DATABASE_URL", f"sqlite:///{tmp_path / 'log.db'}")
    monkeypatch.setenv("BRADAWL_PHOTO_STORE", str(tmp_path / "photos"))
    assert cli.main(["doctor", "--ask-again"]) == 1
    # the phone hears of a new run and asks about all its photos (tests/world/phone.py, rule 4)
    again = new_log(tmp_path)
    assert again.photos.missing([sha256(PHOTO)]) == [sha256(PHOTO)]
    with again.photos.arriving(sha256(PHOTO)) as arrival:
        arrival.add(PHOTO)
        assert again.photos.keep(arrival, DEVICE)
    assert examine(again).findings == []
    again.close()


def test_every_corrupt_page_is_found_or_harmless(tmp_path: Path) -> None:
    """A page of noise: either the doctor names it, or every event is still readable and whole."""
    filled(tmp_path).close()
    path = tmp_path / "log.db"
    whole = path.read_bytes()
    size = 4096
    found = 0
    for page in range(1, len(whole) // size):
        damaged = bytearray(whole)
        damaged[page * size : (page + 1) * size] = bytes(range(256)) * (size // 256)
        path.write_bytes(bytes(damaged))
        log = opened(tmp_path)
        health = examine(log)
        if health.findings:
            found += 1
        else:
            assert (health.devices, health.events, health.photos) == (2, 33, 1)
        log.close()
    # the pages that hold events, devices, visits and photos are most of them
    assert found >= 10
    path.write_bytes(whole)


def test_the_command_ends_with_0_when_whole_and_1_with_a_sentence_when_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    filled(tmp_path).close()
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    monkeypatch.setenv("BRADAWL_DATABASE_URL", f"sqlite:///{tmp_path / 'log.db'}")
    monkeypatch.setenv("BRADAWL_PHOTO_STORE", str(tmp_path / "photos"))
    assert cli.main(["doctor"]) == 0
    assert "33 entries" in capsys.readouterr().out
    database = sqlite3.connect(tmp_path / "log.db")
    database.execute("UPDATE log_batch SET body = replace(body, '2,5', '9,5') WHERE from_seq = 9")
    database.commit()
    database.close()
    assert cli.main(["doctor"]) == 1
    said = capsys.readouterr().out
    assert "events 9 to 16: they were changed" in said
    assert "bradawl doctor --repair" in said
    assert "latest backup" in said
    assert cli.main(["doctor", "--repair"]) == 1  # until a phone has brought them
    said = capsys.readouterr().out
    assert "phones that still have" in said
    (tmp_path / "log.db").write_bytes(b"not a database at all" * 500)
    assert cli.main(["doctor"]) == 1
    assert "isn't a whole database" in capsys.readouterr().out


def with_bundle(folder: Path) -> Log:
    log = filled(folder)
    bundle = {"items": {"rust.sills": {"title": "Rocker panels"}}}
    name = hashlib.sha256(canonical(bundle).encode()).hexdigest()  # its content's hash, RFC 8785
    Bundles(log.engine, lambda: MS).put({**bundle, "hash": name})
    return log


@pytest.mark.parametrize(
    "body", ["replace(body, 'Rocker', 'Socket')", "'[]'", "'{'", "replace(body, '\"items\"', '1')"]
)
def test_a_checklist_that_was_changed_after_it_was_taken_in_is_found(
    tmp_path: Path, body: str
) -> None:
    with_bundle(tmp_path).close()
    log = new_log(tmp_path)
    assert examine(log).findings == []
    with writing(log.engine) as connection:
        connection.execute(text(f"UPDATE log_bundle SET body = {body}"))
    (finding,) = examine(log).findings
    assert finding.code == "bundle"
    log.close()


def test_photos_that_are_all_gone_are_one_fault_of_their_folder(tmp_path: Path) -> None:
    log = filled(tmp_path)
    names = [f"{number:064x}" for number in range(MANY)]
    assert [finding.code for finding in examine_photos(log, names)] == ["photos_gone"]
    # one fewer, or one that is there: each is named for itself
    assert [one.photo for one in examine_photos(log, names[1:])] == names[1:]
    there = sha256(PHOTO)
    assert [one.photo for one in examine_photos(log, [*names[1:], there])] == names[1:]
    log.close()


def test_a_photo_that_cannot_be_read_is_not_called_damaged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = filled(tmp_path)

    def fail(_name: str, _kind: str) -> bytes:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(log.photos.store, "read", fail)
    (finding,) = examine_photos(log, [sha256(PHOTO)])
    assert finding.code == "photo_unreadable"
    assert "Input/output error" in str(finding.what)
    log.close()
