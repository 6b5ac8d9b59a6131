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

from tests.log.kill_loop import free_port

LIMIT_S = 60


class Served(NamedTuple):
    """A server process that listens."""

    port: int
    pid: int


def memory_mb(pid: int, what: str = "VmRSS") -> float:
    """Memory of a process in MB: `VmRSS` now, `VmHWM` at its peak."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) / 1024
    raise RuntimeError(f"The kernel tells no {what}.")


@contextmanager
def serving(
    module: str, data: Path, environment: Mapping[str, str] | None = None
) -> Iterator[Served]:
    """`python -m MODULE DATA PORT` until the end of the block."""
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", module, str(data), str(port)],
        env={**os.environ, **(environment or {})},
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
