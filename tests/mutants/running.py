"""Runs tests against one changed file, in a child of a process that has the libraries loaded.

The change lives in the child's memory alone: its import system is handed the changed source, so no
file is touched, wherever the tests are run. A server that a test starts as a process of its own is
the unchanged one.
"""

from __future__ import annotations

import importlib
import os
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from pathlib import Path
from typing import Any

import pytest

#: Slow to import and the same for every mutant.
_LIBRARIES = (
    *("sqlmodel", "alembic.command", "alembic.config", "fastapi.testclient", "hypothesis"),
    *("cryptography.hazmat.primitives.asymmetric.ec", "PIL.Image", "pikepdf", "rfc8785", "argon2"),
    *("jinja2", "xml.dom.minidom", "multiprocessing.pool"),
)
_QUIET = ("-x", "-q", "-p", "no:schemathesis", "-n", "0", "-W", "ignore")


@dataclass(frozen=True)
class Trial:
    """One changed file and the tests that should notice."""

    name: str
    path: Path
    source: str
    tests: Sequence[str]


#: What pytest says, as if it were asked wrongly, where a conftest or a file of tests that is asked
#: cannot import the changed module.
_NOTICED = (
    b"ImportError while loading conftest",
    b"ERROR: found no collectors for ",
    b"ERROR: not found: ",
)


def load_libraries() -> None:
    """Once, before the first trial."""
    for name in _LIBRARIES:
        importlib.import_module(name)


def outcomes(trials: Sequence[Trial], *, jobs: int, limit_s: float) -> Iterator[tuple[Trial, str]]:
    """Each trial with "killed", "survived", "untested" or "too slow", as they end."""
    waiting = list(reversed(trials))
    running: dict[int, tuple[Trial, float]] = {}
    while waiting or running:
        while waiting and len(running) < jobs:
            trial = waiting.pop()
            if not trial.tests:
                yield trial, "untested"
                continue
            running[_begun(trial)] = trial, time.monotonic() + limit_s
        for child, (trial, limit) in list(running.items()):
            ended, status = os.waitpid(child, os.WNOHANG)
            late = not ended and time.monotonic() > limit
            if late:
                os.killpg(child, signal.SIGKILL)
                os.waitpid(child, 0)
            if ended or late:
                del running[child]
                yield trial, "too slow" if late else _result(os.waitstatus_to_exitcode(status))
        time.sleep(0.02)


def _result(code: int) -> str:
    if code == pytest.ExitCode.OK:
        return "survived"
    if code in (pytest.ExitCode.INTERNAL_ERROR, pytest.ExitCode.USAGE_ERROR):
        raise RuntimeError(f"pytest itself fails in a trial (exit code {code}): no test was asked.")
    # a module that cannot even be imported is noticed by every test
    return "untested" if code == pytest.ExitCode.NO_TESTS_COLLECTED else "killed"


def _begun(trial: Trial) -> int:
    child = os.fork()
    if child:
        return child
    code = 70
    try:
        os.setsid()
        with tempfile.TemporaryDirectory(prefix="bradawl-mutant-") as folder:
            with open(os.path.join(folder, "output"), "wb") as output:
                os.dup2(output.fileno(), 1)
                os.dup2(output.fileno(), 2)
            _hand_over(trial)
            arguments = [*_QUIET, f"--basetemp={folder}/tests", *trial.tests]
            code = int(pytest.main(arguments))
            sys.stderr.flush()
            with open(os.path.join(folder, "output"), "rb") as output:
                said = output.read()
            if code == pytest.ExitCode.USAGE_ERROR and any(words in said for words in _NOTICED):
                code = int(pytest.ExitCode.TESTS_FAILED)
    finally:
        os._exit(code)


def _hand_over(trial: Trial) -> None:
    """From now on importing the file imports the changed source."""
    honest = SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, name: str) -> Any:
        if Path(self.path) == trial.path:
            return compile(trial.source, self.path, "exec", dont_inherit=True)
        return honest(self, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]
    for name in [name for name in sys.modules if name.split(".")[0] in ("bradawl", "tests")]:
        del sys.modules[name]
