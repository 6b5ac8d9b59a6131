"""A port that cannot be had is one sentence, before anything else is said or touched."""

from __future__ import annotations

import os
import socket
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from bradawl.common.settings import StartError
from bradawl.listening import ports
from tests import forked
from tests.serving.running import two_free_ports


def started(data: Path, port: int | str, *mode: str) -> subprocess.CompletedProcess[str]:
    """A `bradawl serve` that ends by itself."""
    env = {**os.environ, "BRADAWL_DATA": str(data)}
    return forked.run("serve", *mode, "--port", str(port), env=env)


@contextmanager
def taken(port: int, host: str = "127.0.0.1") -> Iterator[None]:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.create_server((host, port), family=family):
        yield


@pytest.mark.parametrize("mode", [(), ("--proxy",), ("--lan",)])
def test_a_port_that_is_taken_is_all_that_is_said(tmp_path: Path, mode: tuple[str, ...]) -> None:
    port = two_free_ports()
    with taken(port):
        done = started(tmp_path / "data", port, *mode)
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.startswith(f"Port {port} can't be used: another program has it")
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "data").exists()


def test_so_is_the_port_of_the_first_meeting(tmp_path: Path) -> None:
    port = two_free_ports()
    with taken(port + 1):
        done = started(tmp_path / "data", port, "--lan")
    assert (done.returncode, done.stdout) == (1, "")
    assert f"Port {port + 1} can't be used" in done.stderr


def test_whoever_else_is_called_localhost_is_noticed(tmp_path: Path) -> None:
    """RFC 6761 section 6.3: the name may be either loopback address."""
    port = two_free_ports()
    with taken(port, "::1"):
        done = started(tmp_path / "data", port)
    assert (done.returncode, done.stdout) == (1, "")
    assert f"Port {port} can't be used" in done.stderr


@pytest.mark.parametrize("text", ["65536", "-1", "http", "", "8477.0"])
def test_what_is_no_port_is_said(tmp_path: Path, text: str) -> None:
    done = started(tmp_path / "data", text)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "port" in done.stderr


def test_the_last_port_has_no_next_one() -> None:
    with pytest.raises(StartError, match="no next one"):
        ports.open_neighboring_ports(65_535)


def test_a_port_that_is_the_administrators_is_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(ports.socket, "create_server", refuse)
    with pytest.raises(StartError, match="administrator"):
        ports.open_port(80)
    with pytest.raises(StartError, match="administrator"):
        ports.open_local_port(80, as_localhost=True)


def test_the_system_may_choose() -> None:
    with ExitStack() as stack:
        pair = ports.open_neighboring_ports(0)
        for one in pair:
            stack.callback(one.close)
        assert ports.number_of(pair[1]) == ports.number_of(pair[0]) + 1
        local = ports.open_local_port(0, as_localhost=True)
        for one in local:
            stack.callback(one.close)
        assert {one.getsockname()[0] for one in local} <= {"127.0.0.1", "::1"}
        assert len({ports.number_of(one) for one in local}) == 1


def test_localhost_is_reached_by_both_families() -> None:
    local = ports.open_local_port(0, as_localhost=True)
    try:
        for host in ("127.0.0.1", "::1"):
            socket.create_connection((host, ports.number_of(local[0])), 5).close()
    finally:
        for one in local:
            one.close()
