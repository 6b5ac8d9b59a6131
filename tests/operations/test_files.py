"""The file: bounded, its owner's alone, shared by processes, and never anybody's problem."""

from __future__ import annotations

import json
import logging
import os
import pty
import signal
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from bradawl.common import settings
from bradawl.operations import note
from bradawl.operations.files import MAX_LINE_BYTES, LogFile
from bradawl.operations.recording import command
from tests.operations.lines import files_of, json_lines, logging_to, readable_lines, text_of

SMALL = 100_000


def written(data: Path, count: int, **how: object) -> None:
    with logging_to(data, **how) as logger:
        for number in range(count):
            note(logger, "blob.kept", number=number, padding="x" * 200)


def test_files_turn_over_by_size_and_only_so_many_are_kept(tmp_path: Path) -> None:
    written(tmp_path, 3_000, file_bytes=SMALL, files=3)
    files = files_of(tmp_path)
    assert [path.name for path in files] == ["bradawl.log.2", "bradawl.log.1", "bradawl.log"]
    assert all(0 < path.stat().st_size <= SMALL for path in files)
    numbers = [line["number"] for line in json_lines(tmp_path)]
    assert numbers == list(range(numbers[0], 3_000))  # the last ones, none lost in between


def test_one_file_is_enough(tmp_path: Path) -> None:
    written(tmp_path, 1_000, file_bytes=SMALL, files=1)
    assert [path.name for path in files_of(tmp_path)] == ["bradawl.log"]
    assert files_of(tmp_path)[0].stat().st_size <= SMALL


def test_fewer_files_than_before_take_the_old_ones_away(tmp_path: Path) -> None:
    written(tmp_path, 4_000, file_bytes=SMALL, files=6)
    assert len(files_of(tmp_path)) == 6
    beside = tmp_path / "logs" / "bradawl.log.of-mine"
    beside.write_text("")
    written(tmp_path, 800, file_bytes=SMALL, files=2)
    assert beside.exists()
    assert len(files_of(tmp_path)) == 2


def test_no_line_is_longer_than_a_file_may_be(tmp_path: Path) -> None:
    assert MAX_LINE_BYTES < settings.LEAST_LOG_MB * 1e6
    with logging_to(tmp_path, file_bytes=SMALL) as logger:
        note(logger, "refused", **{f"field_{n}": "\u202e" * 300 for n in range(300)})
        note(logger, "blob.kept")
    assert max(map(len, text_of(tmp_path).splitlines())) <= MAX_LINE_BYTES


def test_the_folder_and_its_files_are_their_owners_alone(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        written(tmp_path, 1_000, file_bytes=SMALL, files=3)
    finally:
        os.umask(before)
    assert (tmp_path / "logs").stat().st_mode & 0o777 == 0o700
    assert {path.stat().st_mode & 0o777 for path in files_of(tmp_path)} == {0o600}
    files_of(tmp_path)[-1].chmod(0o644)
    written(tmp_path, 1)
    assert files_of(tmp_path)[-1].stat().st_mode & 0o777 == 0o600


WRITER = """
import sys
from pathlib import Path
from bradawl.operations import note
from tests.operations.lines import logging_to
with logging_to(Path(sys.argv[1]), file_bytes=100_000, files=50) as logger:
    print("ready", flush=True)
    sys.stdin.readline()
    for number in range(1_000):
        note(logger, "blob.kept", writer=sys.argv[2], number=number, padding="x" * 200)
"""


def test_several_processes_share_one_log_and_lose_nothing(tmp_path: Path) -> None:
    here = Path(__file__).parents[2]
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, tmp_path, name],
            cwd=here,
            env={**os.environ, "PYTHONPATH": str(here)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for name in ("a", "b", "c")
    ]
    for one in writers:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    for one in writers:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    for one in writers:
        one.communicate(timeout=120)
        assert one.returncode == 0
    lines = json_lines(tmp_path)
    for name in ("a", "b", "c"):
        numbers = [line["number"] for line in lines if line["writer"] == name]
        assert sorted(numbers) == list(range(1_000))
    assert len(files_of(tmp_path)) > 2  # each turned them over, some a few lines late


