"""What the commands leave in the log: which, by whom, what came of it; and none of the record."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from bradawl import cli
from bradawl.common import settings
from bradawl.serving.core import Bradawl
from tests import forked
from tests.fresh import furnished
from tests.log.server import VISIT
from tests.log.writer import Writer
from tests.operations.lines import json_lines, readable_lines, text_of

SELLER = "Tilda Wexalby"
NUMBER = "0171 555 0199"
NOTE = "smells of petrol below the seat"


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with one visit."""
    place = tmp_path_factory.mktemp("kept") / "data"
    core = Bradawl(settings.at(furnished(place)))
    writer = Writer()
    writer.put("about/seller", {"name": SELLER, "phone": NUMBER})
    writer.put("items/rust.sills/note", NOTE)
    core.log.push(writer.batch(), received_ms=writer.ms)
    core.close()
    return place


def bradawl(data: Path, *command: str, code: int = 0) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "BRADAWL_DATA": str(data), "BRADAWL_LOG_JSON": "1"}
    done = forked.run(*command, env=env)
    assert done.returncode == code, done.stderr
    return done


@pytest.fixture(scope="module")
def lines(data: Path) -> list[dict[str, Any]]:
    """The log after each command was run once, and some in vain."""
    tar = str(data.parent / "backup.tar")
    visit = VISIT
    bradawl(data, "backup", tar)
    assert "already exists" in bradawl(data, "backup", tar, code=1).stderr
    bradawl(data, "report", visit[:8], "-o", str(data.parent / "report.pdf"))
    bradawl(data, "report", "ffff", "-o", "never.pdf", code=1)
    printed = bradawl(data, "invite").stdout
    assert SELLER in bradawl(data, "forget", visit, "--yes").stdout
    bradawl(data, "restore", tar, "--replace")
    assert "There's no file" in bradawl(data, "restore", f"{tar}.none", "--replace", code=1).stderr
    bradawl(data, "doctor")
    code = re.search(r"#(\S+)", printed)
    assert code is not None
    for secret in (SELLER, "Tilda", NUMBER, NOTE, code[1]):
        assert secret not in text_of(data)
    return json_lines(data)


DONE: list[tuple[int, str, int, list[tuple[str, dict[str, Any]]]]] = [
    (0, "backup", 0, [("backup.made", {"events": 2, "devices": 1, "photos": 0}),
                      ("access", {"message": "Backup written"})]),
    (1, "backup", 1, [("backup.failed", {"level": "error"})]),
    (2, "report", 0, [("report.made", {"visit": VISIT, "edition": "condition"})]),
    (3, "report", 1, []),
    (4, "invite", 0, [("access", {"message": "One-time link made", "subject": "Owner"})]),
    (5, "forget", 0, [("access", {"visit": VISIT})]),
    (6, "restore", 0, [("access", {"message": "Restored from a backup"}),
                       ("backup.restored", {"events": 2, "photos": 0})]),
    (7, "restore", 1, [("backup.failed", {"message": "Backup or restore failed"})]),
    (8, "doctor", 0, []),
]  # fmt: skip


@pytest.mark.parametrize(
    ("number", "command", "code", "expected"), DONE, ids=[f"{one[1]}-{one[2]}" for one in DONE]
)
def test_a_command_says_what_it_did_and_how_it_ended(
    lines: list[dict[str, Any]],
    number: int,
    command: str,
    code: int,
    expected: list[tuple[str, dict[str, Any]]],
) -> None:
    runs = list(dict.fromkeys(line["request_id"] for line in lines))
    assert len(runs) == len(DONE)
    *said, end = [line for line in lines if line["request_id"] == runs[number]]
    assert (end["event"], end["command"], end["exit_code"]) == ("command.ended", command, code)
    assert end["level"] == ("error" if code else "info")
    assert end["duration_ms"] > 0
    assert end["os_user"]
    assert {line["who"] for line in (*said, end)} == {"the command line"}
    assert [line["event"] for line in said] == [event for event, _ in expected]
    for line, (_, fields) in zip(said, expected, strict=True):
        assert {name: line.get(name) for name in fields} == fields


def test_the_demo_says_what_it_loaded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    assert cli.main(["demo"]) == 0
    lines = readable_lines(tmp_path / "data")
    assert re.search(r" demo\.loaded Demo loaded: events=\d+ photos=\d+ visits=3 ", lines[-2])
    assert " command.ended Command ended: command=demo exit_code=0 " in lines[-1]
    pushed = [line for line in lines if " sync.push " in line]
    assert pushed
    assert all(" request_id=" in line for line in pushed)


def test_a_command_that_is_broken_leaves_its_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_arguments: object) -> int:
        raise RuntimeError("a fault of ours")

    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    monkeypatch.setattr("bradawl.admin.doctor.doctor", fail)
    with pytest.raises(RuntimeError):
        cli.main(["doctor"])
    lines = readable_lines(tmp_path)
    assert " ERROR   command.ended Command ended: command=doctor exit_code=1 " in lines[0]
    assert lines[-1] == "    RuntimeError: a fault of ours"


def test_a_command_that_cannot_start_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    (tmp_path / "bradawl.sqlite3").write_bytes(b"x" * 5000)
    assert cli.main(["report", "a", "-o", "never.pdf"]) == 1
    assert "Traceback" not in capsys.readouterr().err
    (line,) = readable_lines(tmp_path)
    assert "file is not a database" in line


def test_a_setting_that_cannot_be_read_ends_a_command_with_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("BRADAWL_LOG_MB", "much")
    for command in (["doctor"], ["serve"]):
        assert cli.main(command) == 1
        assert capsys.readouterr().err.startswith("BRADAWL_LOG_MB is “much”. ")
