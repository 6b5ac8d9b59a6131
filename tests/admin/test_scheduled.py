"""Backups by themselves: made, proven by a test restore, kept, and said at the desk."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bradawl import cli
from bradawl.backup import schedule
from bradawl.backup.history import History
from bradawl.backup.schedule import Schedule
from bradawl.common.settings import SettingError, from_environment
from tests.admin.disks import mounted
from tests.backup.data import Data, Phone, entries_of, filled
from tests.phone.server import Server

LIMIT_S = 120


def until(true: Callable[[], object]) -> None:
    """Wait until something is the case."""
    limit = time.monotonic() + LIMIT_S
    while not true():
        assert time.monotonic() < limit
        time.sleep(0.1)


class Shop:
    """A data folder, and what its scheduled backups are."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.data = Data(folder)
        self.phone: Phone = filled(self.data, photos=3)
        monkeypatch.setenv("BRADAWL_DATA", str(folder))
        self.history = History(folder / "backups", 7)

    def back_up(self) -> int:
        return cli.main(["backup"])

    def age(self, days: int) -> None:
        """Make every backup older."""
        for run in self.history.runs():
            older = self.history.name_at(run.made - timedelta(days=days))
            run.archive.rename(older)
            told = run.archive.with_suffix(".json")
            if told.exists():
                held = json.loads(told.read_text())
                for field in ("made", "proven"):
                    moment = datetime.fromisoformat(held[field]) - timedelta(days=days)
                    held[field] = moment.isoformat()
                older.with_suffix(".json").write_text(json.dumps(held))
                told.unlink()


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shop:
    return Shop(tmp_path / "data", monkeypatch)


def test_one_is_made_and_what_a_test_restore_brought_back_is_noted(
    shop: Shop, tmp_path: Path
) -> None:
    assert shop.back_up() == 0
    (run,) = shop.history.runs()
    assert run.proof is not None
    assert (run.proof.events, run.proof.photos, run.proof.faults) == (6, 3, ())
    left = {path.name for path in shop.history.folder.iterdir()}
    names = {run.archive.name, run.archive.with_suffix(".json").name}
    assert left == {".lock", "failed.json", *names}
    # and it comes back elsewhere
    fresh = Data(tmp_path / "fresh")
    assert fresh.restore(run.archive).faults == ()


def test_what_is_damaged_is_noted_and_the_photos_are_asked_of_the_phones(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    damaged, gone, whole = shop.phone.photos
    shop.data.photo(damaged).write_bytes(b"x" + shop.phone.photos[damaged][1:])
    shop.data.photo(gone).unlink()
    assert shop.back_up() == 1
    said = capsys.readouterr()
    assert "item rust.sills" in said.err
    (run,) = shop.history.runs()
    assert run.proof is not None
    assert run.proof.photos == 1
    assert len(run.proof.faults) == 2
    assert set(run.proof.photos_lacking) == {damaged, gone}
    assert f"photos/{whole}" in dict(entries_of(run.archive))
    # the server that is started next asks phones for both, the damaged one too
    from bradawl.serving.core import Bradawl

    core = Bradawl(from_environment())
    assert set(core.log.photos.missing(list(shop.phone.photos))) == {damaged, gone}
    before = core.log.run
    core.backups.ask_for_damaged()
    assert core.log.run != before
    shop.phone.send(core.log)
    assert core.log.photos.missing(list(shop.phone.photos)) == []
    core.close()
    assert shop.back_up() == 0


def test_a_damaged_database_is_backed_up_as_far_as_it_is_whole_and_that_is_said(
    shop: Shop,
) -> None:
    with closing(sqlite3.connect(shop.data.database)) as database, database:
        for (name,) in database.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'access_person'"
        ).fetchall():
            database.execute(f'DROP TRIGGER "{name}"')
        database.execute("INSERT INTO access_person VALUES ('x', 'Mallory', 'owner', '', 1, NULL)")
    assert shop.back_up() == 1
    (run,) = shop.history.runs()
    assert run.proof is not None
    assert any("access_person" in fault for fault in run.proof.faults)