def test_a_line_that_another_process_is_in_the_middle_of_is_left_to_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seen on a busy machine: the end of a line that was growing, and then an empty line."""
    written(tmp_path, 1)
    with files_of(tmp_path)[-1].open("ab", buffering=0) as other:
        half = text_of(tmp_path).encode()
        other.write(half[:40])
        monkeypatch.setattr(
            "bradawl.operations.files.time.sleep", lambda _s: other.write(half[40:])
        )
        written(tmp_path, 1)
    assert len(json_lines(tmp_path)) == 3


def test_a_log_that_was_taken_away_is_begun_anew(tmp_path: Path) -> None:
    with logging_to(tmp_path) as logger:
        note(logger, "blob.kept", number=1)
        files_of(tmp_path)[0].unlink()
        note(logger, "blob.kept", number=2)
    assert [line["number"] for line in json_lines(tmp_path)] == [2]


# What fails


def test_a_folder_that_may_not_be_written_is_said_once(
    read_only: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    with logging_to(read_only) as logger:
        for number in range(5):
            note(logger, "blob.kept", number=number)
    said = capfd.readouterr().err.splitlines()
    assert len(said) == 1
    assert str(read_only / "logs" / "bradawl.log") in said[0]
    assert "cannot be written" in said[0]


@pytest.mark.parametrize("kind", ["file", "fifo", "folder"])
def test_something_else_in_the_place_of_the_log_is_said_once_and_waited_for_by_nobody(
    tmp_path: Path, kind: str, capfd: pytest.CaptureFixture[str]
) -> None:
    if kind == "file":
        (tmp_path / "logs").write_text("not a folder")
    else:
        (tmp_path / "logs").mkdir()
        place = tmp_path / "logs" / "bradawl.log"
        if kind == "fifo":
            os.mkfifo(place)
        else:
            place.mkdir()
    with logging_to(tmp_path) as logger:
        note(logger, "blob.kept", number=1)
        note(logger, "blob.kept", number=2)
    assert capfd.readouterr().err.count("cannot be written") == 1


FULL = """
import resource, signal, sys
from pathlib import Path
from bradawl.operations import note
from tests.operations.lines import logging_to
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # EFBIG instead, as ENOSPC would come
with logging_to(Path(sys.argv[1]), file_bytes=10_000_000) as logger:
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, resource.RLIM_INFINITY))
    for number in range(200):
        note(logger, "blob.kept", number=number, padding="x" * 200)
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    note(logger, "blob.kept", number=200)
    note(logger, "blob.kept", number=201)
