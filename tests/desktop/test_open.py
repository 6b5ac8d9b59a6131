"""`bradawl open`, or `bradawl` alone: one icon starts it, shows the desk, and never starts two."""

from __future__ import annotations

import os
import signal
import socket
import stat
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bradawl.common.installation import choices
from bradawl.common.settings import DEFAULT_PORT, StartError
from bradawl.desktop import port_choice
from bradawl.listening.running_mark import address_of_running
from bradawl.serving.commands import HERE
from tests.fresh import furnished

LIMIT_S = 180


@pytest.fixture
def data(tmp_path: Path) -> Path:
    furnished(tmp_path / "data")
    return tmp_path / "data"


@pytest.fixture
def browser(tmp_path: Path) -> Path:
    """A browser that writes down what it is asked to show; the command that starts it."""
    program = tmp_path / "browser"
    program.write_text(f'#!/bin/sh\necho "$1" >> "{tmp_path}/shown"\n')
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    return program


def shown(tmp_path: Path, count: int) -> list[str]:
    """What the browser was asked to show, once it was asked so often."""
    limit = time.monotonic() + LIMIT_S
    while True:
        file = tmp_path / "shown"
        lines = file.read_text().split() if file.exists() else []
        if len(lines) >= count:
            return lines
        assert time.monotonic() < limit, lines
        time.sleep(0.05)


@contextmanager
def opened(data: Path, *arguments: str, **environment: str) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        [sys.executable, "-m", "bradawl.cli", *arguments],
        env={**os.environ, "BRADAWL_DATA": str(data), "PYTHONUNBUFFERED": "1", **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def test_an_icon_shows_the_desk_and_a_second_press_shows_the_same(
    data: Path, browser: Path, tmp_path: Path
) -> None:
    assert address_of_running(data) is None
    with opened(data, BROWSER=str(browser)) as first:
        [desk] = shown(tmp_path, 1)
        port = int((data / "port").read_text())
        # nobody was asked anything yet
        assert desk == f"http://localhost:{port}/desk/welcome"
        assert address_of_running(data) == f"http://localhost:{port}"
        with urllib.request.urlopen(desk, timeout=LIMIT_S) as page:
            assert b"Bradawl" in page.read()
        with opened(data, "open", BROWSER=str(browser)) as second:
            said, _ = second.communicate(timeout=LIMIT_S)
            assert second.returncode == 0, said
        assert "already running" in said
        assert shown(tmp_path, 2) == [desk, desk]
        first.send_signal(signal.SIGKILL)
        first.wait(timeout=LIMIT_S)
    # what a killed server left behind is not believed
    assert address_of_running(data) is None


def test_a_shop_that_chose_its_network_finds_its_desk_without_a_warning(
    data: Path, browser: Path, tmp_path: Path
) -> None:
    """Phones have https; the browser beside the server, which trusts nothing, a port of its own."""
    choices.keep(data, choices.Choices(network=True, asked=("shop", "phone")))
    with opened(data, BROWSER=str(browser)) as process:
        [desk] = shown(tmp_path, 1)
        port = int((data / "port").read_text())
        assert desk == f"http://localhost:{port + HERE}/desk/"
        with urllib.request.urlopen(desk, timeout=LIMIT_S) as page:
            assert page.url.startswith(f"http://localhost:{port + HERE}/desk/sign-in")
        with urllib.request.urlopen(f"http://127.0.0.1:{port + 1}/", timeout=LIMIT_S) as page:
            assert b"Bradawl" in page.read()
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=LIMIT_S) == 0


def test_without_a_screen_it_says_where_the_desk_is(data: Path) -> None:
    nothing = {"DISPLAY": "", "WAYLAND_DISPLAY": "", "BROWSER": ""}
    with opened(data, "open", **nothing) as process:
        assert process.stdout is not None
        said = ""
        for line in process.stdout:
            said += line
            if "Open it yourself" in line:
                break
    assert "Open it yourself: http://localhost:" in said


def test_a_port_is_chosen_once_and_kept(tmp_path: Path) -> None:
    first, nothing = port_choice.chosen(tmp_path, network=False)
    assert nothing is None
    assert first in port_choice.TRIED
    assert port_choice.chosen(tmp_path, network=False) == (first, None)
    with socket.create_server(("127.0.0.1", first)):
        other, kept = port_choice.chosen(tmp_path, network=False)
        assert kept == first
        assert other != first
    # that was for once: what the browser holds is under the first
    assert port_choice.chosen(tmp_path, network=False) == (first, None)


@pytest.mark.parametrize("kept", ["", "0", "port", "99999", "\x00"])
def test_what_is_no_port_is_chosen_anew(tmp_path: Path, kept: str) -> None:
    (tmp_path / "port").write_text(kept)
    port, taken = port_choice.chosen(tmp_path, network=False)
    assert port >= DEFAULT_PORT
    assert taken is None


def test_no_free_port_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(port_choice, "_opens", lambda _ports: False)
    with pytest.raises(StartError, match="No port between"):
        port_choice.chosen(tmp_path, network=True)
