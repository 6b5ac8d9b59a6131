"""Decodes pictures in one other process, one at a time, in bounded memory: `DECODER`.

Decoders of pictures are large libraries that read what strangers send. In a process of their own
a bound of memory can be set that holds whatever a file says of itself, a crash ends nothing else,
and the memory is given back. The process starts with the first picture (a quarter of a second) and
ends when nothing was asked of it for a minute.
"""

from __future__ import annotations

import atexit
import json
import logging
import os
import socket
import subprocess
import sys
import tempfile
import threading
from contextlib import suppress
from typing import IO, Any

from bradawl.imaging import Copy, errors

__all__ = ["DECODER", "on_disk"]

logger = logging.getLogger(__name__)

#: Longer than the largest picture takes on a slow machine.
TIME_LIMIT_S = 120.0
#: What the process may know of this one's surroundings: how to run Python.
_PASSED_ON = ("PYTHON", "LD_", "DYLD_", "LANG", "LC_", "PATH", "TMPDIR", "VIRTUAL_ENV", "_PYI")


class Decoder:
    """One decoding process, started when it is needed; used by any number of threads."""

    def __init__(self) -> None:
        self.time_limit_s = TIME_LIMIT_S  # for one picture
        self._turn = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._socket: socket.socket | None = None

    def copy(self, file: IO[bytes], edge_px: int, quality: int) -> Copy:
        """A JPEG of at most `edge_px` on the longer side: upright, sRGB, free of metadata.

        `file` is open on a disk. Raises PictureError for what cannot be shown, OSError where no
        process can be started.
        """
        reply, data = self._ask(file, {"do": "copy", "edge_px": edge_px, "quality": quality})
        return Copy(data, reply["width"], reply["height"])

    def heic_size(self, file: IO[bytes]) -> tuple[int, int]:
        """Width and height of a HEIC. Raises as `copy`."""
        reply, _ = self._ask(file, {"do": "size"})
        return reply["width"], reply["height"]

    def close(self) -> None:
        """End the process; it starts again when it is needed."""
        with self._turn:
            self._end()

    @property
    def pid(self) -> int | None:
        """The process that runs now, if any."""
        process = self._process
        return process.pid if process is not None and process.poll() is None else None

    def _ask(self, file: IO[bytes], request: dict[str, Any]) -> tuple[dict[str, Any], bytes]:
        with self._turn:
            fresh = self._socket is None
            answer = self._try(file, request)
            if answer is None and not fresh:  # it may have ended because nothing was asked of it
                answer = self._try(file, request)
        if answer is None:
            raise errors.undecodable()
        reply, data = answer
        if "refused" in reply:
            raise errors.BY_CODE[reply["refused"]]()
        return reply, data

    def _try(self, file: IO[bytes], request: dict[str, Any]) -> tuple[dict[str, Any], bytes] | None:
        """One exchange; None when the process ended or was ended before it had answered."""
        if self._socket is None:
            self._start()
        assert self._socket is not None
        try:
            self._socket.settimeout(self.time_limit_s)
            socket.send_fds(self._socket, [json.dumps(request).encode()], [file.fileno()])
            with self._socket.makefile("rb") as answers:
                reply = json.loads(answers.readline())
                data = answers.read(reply["bytes"])
                if len(data) == reply["bytes"]:
                    return reply, data
        except TimeoutError as error:
            logger.warning("A picture took more than %.0f s to decode.", self.time_limit_s)
            self._end()
            raise errors.undecodable() from error
        except (OSError, ValueError):
            pass
        self._end()
        return None

    def _start(self) -> None:
        ours, theirs = socket.socketpair()
        environment = {
            name: value for name, value in os.environ.items() if name.startswith(_PASSED_ON)
        }
        try:
            self._process = subprocess.Popen(
                [sys.executable, "-P", "-m", "bradawl.imaging.child", str(theirs.fileno())],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                pass_fds=(theirs.fileno(),),
                # one arena: memory that is given back must not wait in another
                env={**environment, "MALLOC_ARENA_MAX": "1"},
            )
        except BaseException:
            ours.close()
            raise
        finally:
            theirs.close()
        self._socket = ours

    def _end(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None
        if self._process is not None:
            with suppress(ProcessLookupError):
                self._process.kill()
            self._process.wait()
            self._process = None


#: All pictures of this process go through one, so that they share one bound of memory.
DECODER = Decoder()
atexit.register(DECODER.close)


def on_disk(data: bytes) -> IO[bytes]:
    """A nameless file with these bytes, for `Decoder`."""
    file = tempfile.TemporaryFile()  # noqa: SIM115 - whoever asked closes it
    file.write(data)
    file.flush()
    return file
