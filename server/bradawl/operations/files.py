"""Log handlers: a file that turns over by size, and a terminal that may be stuck."""

from __future__ import annotations

import errno
import fcntl
import logging
import os
import select
import stat
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from bradawl.operations.notes import ROUTINE, Entry

MAX_LINE_BYTES = 32_768
_ONE_LINE_S = 0.02  # what a line takes another process, seen half written in memory's file system
#: Characters of a line on a terminal: at four bytes each, what a pipe takes at once (PIPE_BUF).
MAX_SHORT = 1_000


class LogFile(logging.Handler):
    """Appends to `path`; at `max_bytes` it becomes `path.1`, that `path.2`, and so on.

    At most `count` files are kept, readable by their owner only. Several processes may write at
    once: each line is one append, and a file that another has turned over is noticed. A failure
    reaches nobody who logs: `complain` gets one sentence, and the first line that can be written
    again says how many were lost.

    The folder is made when it is missing, the data folder around it is not: a command that finds
    no data must not leave any.
    """

    def __init__(
        self, path: Path, *, max_bytes: int, count: int, complain: Callable[[str], None]
    ) -> None:
        super().__init__()
        self.path = path
        self._max_bytes = max_bytes
        self._count = count
        self._complain = complain
        self._file: int | None = None
        self._lost = 0

    def emit(self, record: logging.LogRecord) -> None:
        if not self.path.parent.parent.is_dir():
            return
        try:
            if self._lost:
                self._append(self._line(self._gap()))
                self._lost = 0
            self._append(self._line(record))
        except Exception as error:
            self._fail(error)

    def close(self) -> None:
        self._let_go()
        super().close()

    def turn_over(self) -> None:
        """Begin a new file, unless another process does so; OSError where that is not possible."""
        folder = os.open(self.path.parent, os.O_RDONLY | os.O_DIRECTORY)
        try:
            with _locks_optional():
                # Not waited for: who has it turns the file over, or was halted doing so.
                fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if self._file is None or self._still_named(self._file):
                self._shift()
        except BlockingIOError:
            pass
        finally:
            os.close(folder)
            self._let_go()

    def _shift(self) -> None:
        last = self._count - 1
        for old in self.path.parent.glob(f"{self.path.name}.*"):
            number = old.name.removeprefix(f"{self.path.name}.")
            if number.isdecimal() and int(number) >= last:
                old.unlink(missing_ok=True)
        if not last:
            self.path.unlink()
            return
        for n in range(last - 1, 0, -1):
            with suppress(FileNotFoundError):
                os.replace(f"{self.path}.{n}", f"{self.path}.{n + 1}")
        os.replace(self.path, f"{self.path}.1")

    def _line(self, record: logging.LogRecord) -> bytes:
        line = self.format(record).encode("utf-8", "backslashreplace")
        return line[:MAX_LINE_BYTES] + b"\n"

    def _gap(self) -> logging.LogRecord:
        gap = logging.LogRecord(
            __name__, logging.WARNING, "", 0, "Lines of this log were lost", None, None
        )
        gap.entry = Entry("log.gap", {"lines": self._lost}, None)
        return gap

    def _append(self, line: bytes) -> None:
        file, size = self._opened()
        if size and size + len(line) > self._max_bytes:
            self.turn_over()
            file, size = self._opened()
        written = os.write(file, line)
        if written < len(line):
            raise OSError("only part of a line could be written")

    def _opened(self) -> tuple[int, int]:
        """The file that has the name now, and its size."""
        if self._file is not None and self._still_named(self._file):
            return self._file, os.fstat(self._file).st_size
        self._let_go()
        self.path.parent.mkdir(mode=0o700, exist_ok=True)
        # Not blocking: something else than a file under that name must not stop the server.
        flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_NONBLOCK
        self._file = os.open(self.path, flags, 0o600)
        state = os.fstat(self._file)
        if not stat.S_ISREG(state.st_mode):
            self._let_go()
            raise OSError("it is no file")
        if state.st_mode & 0o077:
            os.fchmod(self._file, 0o600)
        # A line that was cut off by a full disk or a power cut ends here; another process that is
        # in the middle of one ends it by itself.
        if not _ends_a_line(self._file):
            time.sleep(_ONE_LINE_S)
            if not _ends_a_line(self._file):
                os.write(self._file, b"\n")
        return self._file, state.st_size

    def _still_named(self, file: int) -> bool:
        """Whether an open file is the one that has the name, which another process may move."""
        try:
            return os.path.samestat(os.fstat(file), os.stat(self.path))
        except FileNotFoundError:
            return False

    def _let_go(self) -> None:
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def _fail(self, error: Exception) -> None:
        first, self._lost = not self._lost, self._lost + 1
        with suppress(OSError):
            self._let_go()  # opened anew, a line that was cut off is ended
        if first:
            why = getattr(error, "strerror", None) or error
            self._complain(
                f"The log cannot be written ({self.path}: {why}). All else goes on; look at the "
                "disk and at the rights of that folder."
            )


def _ends_a_line(file: int) -> bool:
    size = os.fstat(file).st_size
    return not size or os.pread(file, 1, size - 1) == b"\n"


@contextmanager
def _locks_optional() -> Iterator[None]:
    """Go on without a lock where the file system has none."""
    try:
        yield
    except BlockingIOError:
        raise
    except OSError as error:
        if error.errno not in (errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL):
            raise


def holds_json(path: Path) -> bool | None:
    """Whether the log at `path` was begun as JSON lines; None where there is no log yet."""
    try:
        file = os.open(path, os.O_RDONLY | os.O_NONBLOCK)
    except OSError:
        return None
    try:
        begins = os.read(file, 1)
    except OSError:
        return None
    finally:
        os.close(file)
    return begins == b"{" if begins else None


class Terminal(logging.Handler):
    """Standard error, for as long as somebody takes what is written there.

    A pipe that nobody reads and a terminal that was halted would stop the server at the next
    line; what they do not take at once is left out.
    """

    def __init__(self, *, routine: bool) -> None:
        super().__init__()
        self._routine = routine

    def emit(self, record: logging.LogRecord) -> None:
        entry = getattr(record, "entry", None)
        if not self._routine and isinstance(entry, Entry) and entry.event in ROUTINE:
            return
        with suppress(Exception):
            say(self.format(record))


def say(line: str) -> None:
    """One line on standard error, unless that would have to be waited for."""
    with suppress(OSError, ValueError):  # closed, or none at all
        if not _takes(sys.stderr.fileno()):
            return
    with suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(line[:MAX_SHORT] + "\n")
        sys.stderr.flush()


def _takes(descriptor: int) -> bool:
    poll = select.poll()
    poll.register(descriptor, select.POLLOUT)
    return bool(poll.poll(0))
