"""The `bradawl` command as a process of its own that need not import everything anew.

A started Python spends more than a second of processor time on the server's libraries and another
on the catalogue, and the tests start hundreds. Here one process for each worker has them, and forks
for each command: its own memory, environment, files and signals, from `bradawl.cli.main` on as a
person starts it. Tests of a start itself, of its memory or its modules, start Python
(`tests/serving`).
"""

from __future__ import annotations

import atexit
import contextlib
import functools
import gc
import importlib
import io
import json
import os
import resource
import selectors
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import IO, Any

#: What `serve` and the other commands load, some of it only once they run.
PRELOADED = (
    "bradawl.cli",
    "bradawl.serving.app",
    "bradawl.serving.build_cache",
    "bradawl.report.issue",
    "bradawl.report.checking.verification",
    "pyhanko.sign",
    "tests.log.process",
    "uvicorn",
)
#: A request is one packet: the arguments and the environment fit into it many times.
PACKET_BYTES = 2**17


class Command:
    """A running command; as far as it goes, what `subprocess.Popen` is."""

    def __init__(self, pid: int, ended: socket.socket, stdout: IO[str] | None) -> None:
        """`ended` says the exit code once there is one."""
        self.pid = pid
        self.stdout = stdout
        self.returncode: int | None = None
        self._ended = ended

    def poll(self) -> int | None:
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.wait(timeout=0)
        return self.returncode

    def wait(self, timeout: float | None = None) -> int:
        """Its exit code, below 0 for a signal. Raises subprocess.TimeoutExpired."""
        if self.returncode is None:
            self._ended.settimeout(timeout)
            try:
                code = self._ended.recv(64)
            except (TimeoutError, BlockingIOError):
                raise subprocess.TimeoutExpired("bradawl", timeout or 0) from None
            self._ended.close()
            self.returncode = int(code)
        return self.returncode

    def send_signal(self, number: int) -> None:
        if self.poll() is None:
            with contextlib.suppress(ProcessLookupError):  # it ended just now
                os.kill(self.pid, number)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)

    def terminate(self) -> None:
        self.send_signal(signal.SIGTERM)

    def communicate(self, timeout: float | None = None) -> tuple[str, None]:
        """What is still to be read of its output, once it has ended."""
        if timeout is not None:
            self.wait(timeout)
        rest = ""
        if self.stdout is not None:
            with self.stdout:
                rest = self.stdout.read()
        self.wait()
        return rest, None


def start(
    *arguments: str,
    env: Mapping[str, str],
    stdout: IO[bytes] | None = None,
    stderr: IO[bytes] | None = None,
    files: int | None = None,
    program: str = "bradawl.cli",
) -> Command:
    """`bradawl` with these arguments. Without `stdout` the command has a pipe for all it says.

    `files` is how many it may have open; `program` the module whose `main` is given the arguments.
    """
    reading: IO[str] | None = None
    writing: int | None = None
    if stdout is None:
        read, writing = os.pipe()
        reading = os.fdopen(read, encoding="utf-8")
    out = stdout.fileno() if stdout is not None else writing
    assert out is not None
    error = stderr.fileno() if stderr is not None else out
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    request: dict[str, Any] = {
        "files": files,
        "program": program,
        "arguments": arguments,
        "env": dict(env),
        "cwd": os.getcwd(),
        "umask": _umask(),
    }
    forking = _forking()
    socket.send_fds(forking, [json.dumps(request).encode()], [out, error, theirs.fileno()])
    theirs.close()
    if writing is not None:
        os.close(writing)
    return Command(int(ours.recv(64)), ours, reading)


def _umask() -> int:
    now = os.umask(0o077)
    os.umask(now)
    return now


def run(*arguments: str, env: Mapping[str, str]) -> subprocess.CompletedProcess[str]:
    """`bradawl` with these arguments from beginning to end, and what it wrote."""
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as error:
        code = start(*arguments, env=env, stdout=out, stderr=error).wait()
        texts = []
        for file in (out, error):
            file.seek(0)
            texts.append(file.read().decode())
    return subprocess.CompletedProcess(["bradawl", *arguments], code, *texts)


