"""What somebody typed and sent after their sign-in had ended, until they have signed in again.

In memory alone and for half an hour; the next for the same browser and person takes its place.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

__all__ = ["KEPT_MS", "MOST", "KeptForm", "KeptForms"]

KEPT_MS = 30 * 60_000
#: Of all browsers; each is at most what a stranger may send (64 kB).
MOST = 100


@dataclass(frozen=True)
class KeptForm:
    """A form that was sent: the page it stood on, where it was sent, its fields in their order."""

    page: str
    action: str
    fields: Sequence[tuple[str, str]]
    had_files: bool
    since_ms: int


class KeptForms:
    """Forms by whose they are: a browser and a person, and once they signed in their session.

    Names of browsers and sessions are the hashes of their tokens. `clock` gives milliseconds.
    """

    def __init__(self, clock: Callable[[], int]) -> None:
        self._clock = clock
        self._waiting: dict[tuple[str, str], KeptForm] = {}
        self._back: dict[str, KeptForm] = {}
        self._lock = threading.Lock()

    def keep(self, browser: str, person_id: str, form: KeptForm) -> None:
        """Keep a form until the person signs in again in the same browser."""
        with self._lock:
            self._sweep()
            self._waiting.pop((browser, person_id), None)
            self._waiting[browser, person_id] = form
            for old in list(self._waiting)[:-MOST]:
                del self._waiting[old]

    def waits(self, browser: str) -> bool:
        """Whether something is kept for anybody in a browser."""
        with self._lock:
            self._sweep()
            return any(name == browser for name, _ in self._waiting)

    def claim(self, browser: str, person_id: str, session: str) -> None:
        """The person signed in again: what is kept for them is the new session's."""
        with self._lock:
            self._sweep()
            form = self._waiting.pop((browser, person_id), None)
            if form is not None:
                self._back[session] = form

    def moved(self, browser: str, to: str) -> None:
        """A browser got a new token, as at each sign-in."""
        with self._lock:
            for name, person_id in [key for key in self._waiting if key[0] == browser]:
                self._waiting[to, person_id] = self._waiting.pop((name, person_id))

    def of(self, session: str) -> KeptForm | None:
        """What came back in a session, or None."""
        if not self._back:  # nearly always
            return None
        with self._lock:
            self._sweep()
            return self._back.get(session)

    def sent(self, session: str, action: str) -> None:
        """A form was sent again: what came back of it is done with."""
        with self._lock:
            form = self._back.get(session)
            if form is not None and form.action == action:
                del self._back[session]

    def _sweep(self) -> None:
        since = self._clock() - KEPT_MS
        waiting, back = self._waiting, self._back
        self._waiting = {name: form for name, form in waiting.items() if form.since_ms > since}
        self._back = {name: form for name, form in back.items() if form.since_ms > since}
