"""A workshop to play with: the demo's cars in a data folder of their own, behind their own address.

Nothing of it can be found in lists, sums, numbers of reports or on phones, since nothing of it is
ever here: it has its own records, keys, ledger and process. Removing it removes a folder.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import threading
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from bradawl.common.installation import program
from bradawl.listening.running_mark import address_of_running

FOLDER = "sample"
#: Of the environment, what names the real workshop's places and how it is run.
_OURS = "BRADAWL_"
#: What holds for the sample, too.
_KEPT = ("BRADAWL_LOCALE", "BRADAWL_REGION")
POLL_S = 0.1
ENDING_S = 10.0


@dataclass(frozen=True)
class State:
    """`address` is where its desk is, once it is `ready`; `why` what went wrong where it `failed`.

    `kept`: it is on the disk, and nobody has opened it since the start.
    """

    kind: Literal["none", "preparing", "ready", "kept", "failed"]
    address: str = ""
    why: str = ""


class Sample:
    """The sample below a data folder; one at a time of anything here.

    `prepared` is the folder's name in which a start keeps what it made of the program alone;
    `command` starts Bradawl.
    """

    def __init__(
        self, data: Path, region: str, prepared: str, command: Sequence[str] | None = None
    ) -> None:
        self._prepared = prepared
        self._folder = data / FOLDER
        self._region = region
        self._command = list(command or program.command())
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None
        self._ending = False
        self._why = ""

    def state(self) -> State:
        if self._thread is not None and self._thread.is_alive():
            address = address_of_running(self._folder / "data")
            if address is None:
                return State("preparing")
            # another name of this machine, so that what a browser keeps stays apart
            return State("ready", address.replace("//localhost:", "//127.0.0.1:"))
        if self._why:
            return State("failed", why=self._why)
        return State("kept" if self._folder.exists() else "none")

    def begin(self, back: str) -> None:
        """Load it where it is not there yet, and serve it; `back` is where its pages lead back."""
        with self._lock:
            if self._thread is not None and self._thread.is_alive():
                return
            self._ending, self._why = False, ""
            self._thread = threading.Thread(
                target=self._run, args=(self._environment(back),), name="sample", daemon=True
            )
            self._thread.start()

    def remove(self) -> None:
        """End it and delete everything of it. Raises OSError."""
        self.stop()
        with self._lock:
            self._why = ""
            if self._folder.exists():
                shutil.rmtree(self._folder)

    def stop(self) -> None:
        """End it; it stays on the disk."""
        with self._lock:
            self._ending = True
            thread, process = self._thread, self._process
            if process is not None:
                _end(process)
        if thread is not None:
            thread.join(ENDING_S)

    def _environment(self, back: str) -> dict[str, str]:
        passed = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith(_OURS) or name in _KEPT
        }
        return {
            "BRADAWL_REGION": self._region,
            **passed,
            "BRADAWL_DATA": str(self._folder / "data"),
            "BRADAWL_STATE": str(self._folder / "state"),
            "BRADAWL_BACKUPS": "off",
            "BRADAWL_SAMPLE_OF": back,
        }

    def _furnish(self) -> None:
        """Its folder, with what every start would prepare from the same program. Raises OSError."""
        (self._folder / "data").mkdir(parents=True, exist_ok=True, mode=0o700)
        ours, its = (
            place / self._prepared for place in (self._folder.parent, self._folder / "data")
        )
        if ours.is_dir() and not its.exists():
            shutil.copytree(ours, its, ignore=lambda _folder, names: _but_prepared(names))

    def _run(self, environment: Mapping[str, str]) -> None:
        for arguments in (["demo"], ["serve", "--port", "0"]):
            with self._lock:
                if self._ending:
                    return
                try:
                    self._furnish()
                    self._process = subprocess.Popen(
                        [*self._command, *arguments],
                        env=dict(environment),
                        # it ends when this end is closed, however this process ends
                        stdin=subprocess.PIPE,
                        stdout=subprocess.DEVNULL,
                        stderr=subprocess.PIPE,
                        start_new_session=True,
                    )
                except OSError as error:
                    self._why = str(error)
                    return
            assert self._process.stderr is not None
            stderr = self._process.stderr.read()
            code = self._process.wait()
            for pipe in (self._process.stdin, self._process.stderr):
                assert pipe is not None
                pipe.close()
            if self._ending:
                return
            if code != 0:
                words = stderr.decode("utf-8", "replace").strip().splitlines() or [str(code)]
                self._why = words[-1][:300]
                return


def _but_prepared(names: Sequence[str]) -> list[str]:
    """What is no document made of the program alone, such as the lines of the list of cars."""
    return [name for name in names if not name.endswith(".json.gz")]


def _end(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    limit = time.monotonic() + ENDING_S
    while process.poll() is None and time.monotonic() < limit:
        time.sleep(POLL_S)
    with suppress(ProcessLookupError):
        process.kill()
