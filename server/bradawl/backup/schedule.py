"""Runs the daily backups while the server runs: a thread that waits, a process that works.

The work is done by `bradawl backup` without a file, in a process of its own with little priority:
no request waits for it, and its memory is given back. When the next is due is told by the files of
the last (`history.py`), so a restart changes nothing.
"""

from __future__ import annotations

import logging
import os
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping
from datetime import datetime

from bradawl.backup.history import History, now
from bradawl.language import text

__all__ = ["Schedule"]

logger = logging.getLogger(__name__)

#: After a start phones send what they have; and a server that is only tried out needs no backup.
FIRST_S = 300.0
EVERY_S = 60.0
ENDING_S = 10.0


class Schedule:
    """Makes a backup whenever one is due; `after` is called when one was tried.

    `history` gives the backups there are, None where none are made: the place may be changed.

    The process gets this one's environment, and what `environment` has besides.
    """

    def __init__(
        self,
        history: Callable[[], History | None],
        after: Callable[[], None] = lambda: None,
        environment: Mapping[str, str] | None = None,
        clock: Callable[[], datetime] = now,
    ) -> None:
        self._history = history
        self._environment = dict(environment or {})
        self._after = after
        self._clock = clock
        self._ending = threading.Event()
        self._thread = threading.Thread(target=self._wait, name="backups", daemon=True)
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Begin to wait."""
        self._thread.start()

    def stop(self) -> None:
        """End, with a backup that is under way; the next start makes it anew."""
        self._ending.set()
        with self._lock:
            if self._process is not None:
                self._process.terminate()
        if self._thread.is_alive():
            self._thread.join(ENDING_S)

    def _wait(self) -> None:
        pause = FIRST_S
        while not self._ending.wait(pause):
            pause = EVERY_S
            try:
                history = self._history()
                if history is not None and history.due(self._clock()) <= self._clock():
                    self._run(history)
            except Exception:  # the next minute tries again
                logger.exception("The schedule of backups stumbled")

    def _run(self, history: History) -> None:
        with self._lock:
            if self._ending.is_set():
                return
            before = _noted(history)
            self._process = subprocess.Popen(
                [sys.executable, "-m", "bradawl.cli", "backup"],
                env={**os.environ, **self._environment},
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE,
                start_new_session=True,  # Ctrl-C is for the server, which ends this one itself
            )
        _, stderr = self._process.communicate()
        code = self._process.returncode
        with self._lock:
            self._process = None
        if self._ending.is_set():
            return
        if code != 0 and _noted(history) == before:
            words = stderr.decode("utf-8", "replace").strip().splitlines() or ["?"]
            why = text("server-backup-ended", code=str(code), why=words[-1][:300])
            history.note_failure(self._clock(), why)
        self._after()


def _noted(history: History) -> object:
    """What the history says; a process that ends with a fault has noted which."""
    proven = [run.archive for run in history.runs() if run.proof is not None]
    return proven[:1], history.failure()
