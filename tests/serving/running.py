"""`bradawl serve` as a person starts it, and what it has loaded."""

from __future__ import annotations

import os
import signal
import ssl
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bradawl.access.lan import open_port

LIMIT_S = 60
#: Libraries that only the application needs and that have parts in machine code.
LATE = frozenset({"pydantic_core", "sqlalchemy"})


class Running:
    """A server process that has printed its greeting."""

    def __init__(self, process: subprocess.Popen[str], port: int, printed: str) -> None:
        self.process = process
        self.port = port
        self.printed = printed

    def ask(self, path: str, scheme: str = "http") -> bytes:
        """The body of an answer, once the server listens."""
        trusting = ssl.create_default_context()
        trusting.check_hostname, trusting.verify_mode = False, ssl.CERT_NONE
        limit = time.monotonic() + LIMIT_S
        while True:
            try:
                url = f"{scheme}://localhost:{self.port}{path}"
                with urllib.request.urlopen(url, timeout=LIMIT_S, context=trusting) as answer:
                    body: bytes = answer.read()
                    return body
            except ConnectionError:
                pass
            except urllib.error.URLError as error:
                if not isinstance(error.reason, ConnectionError):
                    raise
            assert time.monotonic() < limit
            time.sleep(0.02)

    def late_libraries(self) -> set[str]:
        """Those of `LATE` that are in its memory (Linux)."""
        maps = Path(f"/proc/{self.process.pid}/maps").read_text()
        return {name for name in LATE if f"/{name}/" in maps}

    def interrupted(self) -> int:
        """The exit code after Ctrl-C."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=LIMIT_S)


def two_free_ports() -> int:
    """A port whose successor is free as well, on every address, as `serve --lan` needs them."""
    for _ in range(50):
        with open_port(0) as first:
            port: int = first.getsockname()[1]
            try:
                open_port(port + 1).close()
            except OSError:
                continue
            return port
    raise AssertionError("no two neighbouring ports are free")


def launched(data: Path, *mode: str, **environment: str) -> tuple[subprocess.Popen[str], int]:
    port = two_free_ports()
    process = subprocess.Popen(
        [sys.executable, "-m", "bradawl.cli", "serve", *mode, "--port", str(port)],
        env={**os.environ, "BRADAWL_DATA": str(data), "PYTHONUNBUFFERED": "1", **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    return process, port


@contextmanager
def serving(data: Path, *mode: str) -> Iterator[Running]:
    """A server from its greeting to the end of the block."""
    process, port = launched(data, *mode)
    try:
        assert process.stdout is not None
        printed = ""
        for line in process.stdout:
            printed += line
            if "Stop with" in line:
                break
        assert "Stop with" in printed, printed
        yield Running(process, port, printed)
    finally:
        process.kill()
        process.communicate()
