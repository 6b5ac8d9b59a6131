"""Forgetting a seller: take the values back for everybody, and withhold what they were."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from bradawl.access.withholding import WHOLE, Found, Withholding, personal
from bradawl.errors import ApiError

#: Appends (path, value) pairs to a visit as a device of the server's.
Append = Callable[[str, str, Sequence[tuple[str, Any]]], object]


class Forgetting:
    """Finds and forgets personal data of one visit.

    Args:
        withholding: what is shown to nobody any more.
        events_of: a visit's events as they are stored.
        append: the log's own way of recording.
    """

    def __init__(
        self,
        withholding: Withholding,
        events_of: Callable[[str], list[dict[str, Any]]],
        append: Append,
    ) -> None:
        self._withholding = withholding
        self._events_of = events_of
        self._append = append

    def find(self, visit: str) -> list[Found]:
        """What is, or may be, personal data of the seller and is not forgotten yet."""
        return personal(self._events(visit), self._withholding.of(visit))

    def forget(self, visit: str, parts: Iterable[tuple[str, str]], device: str) -> int:
        """Forget (path, part) pairs, recording as `device`; how many values that were.

        Raises ApiError for a path that the visit does not have.
        """
        wanted = sorted(set(parts))
        events = self._events(visit)
        known = {event["put"] for event in events}
        for put, _ in wanted:
            if put not in known:
                raise ApiError("unknown_path", f"The visit has no entry “{put}”.", 422)
        # Withheld first: if what follows fails, nothing is shown that should not be.
        added = self._withholding.add(visit, wanted)
        last = {event["put"]: event["value"] for event in events}
        back = [(put, None) for put, part in wanted if part == WHOLE and last[put] is not None]
        if back:
            self._append(device, visit, back)
        return added

    def _events(self, visit: str) -> list[dict[str, Any]]:
        events = self._events_of(visit)
        if not events:
            raise ApiError("unknown_visit", "No visit with this id is on this server.", 404)
        return events
