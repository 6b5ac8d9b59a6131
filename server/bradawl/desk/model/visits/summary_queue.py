"""Makes summaries in one background thread, first those for which a page waits.

The thread works alone, so a page never waits for one slow visit to the end.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Mapping

from bradawl.desk.model.visits.summary_cache import Key

__all__ = ["SummaryQueue"]

logger = logging.getLogger(__name__)


class SummaryQueue:
    """What is still to be made, by visit. `is_lacking` says whether it was not made meanwhile."""

    def __init__(
        self,
        make: Callable[[str, Key], None],
        is_lacking: Callable[[str, Key], bool],
        patience_s: float,
    ) -> None:
        self._make = make
        self._is_lacking = is_lacking
        self._patience_s = patience_s
        self._changed = threading.Condition()
        self._asked: dict[str, Key] = {}
        self._working = False
        self._waiting = 0

    def drop(self, visit: str) -> None:
        """Do not make what was asked for of a visit."""
        with self._changed:
            self._asked.pop(visit, None)

    def wait_for(self, wanted: Mapping[str, Key]) -> None:
        """Have these summaries made before any asked for earlier; wait no longer than patience.

        The thread works alone, so a page never waits for one slow visit to the end.
        """
        if not wanted:
            return
        until = time.monotonic() + self._patience_s
        self.ask_for(wanted, ahead=True)
        with self._changed:
            self._waiting += 1
            while any(self._is_lacking(visit, key) for visit, key in wanted.items()):
                left = until - time.monotonic()
                if left <= 0:
                    break
                self._changed.wait(left)
            self._waiting -= 1

    def ask_for(self, wanted: Mapping[str, Key], *, ahead: bool) -> None:
        """Have these summaries made, ahead of those asked for before or after them."""
        if not wanted:
            return
        with self._changed:
            parts = (wanted, self._asked) if ahead else (self._asked, wanted)
            self._asked = {**parts[0], **{v: k for v, k in parts[1].items() if v not in parts[0]}}
            if not self._working:
                self._working = True
                threading.Thread(target=self._work, name="desk-summaries", daemon=True).start()

    def _work(self) -> None:
        while True:
            with self._changed:
                if not self._asked:
                    self._working = False
                    return
                visit = next(iter(self._asked))
                key = self._asked.pop(visit)
            began = time.monotonic()
            try:
                if self._is_lacking(visit, key):
                    self._make(visit, key)
            except Exception:
                # a thread that ended here would leave all others unmade until a restart
                logger.exception("The summary of visit %s cannot be made now", visit)
            with self._changed:
                self._changed.notify_all()
                is_awaited = self._waiting > 0
            if not is_awaited:  # leave half of the processor to the pages that are read meanwhile
                time.sleep(time.monotonic() - began)