def test_the_settings_say_where_how_many_and_whether(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert from_environment().backups == shop.data.folder / "backups"
    assert from_environment().backups_kept == 7
    monkeypatch.setenv("BRADAWL_BACKUPS", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("BRADAWL_BACKUPS_KEPT", "2")
    history = History(tmp_path / "elsewhere", 2)
    for _ in range(3):
        shop.history.folder = tmp_path / "elsewhere"
        shop.age(1)
        assert shop.back_up() == 0
    assert len(history.runs()) == 2
    monkeypatch.setenv("BRADAWL_BACKUPS", "off")
    capsys.readouterr()
    assert shop.back_up() == 1
    assert "Name a file" in capsys.readouterr().err
    for wrong in ("0", "-1", "many", "1001", "9" * 500):
        monkeypatch.setenv("BRADAWL_BACKUPS_KEPT", wrong)
        with pytest.raises(SettingError, match="from 1 to 1000"):
            from_environment()


@pytest.mark.mounts
def test_a_disk_without_room_is_said_and_old_ones_make_room_only_where_newer_are_proven(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("bradawl.admin.scheduled.SPARE_BYTES", 0)
    monkeypatch.setenv("BRADAWL_BACKUPS_KEPT", "50")
    with mounted(tmp_path / "disk", "2500k") as disk:
        monkeypatch.setenv("BRADAWL_BACKUPS", str(disk.place / "backups"))
        history = shop.history = History(disk.place / "backups", 50)
        made = 0
        while "to make room" not in capsys.readouterr().out:
            assert made < 20
            shop.age(1)
            assert shop.back_up() == 0
            made += 1
        assert 1 <= len(history.runs()) < made
        # others fill the disk: old backups go as long as a newer one is proven, then none more
        codes = []
        while 1 not in codes:
            assert len(codes) < 20
            shop.age(1)
            disk.fill()
            newest = history.runs()[0]
            codes.append(shop.back_up())
        assert "free" in capsys.readouterr().err
        assert newest in history.runs()
        assert history.failure() is not None
        disk.empty()
        assert shop.back_up() == 0
        assert history.failure() is None


def test_one_that_is_killed_leaves_nothing_and_the_next_is_made(shop: Shop) -> None:
    shop.history.folder.mkdir()
    (shop.history.folder / ".bradawl-2026-11-29-000000.tar.ab12cd34.part").write_bytes(bytes(100))
    process = subprocess.Popen([sys.executable, "-m", "bradawl.cli", "backup"])
    until(lambda: (shop.history.folder / ".lock").exists())
    process.kill()
    process.wait()
    assert shop.back_up() == 0
    assert not list(shop.history.folder.glob("*.part"))


def test_while_one_is_made_another_process_leaves_it_alone(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    with shop.history.turn():
        assert shop.back_up() == 0
    assert "Another process" in capsys.readouterr().out
    assert shop.history.runs() == []


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(schedule, "FIRST_S", 0.01)
    monkeypatch.setattr(schedule, "EVERY_S", 0.05)


def test_the_schedule_makes_one_when_it_is_due_and_not_before(shop: Shop, quick: None) -> None:
    tried = threading.Event()
    running = Schedule(lambda: shop.history, tried.set)
    running.start()
    try:
        assert tried.wait(LIMIT_S)
        assert len(shop.history.runs()) == 1
        tried.clear()
        assert not tried.wait(1)
        shop.age(1)
        assert tried.wait(LIMIT_S)
        assert len(shop.history.runs()) == 2
    finally:
        running.stop()


def test_a_process_that_dies_is_a_failed_backup_and_tried_again(
    shop: Shop, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bradawl.backup.history.RETRY_FIRST", timedelta(milliseconds=10))
    tried = threading.Event()
    running = Schedule(lambda: shop.history, tried.set)
    try:
        with monkeypatch.context() as broken:
            broken.setattr("bradawl.backup.schedule.sys.executable", "/bin/false")
            running.start()
            assert tried.wait(LIMIT_S)
            failure = shop.history.failure()
            assert failure is not None
            assert "ended with 1" in failure.why
        until(lambda: shop.history.runs() and shop.history.runs()[0].proof)
        until(lambda: shop.history.failure() is None)  # it is forgotten after the proof
    finally:
        running.stop()


def test_the_server_takes_its_backup_along_when_it_ends(
    shop: Shop, quick: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    slow = tmp_path / "slow"
    slow.write_text(f"#!/bin/sh\necho $$ > {tmp_path / 'pid'}\nexec sleep 600\n")
    slow.chmod(0o755)
    monkeypatch.setattr("bradawl.backup.schedule.sys.executable", str(slow))
    running = Schedule(lambda: shop.history)
    running.start()
    until(lambda: (tmp_path / "pid").exists() and (tmp_path / "pid").read_text().strip())
    running.stop()
    pid = int((tmp_path / "pid").read_text())
    with pytest.raises(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)
    assert shop.history.failure() is None


#: `bradawl serve` whose schedule looks at once and often.
IMPATIENT = """
import sys
from bradawl.backup import schedule
schedule.FIRST_S, schedule.EVERY_S = 0.2, 0.2
from bradawl.cli import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.fixture
def server(shop: Shop) -> Iterator[Server]:
    made = Server(shop.data.folder)
    made._program = ["-c", IMPATIENT]
    made.start()
    yield made
    made.kill()


def page(server: Server, path: str) -> str:
    with urllib.request.urlopen(f"{server.origin}{path}", timeout=60) as answer:
        text: str = answer.read().decode()
        return text


def test_a_real_server_makes_its_backups_and_the_desk_tells_of_them(
    shop: Shop, server: Server
) -> None:
    until(lambda: shop.history.runs() and shop.history.runs()[0].proof)
    told = page(server, "/desk/keep")
    assert "6 entries, 3 photos" in told
    assert "<dd>nothing</dd>" in told
    first = page(server, "/desk/")
    assert "All is well. The backup of" in first
    assert "came back whole when it was tested: 6 entries, 3 photos" in first

    # a photo goes; the next day's backup finds it, the desk says so, and phones are asked
    gone = next(iter(shop.phone.photos))
    shop.data.photo(gone).unlink()
    shop.age(1)
    until(lambda: len(shop.history.runs()) == 2 and shop.history.runs()[0].proof)
    until(lambda: "One thing needs a look." in page(server, "/desk/"))
    told = page(server, "/desk/keep")
    assert f"Photo {gone[:12]}" in told
    assert "item rust.sills" in told

    # a restart knows all of that
    server.stop()
    server.start()
    assert "One thing needs a look." in page(server, "/desk/")
    assert len(shop.history.runs()) == 2


def test_a_server_whose_backups_are_old_says_so(shop: Shop) -> None:
    assert shop.back_up() == 0
    shop.age(4)
    assert datetime.now(UTC) - shop.history.runs()[0].made > timedelta(days=3)
    server = Server(shop.data.folder)
    server.start()
    try:
        assert "The last tested backup is 4 days old." in page(server, "/desk/")
    finally:
        server.kill()


def test_doctor_names_the_backup_that_it_would_have_restored(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    assert shop.back_up() == 0
    (run,) = shop.history.runs()
    shop.age(4)
    shop.data.database.write_bytes(b"something else" * 1000)
    capsys.readouterr()
    assert cli.main(["doctor"]) == 1
    said = capsys.readouterr().out
    assert "The last tested backup is 4 days old." in said
    archive = shop.history.runs()[0].archive
    assert archive != run.archive
    assert f"bradawl restore {archive} --replace" in said
    # and that is what helps
    assert cli.main(["restore", str(archive), "--replace"]) == 0
    assert shop.back_up() == 0
    assert cli.main(["doctor"]) == 0
