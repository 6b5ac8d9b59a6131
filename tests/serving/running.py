"""`bradawl serve` as a person starts it, and what it has loaded."""

from __future__ import annotations

import os
import resource
import signal
import ssl
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from bradawl.listening import ports
from tests import forked

LIMIT_S = 180
COMMAND = ("-m", "bradawl.cli")
#: Libraries that only the application needs and that have parts in machine code.
LATE = frozenset({"pydantic_core", "sqlalchemy"})


class Running:
    """A server process that has printed its greeting."""

    def __init__(
        self, process: subprocess.Popen[str] | forked.Command, port: int, printed: str
    ) -> None:
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

    def interrupted(self, how: signal.Signals = signal.SIGINT) -> int:
        """The exit code after Ctrl-C, or after another signal."""
        self.process.send_signal(how)
        return self.process.wait(timeout=LIMIT_S)


def two_free_ports() -> int:
    """A port whose successor is free as well, on every address, as `serve --lan` needs them."""
    first, second = ports.open_neighboring_ports(0)
    with first, second:
        return ports.number_of(first)


def launched(
    data: Path,
    *mode: str,
    files: int | None = None,
    program: Sequence[str] | None = None,
    **environment: str,
) -> tuple[subprocess.Popen[str] | forked.Command, int]:
    """A server process on a free port.

    `files` is how many it may have open, `program` what a Python of its own is given: `COMMAND`
    where a test looks at how the command begins, something else in place of it.
    """
    port = two_free_ports()
    env = {**os.environ, "BRADAWL_DATA": str(data), "PYTHONUNBUFFERED": "1", **environment}
    if program is None:
        return forked.start("serve", *mode, "--port", str(port), env=env, files=files), port

    def limit() -> None:
        if files is not None:
            resource.setrlimit(resource.RLIMIT_NOFILE, (files, files))

    process = subprocess.Popen(
        [sys.executable, *program, "serve", *mode, "--port", str(port)],
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        preexec_fn=limit,
    )
    return process, port


@contextmanager
def serving(
    data: Path,
    *mode: str,
    files: int | None = None,
    program: Sequence[str] | None = None,
    **environment: str,
) -> Iterator[Running]:
    """A server from its greeting to the end of the block."""
    process, port = launched(data, *mode, files=files, program=program, **environment)
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
