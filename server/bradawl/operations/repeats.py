"""Counts log lines that repeat: whoever knocks a thousand times fills two lines, not the disk."""

from __future__ import annotations

import logging
import threading
import time
import traceback
from collections import deque
from collections.abc import Hashable, Sequence

from bradawl.language import Reader, reading_as
from bradawl.operations.formats import entry_of, message_of
from bradawl.operations.notes import Entry

WINDOW_S = 60.0
#: Different things that are told apart in one window. What comes on top is told apart by its kind
#: and its sender, and when there are as many of these, by its kind alone.
DISTINCT = 100
#: Tracebacks from one place in one window: each has a request id that somebody may quote.
TRACEBACKS = 10
#: How many request ids of counted lines are named with their number.
NAMED = 16

Key = tuple[Hashable, ...]


class _Seen:
    """Records that are the same: how many, and what their fields have in common.

    The records themselves are let go: a traceback holds all that its frames held.
    """

    def __init__(self, record: logging.LogRecord) -> None:
        self.name, self.level, self.message = record.name, record.levelno, message_of(record)
        entry = entry_of(record)
        self.event, self.shared = entry.event, entry.everything()
        self.written = 0
        self.counted = 0
        self.requests: deque[str] = deque(maxlen=NAMED)

    def count(self, record: logging.LogRecord) -> None:
        """Note one that is not written."""
        self.counted += 1
        entry = entry_of(record)
        fields = entry.everything()
        self.shared = {k: v for k, v in self.shared.items() if fields.get(k) == v}
        if entry.operation is not None:
            self.requests.append(entry.operation.id)

    def summary(self, within_s: float) -> logging.LogRecord:
        """One line for all that were counted."""
        fields = {**self.shared, "repeated": self.counted, "within_s": within_s}
        if self.requests:
            fields["requests"] = " ".join(self.requests)
        made = logging.LogRecord(self.name, self.level, "", 0, f"{self.message} again", None, None)
        made.entry = Entry(self.event, fields, None)
        return made


class Repeats(logging.Handler):
    """Hands records on to `targets`; of those that are the same, the first, then their number.

    The same are notes that agree in the fields they name themselves (`Entry.same`), errors from
    the same place, and lines of a library. The number is written when `window_s` is over, and at
    the end.
    """

    def __init__(self, targets: Sequence[logging.Handler], window_s: float = WINDOW_S) -> None:
        super().__init__()
        self._targets = targets
        self._window_s = window_s
        self._seen: dict[Key, _Seen] = {}
        self._began = 0.0
        self._timer: threading.Timer | None = None

    def handle(self, record: logging.LogRecord) -> bool:
        with reading_as(Reader()):  # the log is English, whoever it happened for
            return bool(super().handle(record))

    def emit(self, record: logging.LogRecord) -> None:
        key = _key(record)
        if key is None:
            self._hand_on(record)
            return
        now = time.monotonic()
        if self._seen and now - self._began >= self._window_s:
            self._sum_up()
        if not self._seen:
            self._began = now
        seen = self._find(key, record)
        if seen.written < (TRACEBACKS if record.exc_info else 1):
            seen.written += 1
            self._hand_on(record)
            return
        seen.count(record)
        if self._timer is None:
            self._timer = threading.Timer(self._window_s, self.settle)
            self._timer.daemon = True
            self._timer.start()

    def _find(self, key: Key, record: logging.LogRecord) -> _Seen:
        """What was seen of the same kind; no more kinds than fit are remembered."""
        entry = entry_of(record)
        sender = entry.everything().get("address", "")
        for limit, wider in ((1, key), (2, ("more", entry.event, sender)), (3, (entry.event,))):
            if wider in self._seen or len(self._seen) < limit * DISTINCT:
                return self._seen.setdefault(wider, _Seen(record))
        return self._seen.setdefault(("any",), _Seen(record))

    def settle(self) -> None:
        """Write the numbers of what was counted so far."""
        self.acquire()
        try:
            self._sum_up()
        finally:
            self.release()

    def close(self) -> None:
        self.settle()
        for target in self._targets:
            target.close()
        super().close()

    def _sum_up(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
        seen, self._seen = self._seen, {}
        within_s = round(time.monotonic() - self._began, 1)
        for repeated in seen.values():
            if repeated.counted:
                self._hand_on(repeated.summary(within_s))

    def _hand_on(self, record: logging.LogRecord) -> None:
        for target in self._targets:
            if record.levelno >= target.level:
                target.handle(record)


def _key(record: logging.LogRecord) -> Key | None:
    """What makes a record the same as another; None where each is written."""
    error = record.exc_info[1] if record.exc_info else None
    entry = entry_of(record)
    if error is not None:
        frames = traceback.extract_tb(error.__traceback__, limit=-1)
        return (entry.event, type(error), *((f.filename, f.lineno) for f in frames))
    if not record.name.startswith("bradawl."):
        return ("library", record.name, record.msg if isinstance(record.msg, str) else "")
    if not entry.same:
        return None
    fields = entry.everything()
    return (entry.event, *(str(fields.get(name, "")) for name in entry.same))
