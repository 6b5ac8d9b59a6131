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

from tests.log.kill_loop import free_port

LIMIT_S = 60


@contextmanager
def serving(module: str, data: Path, environment: Mapping[str, str] | None = None) -> Iterator[int]:
    """`python -m MODULE DATA PORT` until the end of the block; its port, once it listens."""
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
        yield port
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
