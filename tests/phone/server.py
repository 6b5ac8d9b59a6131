"""A real Bradawl server as a process of its own, which tests may stop, kill and start again."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from tests import forked
from tests.fresh import furnished


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port: int = listener.getsockname()[1]
    return port


_WITH_OTHER_APP = """
import pathlib, sys
from bradawl.common import resources
web, found = pathlib.Path(sys.argv.pop(1)), resources.path_of
resources.path_of = lambda name: web if name == "web" else found(name)
from bradawl.cli import main
from tests import forked
from tests.fresh import furnished
sys.exit(main(sys.argv[1:]))
"""


class Server:
    """`bradawl serve` over one data folder, always at one port: the origin owns the storage."""

    def __init__(
        self,
        data: Path,
        port: int | None = None,
        web: Path | None = None,
        log: Path | None = None,
    ) -> None:
        """`web` is another build of the phone app than the one that was built here; what the
        server says goes to `log`, or into the data folder."""
        self.data = data
        self._log = log or data / "server.log"
        #: What a Python of its own is given in place of the command.
        self._program = None if web is None else ["-c", _WITH_OTHER_APP, str(web)]
        self._usual = self._program
        self.port = port or _free_port()
        self.origin = f"http://localhost:{self.port}"
        self._process: subprocess.Popen[bytes] | forked.Command | None = None

    def speak(self, protocol: int | None) -> None:
        """From its next start on, speak another protocol than this version; None: its own."""
        other = ["-m", "tests.phone.other_protocol", str(protocol)]
        self._program = self._usual if protocol is None else other

    def start(self) -> None:
        furnished(self.data)
        with self._log.open("ab") as log:
            arguments = ("serve", "--port", str(self.port))
            env = {**os.environ, "BRADAWL_DATA": str(self.data)}
            if self._program is None:
                self._process = forked.start(*arguments, env=env, stdout=log, stderr=log)
            else:
                program = [sys.executable, *self._program, *arguments]
                self._process = subprocess.Popen(program, env=env, stdout=log, stderr=log)
        deadline = time.monotonic() + 180
        while time.monotonic() < deadline:
            if self._process.poll() is not None:
                break
            try:
                urllib.request.urlopen(f"{self.origin}/api/v1/offline", timeout=60).close()
                return
            except OSError:  # not there yet, or too busy to answer
                time.sleep(0.1)
        raise RuntimeError(self._log.read_text())

    @property
    def running(self) -> bool:
        return self._process is not None and self._process.poll() is None

    def stop(self) -> None:
        """End it as a person would."""
        self._end(signal.SIGINT)

    def kill(self) -> None:
        """End it as a power cut would."""
        self._end(signal.SIGKILL)

    def freeze(self) -> None:
        """From now on take connections and answer nothing, as a network that loses everything."""
        assert self._process is not None
        self._process.send_signal(signal.SIGSTOP)

    def _end(self, how: signal.Signals) -> None:
        if self._process is None:
            return
        self._process.send_signal(how)
        try:
            self._process.wait(timeout=60)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._process = None
