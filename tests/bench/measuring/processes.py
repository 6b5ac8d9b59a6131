"""Server processes for benchmarks: Bradawl's log and access, and the floors beside them."""

from __future__ import annotations

import http.client
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from tests.bench.measuring.figures import FOLDER
from tests.log.integrity.kill_loop import free_port

LIMIT_S = 120
#: What is asked for first: the API, or the phone app's own page.
API, APP = "/api/v1/offline", "/app/"


class Served(NamedTuple):
    """A server process that listens; `started_s` after its command, where that was measured."""

    port: int
    pid: int
    started_s: float = 0.0


def environment(**more: str) -> dict[str, str]:
    """What a server process is started with.

    Its modules are compiled once, as after an installation, also where the environment forbids
    that beside the sources; without it a start compiles all of its libraries each time.
    """
    compiled = {
        "PYTHONDONTWRITEBYTECODE": "",
        "PYTHONPYCACHEPREFIX": str(FOLDER / "bytecode"),
    }
    return {**os.environ, **compiled, **more}


@contextmanager
def bradawl(data: Path, first: str = API) -> Iterator[Served]:
    """All of `bradawl serve` on a data folder, from its answer to `first` to the block's end."""
    port = free_port()
    command = [sys.executable, "-m", "bradawl.cli", "serve", "--port", str(port)]
    with _answering(command, port, environment(BRADAWL_DATA=str(data)), first) as served:
        yield served


@contextmanager
def bare(module: str, data: Path) -> Iterator[Served]:
    """`python -m MODULE DATA PORT`, from its first answer to the end of the block."""
    port = free_port()
    command = [sys.executable, "-m", module, str(data), str(port)]
    with _answering(command, port, environment()) as served:
        yield served


@contextmanager
def _answering(
    command: list[str], port: int, given: Mapping[str, str], first: str = API
) -> Iterator[Served]:
    began = time.perf_counter()
    process = subprocess.Popen(command, env=dict(given), stdout=subprocess.DEVNULL)
    try:
        while True:
            try:
                status, _, _ = asked(port, "GET", first)
                break
            except OSError:
                if process.poll() is not None or time.perf_counter() - began > LIMIT_S:
                    raise RuntimeError(f"{command} did not start.") from None
                time.sleep(0.002)
        took_s = time.perf_counter() - began
        assert status == 200, f"{first} was answered with {status}"
        yield Served(port, process.pid, took_s)
    finally:
        process.kill()
        process.wait()


def memory_mb(pid: int, what: str = "VmRSS") -> float:
    """Memory of a process in MB: `VmRSS` now, `VmHWM` at its peak."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) / 1024
    raise RuntimeError(f"The kernel tells no {what}.")


def cpu_s(pid: int) -> float:
    """Seconds that a process has used of the processors so far, in steps of 0.01."""
    used = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(used[11]) + int(used[12])) / os.sysconf("SC_CLK_TCK")


@contextmanager
def serving(module: str, data: Path, more: Mapping[str, str] | None = None) -> Iterator[Served]:
    """`python -m MODULE DATA PORT` until the end of the block."""
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", module, str(data), str(port)],
        env=environment(**(more or {})),
    )
    try:
        limit = time.monotonic() + LIMIT_S
        while True:
            try:
                socket.create_connection(("127.0.0.1", port), timeout=5).close()
                break
            except OSError:
                if process.poll() is not None or time.monotonic() > limit:
                    raise RuntimeError(f"{module} did not start.") from None
                time.sleep(0.02)
        yield Served(port, process.pid)
    finally:
        process.terminate()
        process.wait()


def asked(
    port: int, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] | None = None
) -> tuple[int, bytes, http.client.HTTPMessage]:
    """One request on a connection of its own."""
    connection = http.client.HTTPConnection("localhost", port, timeout=60)
    try:
        connection.request(method, path, body, dict(headers or {}))
        answer = connection.getresponse()
        return answer.status, answer.read(), answer.headers
    finally:
        connection.close()