@functools.cache
def _forking() -> socket.socket:
    """To the process that forks, which ends with this one."""
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.forked", str(theirs.fileno())],
        cwd=Path(__file__).parents[1],
        pass_fds=[theirs.fileno()],
    )
    theirs.close()

    def end() -> None:
        ours.close()
        process.wait()

    atexit.register(end)
    return ours


class _Forked(Exception):
    """In the new process, with what was asked for."""


def _fork(request: bytes, handles: list[int]) -> tuple[int, socket.socket]:
    """The new process and who asked. Raises _Forked in the new process itself."""
    out, error, asking = handles
    pid = os.fork()
    if pid:
        os.close(out)
        os.close(error)
        asker = socket.socket(fileno=asking)
        asker.send(str(pid).encode())
        return pid, asker
    os.dup2(out, 1)
    os.dup2(error, 2)
    for handle in {*handles} - {1, 2}:
        os.close(handle)
    raise _Forked(request)


def _serve(control: socket.socket) -> None:
    """Fork for each request until the tests are gone."""
    children: dict[int, socket.socket] = {}
    woken, waking = os.pipe()
    os.set_blocking(waking, False)
    signal.signal(signal.SIGCHLD, lambda *_: None)
    signal.set_wakeup_fd(waking)
    with selectors.DefaultSelector() as selector:
        selector.register(control, selectors.EVENT_READ)
        selector.register(woken, selectors.EVENT_READ)
        try:
            while True:
                for key, _ in selector.select():
                    if key.fileobj is not control:
                        os.read(woken, 4096)
                        _reap(children)
                        continue
                    request, handles, *_ = socket.recv_fds(control, PACKET_BYTES, 3)
                    if not request:
                        _end(children)
                        return
                    pid, asker = _fork(request, handles)
                    children[pid] = asker
        except _Forked:
            signal.set_wakeup_fd(-1)
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            for handle in (control, *children.values()):
                handle.close()
            os.close(woken)
            os.close(waking)
            raise


def _reap(children: dict[int, socket.socket]) -> None:
    while children:
        pid, status = os.waitpid(-1, os.WNOHANG)
        if pid == 0:
            return
        with children.pop(pid) as asker, contextlib.suppress(OSError):
            asker.send(str(os.waitstatus_to_exitcode(status)).encode())


def _end(children: dict[int, socket.socket]) -> None:
    for pid, asker in children.items():
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        asker.close()


def _become(request: bytes) -> int:
    """Be the command that was asked for."""
    asked = json.loads(request)
    os.environ.clear()
    os.environ.update(asked["env"])
    os.chdir(asked["cwd"])
    os.umask(asked["umask"])
    if asked["files"] is not None:
        resource.setrlimit(resource.RLIMIT_NOFILE, (asked["files"],) * 2)
    sys.argv = ["bradawl", *asked["arguments"]]
    unbuffered = "PYTHONUNBUFFERED" in os.environ
    sys.stdout = io.TextIOWrapper(os.fdopen(1, "wb"), encoding="utf-8", write_through=unbuffered)
    sys.stderr = io.TextIOWrapper(
        os.fdopen(2, "wb"), encoding="utf-8", errors="backslashreplace", line_buffering=True
    )
    code: int = importlib.import_module(asked["program"]).main(asked["arguments"])
    return code


if __name__ == "__main__":
    for module in PRELOADED:
        importlib.import_module(module)
    # the catalogue's English, which every command speaks: a second to read
    importlib.import_module("bradawl.cli").parser()
    gc.collect()
    gc.freeze()
    try:
        _serve(socket.socket(fileno=int(sys.argv[1])))
    except _Forked as forked:
        sys.exit(_become(forked.args[0]))
