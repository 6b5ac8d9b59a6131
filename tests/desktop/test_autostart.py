"""Started at sign-in: the unit is what systemd reads, and off leaves nothing behind.

systemd.unit(5), systemd.syntax(7): read back by `systemd-analyze verify`, which is systemd itself.
"""

from __future__ import annotations

import os
import shlex
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from bradawl.cli import main
from bradawl.common.installation import program
from bradawl.desktop import autostart


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home whose systemd writes down what it is told."""
    told = tmp_path / "bin" / "systemctl"
    told.parent.mkdir()
    told.write_text(f'#!/bin/sh\necho "$@" >> "{tmp_path}/told"\n')
    told.chmod(told.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", f"{told.parent}:{os.environ['PATH']}")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path / 'a "shop" at 100 % $HOME'))
    return tmp_path


def test_on_and_off(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    unit = home / ".config/systemd/user/bradawl.service"
    link = unit.parent / "default.target.wants/bradawl.service"
    assert main(["autostart"]) == 0
    assert "doesn't start by itself" in capsys.readouterr().out
    assert main(["autostart", "on", "--lan"]) == 0
    assert "open --no-browser --lan" in capsys.readouterr().out
    assert link.resolve() == unit
    assert (home / "told").read_text().split("\n")[:2] == [
        "--user daemon-reload",
        "--user restart bradawl.service",
    ]
    # twice is as good as once
    assert main(["autostart", "on"]) == 0
    assert "--lan" not in unit.read_text()
    assert main(["autostart", "status"]) == 0
    assert "Bradawl starts when you sign in" in capsys.readouterr().out
    assert main(["autostart", "off"]) == 0
    assert not unit.exists()
    assert not link.is_symlink()
    assert main(["autostart", "off"]) == 0


def test_systemd_finds_nothing_wrong_with_the_unit(home: Path) -> None:
    assert main(["autostart", "on"]) == 0
    unit = autostart.unit_file()
    done = subprocess.run(
        ["systemd-analyze", "--user", "verify", "--man=no", str(unit)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "XDG_RUNTIME_DIR": str(home)},
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert f'Environment="BRADAWL_DATA={home}/a \\"shop\\" at 100 %% $HOME"' in unit.read_text()


def test_a_session_without_systemd_is_told_and_starts_it_next_time(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "bin" / "systemctl").write_text("#!/bin/sh\necho 'No medium found' >&2\nexit 1\n")
    assert main(["autostart", "on"]) == 0
    said = capsys.readouterr()
    assert "at the next sign-in. systemd says: No medium found" in said.err
    assert autostart.is_on()


def test_where_there_is_no_systemd_the_command_is_given(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    assert main(["autostart", "on"]) == 1
    assert "open --no-browser" in capsys.readouterr().err


def test_the_command_that_is_written_down_is_this_bradawl() -> None:
    done = subprocess.run(
        [*program.command(), "--version"], capture_output=True, text=True, check=True, env={}
    )
    assert done.stdout.startswith("bradawl ")
    assert Path(program.command()[0]).is_absolute()
    assert shlex.join(program.command())
    assert program.installed_by() == "checkout"