"""


def test_a_disk_that_is_full_cuts_no_later_line_and_the_gap_is_counted(tmp_path: Path) -> None:
    here = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", FULL, tmp_path],
        cwd=here,
        env={**os.environ, "PYTHONPATH": str(here)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr.count("cannot be written") == 1
    lines = text_of(tmp_path).splitlines()
    whole, cut = [], []
    for line in lines:
        try:
            whole.append(json.loads(line))
        except ValueError:
            cut.append(line)
    assert len(cut) <= 1  # the one that the disk had no more room for
    kept = [line["number"] for line in whole if "number" in line]
    (gap,) = [line for line in whole if line["event"] == "log.gap"]
    assert kept[-2:] == [200, 201]
    assert kept[:-2] == list(range(200 - gap["lines"]))


def test_a_line_cut_off_by_a_kill_does_not_swallow_the_next(tmp_path: Path) -> None:
    written(tmp_path, 1)
    with files_of(tmp_path)[0].open("a") as file:
        file.write('{"time": "2026-')
    written(tmp_path, 1)
    first, cut, last = text_of(tmp_path).splitlines()
    assert json.loads(first)["number"] == json.loads(last)["number"] == 0
    assert cut == '{"time": "2026-'


def test_a_command_that_finds_no_data_leaves_none(tmp_path: Path) -> None:
    with command(settings.at(tmp_path / "none"), "doctor"):
        pass
    assert not (tmp_path / "none").exists()


def test_what_cannot_be_formatted_is_said_and_nothing_raised(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    class Broken:
        def __str__(self) -> str:
            raise RuntimeError("no words")

    with logging_to(tmp_path) as logger:
        note(logger, "blob.kept", thing=Broken())
        note(logger, "blob.kept", number=1)
    assert [line["event"] for line in json_lines(tmp_path)] == ["log.gap", "blob.kept"]
    assert "no words" in capfd.readouterr().err


# The terminal


def test_a_pipe_that_nobody_reads_stops_nobody(tmp_path: Path) -> None:
    """pipe(7): a write that finds no room waits. Ours must not."""
    script = WRITER.replace("100_000", "10_000_000").replace('"blob.kept"', '"access"')
    here = Path(__file__).parents[2]
    process = subprocess.Popen(
        [sys.executable, "-c", script, tmp_path, "a"],
        cwd=here,
        env={**os.environ, "PYTHONPATH": str(here)},
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
    )
    assert process.stdin is not None
    process.stdin.write(b"go\n")
    process.stdin.flush()
    try:
        assert process.wait(timeout=60) == 0
    finally:
        process.kill()
        process.communicate()
    assert len(json_lines(tmp_path)) == 1_000


def test_a_terminal_that_was_halted_stops_nobody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """termios(3): Ctrl-S (XOFF) halts output until Ctrl-Q."""
    leader, follower = pty.openpty()
    with os.fdopen(follower, "w") as terminal:
        os.write(leader, b"\x13")
        monkeypatch.setattr(sys, "stderr", terminal)
        done = threading.Event()

        def work() -> None:
            with logging_to(tmp_path) as logger:
                for _ in range(20):
                    note(logger, "access", "Signed in")
            done.set()

        thread = threading.Thread(target=work, daemon=True)
        thread.start()
        assert done.wait(120)
        monkeypatch.undo()
        os.write(leader, b"\x11")
    os.close(leader)
    assert len(json_lines(tmp_path)) == 20


# Forms


def test_a_server_begins_a_file_where_the_form_changes(tmp_path: Path) -> None:
    written(tmp_path, 3, json=True)
    written(tmp_path, 3, json=False)
    older, newer = files_of(tmp_path)
    assert [json.loads(line)["number"] for line in older.read_text().splitlines()] == [0, 1, 2]
    older.unlink()
    assert len(readable_lines(tmp_path)) == 3
    assert newer.exists()


@pytest.mark.parametrize("as_json", [True, False])
def test_a_command_goes_on_in_the_form_it_finds(tmp_path: Path, as_json: bool) -> None:
    written(tmp_path, 1, json=as_json)
    place = replace(settings.at(tmp_path), log=settings.LogSettings(json=not as_json))
    with command(place, "backup") as ended:
        ended.code = 0
    assert len(files_of(tmp_path)) == 1
    if as_json:
        line = json_lines(tmp_path)[1]
        assert (line["event"], line["command"], line["exit_code"]) == ("command.ended", "backup", 0)
        assert line["who"] == "the command line"
        assert line["os_user"]
        assert len(line["request_id"]) == 12
    else:
        assert (
            " command.ended Command ended: command=backup exit_code=0 "
            in (readable_lines(tmp_path)[1])
        )


def test_nothing_of_it_stays_in_the_process(tmp_path: Path) -> None:
    root = logging.getLogger()
    before = list(root.handlers), logging.getLogger("bradawl").level
    with logging_to(tmp_path):
        assert list(root.handlers) != before[0]
    assert (list(root.handlers), logging.getLogger("bradawl").level) == before


# Settings


def test_size_and_number_are_settings(tmp_path: Path) -> None:
    base = {"BRADAWL_DATA": str(tmp_path)}
    assert settings.from_environment(base).log == settings.LogSettings(False, 10_000_000, 5)
    chosen = {"BRADAWL_LOG_JSON": "1", "BRADAWL_LOG_MB": "0.5", "BRADAWL_LOG_FILES": "3"}
    assert settings.from_environment(base | chosen).log == settings.LogSettings(True, 500_000, 3)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("BRADAWL_LOG_JSON", "yes"),
        *(("BRADAWL_LOG_MB", value) for value in ("ten", "0", "-1", "nan", "inf", "0.01")),
        *(("BRADAWL_LOG_FILES", value) for value in ("0", "101", "-1", "1.5", "²", "9" * 99)),
    ],
)
def test_a_setting_that_cannot_be_read_is_said_in_a_sentence(name: str, value: str) -> None:
    with pytest.raises(settings.SettingError, match=f"{name} is “{value}”") as told:
        settings.from_environment({"BRADAWL_DATA": "/tmp", name: value})
    assert str(told.value).endswith(".")


HOLDER = """
import fcntl, os, signal, sys
fcntl.flock(os.open(sys.argv[1], os.O_RDONLY), fcntl.LOCK_EX)
print("held", flush=True)
signal.pause()
"""


def test_a_process_that_was_halted_while_turning_over_holds_up_nobody(tmp_path: Path) -> None:
    logs = tmp_path / "logs"
    logs.mkdir()
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, logs], stdout=subprocess.PIPE, text=True
    )
    try:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        written(tmp_path, 1_000, file_bytes=SMALL, files=3)
    finally:
        holder.send_signal(signal.SIGKILL)
        holder.communicate()
    assert len(json_lines(tmp_path)) == 1_000


def test_a_handler_of_its_own_needs_no_settings(tmp_path: Path) -> None:
    said: list[str] = []
    handler = LogFile(tmp_path / "logs" / "x.log", max_bytes=1000, count=2, complain=said.append)
    handler.emit(logging.makeLogRecord({"msg": "hello"}))
    handler.close()
    assert (tmp_path / "logs" / "x.log").read_text() == "hello\n"
    assert said == []
