"""A real server whose log fails, turns over, or tells why there was no start."""

from __future__ import annotations

import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import httpx
import pytest

from bradawl.common import settings
from bradawl.serving.app import create_app
from tests.fresh import furnished
from tests.operations.lines import files_of, json_lines, readable_lines
from tests.serving.running import launched, serving


def served(data: Path) -> Path:
    """A data folder as an ordinary start finds it."""
    create_app(settings.at(furnished(data))).state.core.close()
    return data


def test_a_folder_of_the_log_that_may_not_be_written_is_said_once_and_fails_nobody(
    read_only: Path,
) -> None:
    served(read_only)
    with serving(read_only) as server:
        for path in ("/app/", "/api/v1/offline"):
            assert server.ask(path)
        for number in range(3):
            with pytest.raises(httpx.HTTPStatusError):
                httpx.get(f"http://localhost:{server.port}/nowhere/{number}").raise_for_status()
        assert server.interrupted() == 0
        assert server.process.stdout is not None
        said = server.printed + server.process.stdout.read()
    assert said.count("The log cannot be written") == 1
    assert str(read_only / "logs" / "bradawl.log") in said
    assert said.count("Refused: status=404") == 3  # the terminal has it all the same


WHAT_IS_NO_REQUEST = [
    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",  # TLS where plain HTTP is spoken
    b"GET / HTTP/1.1\r\nHost: a\x1b[2J\r\n\r\n",
    b"GET /" + b"x" * 70_000,
    b"\n2026-01-01T00:00:00.000Z INFO    access Signed in: who=Forged\r\n\r\n",
]


def test_what_is_no_request_is_refused_under_an_id_as_well(tmp_path: Path) -> None:
    data = served(tmp_path / "data")
    answers = []
    with serving(data) as server:
        server.ask("/app/")
        for sent in WHAT_IS_NO_REQUEST:
            with socket.create_connection(("127.0.0.1", server.port), timeout=60) as stranger:
                stranger.sendall(sent)
                with stranger.makefile("rb") as answer:
                    answers.append(answer.read())
        server.interrupted()
    ids = [re.findall(rb"x-request-id: ([0-9a-f]{12})\r\n", answer) for answer in answers]
    assert [len(one) for one in ids] == [1] * len(answers)
    assert all(answer.startswith(b"HTTP/1.1 400 Bad Request\r\n") for answer in answers)
    lines = readable_lines(data)
    refused = [line for line in lines if " refused Refused" in line]
    assert all(" address=127.0.0.1 " in line for line in refused)
    for (one,) in ids:
        assert any(one.decode() in line for line in refused)
    assert not any("Forged" in line for line in lines)


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_a_stop_is_written_whichever_way_it_comes(tmp_path: Path, how: signal.Signals) -> None:
    data = served(tmp_path / "data")
    with serving(data) as server:
        server.ask("/app/")
        server.interrupted(how)
    lines = readable_lines(data)
    assert " server.started Server started: version=" in lines[0]
    assert f" data={data} " in lines[0]
    assert " server.stopped Server stopped: pid=" in lines[-1]


def test_a_first_start_has_a_log_as_well(tmp_path: Path) -> None:
    data = tmp_path / "not" / "there"
    with serving(data, "--log-json") as server:
        server.ask("/app/")
        server.interrupted()
    assert [line["event"] for line in json_lines(data)] == ["server.started", "server.stopped"]
    assert (data / "logs").stat().st_mode & 0o777 == 0o700


def test_a_start_that_failed_says_why(tmp_path: Path) -> None:
    data = served(tmp_path / "data")
    with closing(sqlite3.connect(data / "bradawl.sqlite3")) as database, database:
        database.execute("UPDATE alembic_version SET version_num = '9999'")
    process, _ = launched(data)
    said, _ = process.communicate(timeout=60)
    assert process.returncode == 1
    assert said.count("written by a newer Bradawl") == 1
    (line,) = readable_lines(data)
    assert " ERROR   server.not_started Server did not start: why=" in line
    assert "written by a newer Bradawl" in line


def test_the_files_of_a_server_are_bounded(tmp_path: Path) -> None:
    data = served(tmp_path / "data")
    full = '{"time": "2026-11-25T09:41:00.000Z", "level": "info", "event": "%s"}\n'
    (data / "logs").mkdir()
    for name, what in (("bradawl.log.1", "oldest"), ("bradawl.log", "older")):
        (data / "logs" / name).write_text(full % what * (95_000 // len(full % what)))
    limits = {"BRADAWL_LOG_MB": "0.1", "BRADAWL_LOG_FILES": "2"}
    with serving(data, "--verbose", "--log-json", **limits) as server:
        # The older file holds some 95 kB: a few lines more, and it is turned over.
        limit = time.monotonic() + 180
        while b"oldest" in files_of(data)[0].read_bytes():
            assert server.ask("/app/")
            assert time.monotonic() < limit
        server.interrupted()
    files = files_of(data)
    assert len(files) == 2
    assert all(path.stat().st_size <= 100_000 for path in files)
    lines = json_lines(data)
    assert lines[0]["event"] == "older"
    assert lines[-1]["event"] == "server.stopped"


def test_a_backup_beside_a_running_server_writes_into_the_same_file(tmp_path: Path) -> None:
    data = served(tmp_path / "data")
    with serving(data, "--log-json") as server:
        server.ask("/app/")
        subprocess.run(
            [sys.executable, "-m", "bradawl.cli", "backup", str(tmp_path / "b.tar")],
            env={**os.environ, "BRADAWL_DATA": str(data)},
            check=True,
            capture_output=True,
        )
        server.interrupted()
    assert len(files_of(data)) == 1
    assert [line["event"] for line in json_lines(data)] == [
        "server.started", "backup.made", "access", "command.ended", "server.stopped",
    ]  # fmt: skip
