"""Checking a passphrase: slowly for who guesses, and never refused to the owner because of them.

Who asks is counted by the narrowest thing that is known of them: an open sign-in, a browser that
this person signed in from before, else the address. The first two are out of a stranger's reach,
so nothing that strangers do keeps a person out of them. They have a turn of their own as well:
each check takes 64 MiB and a tenth of a second, and a crowd of strangers waits among itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from starlette.concurrency import run_in_threadpool

from bradawl.access.core.rate_limits import PASSPHRASE, Limits
from bradawl.access.people.turns import Turns

T = TypeVar("T")


@dataclass(frozen=True)
class Caller:
    """As what an attempt is counted; and the person, where no stranger can be counted as that.

    `person` is an id, empty for somebody of whom only the address is known.
    """

    source: str
    person: str = ""


class Checking:
    """The way to every use of a passphrase's hash; one for a server."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._strangers = Turns(each=3)
        # By the person: nobody who works here gains by many sign-ins over the others.
        self._known = Turns(each=10)

    async def check(self, caller: Caller, look: Callable[[], T | None]) -> T | None:
        """What `look` gives, in its turn and in a thread; None counts as a miss.

        Raises ApiError 429 while the caller has to wait, 503 when too many do.
        """
        attempt = await run_in_threadpool(self._limits.begin, PASSPHRASE, caller.source)
        turns = self._known if caller.person else self._strangers
        try:
            async with turns.turn(caller.person or caller.source, attempt.misses):
                result = await run_in_threadpool(look)
        except Exception:
            # Never looked at. Given up by the other end it stays counted.
            await run_in_threadpool(self._limits.take_back, attempt)
            raise
        if result is None:
            return None
        if caller.person:
            await run_in_threadpool(self._limits.forgive, PASSPHRASE, caller.source)
        else:
            # Only this attempt: others of the same address may be somebody else's guesses.
            await run_in_threadpool(self._limits.take_back, attempt)
        return result

    async def choose(self, code: str, keep: Callable[[], T]) -> T:
        """What `keep` gives, which hashes a new passphrase under a one-time `code` that holds."""
        async with self._known.turn(f"code/{code}"):
            return await run_in_threadpool(keep)
