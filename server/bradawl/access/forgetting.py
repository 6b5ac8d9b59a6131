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
        return personal(self._withholding.events(visit, self._events(visit)))

    def forget(self, visit: str, parts: Iterable[tuple[str, str]], device: str) -> int:
        """Forget (path, part) pairs, recording as `device`; how many were still shown.

        Raises ApiError for a path that the visit does not have.
        """
        wanted = sorted(set(parts))
        events = self._events(visit)
        shown = self._withholding.events(visit, events)
        last = {event["put"]: event["value"] for event in shown}
        for put, _ in wanted:
            if put not in last:
                raise ApiError("unknown_path", f"The visit has no entry “{put}”.", 422)
        # Withheld first: if what follows fails, nothing is shown that should not be.
        self._withholding.add(visit, wanted, max(event["at"] for event in events))
        # Read as stored: a value that is hidden here may still be alive on a phone.
        alive = {event["put"] for event in _last(events) if event["value"] is not None}
        back = [(put, None) for put, part in wanted if part == WHOLE and put in alive]
        if back:
            self._append(device, visit, back)
        after = self._withholding.events(visit, events)
        return len({old["put"] for old, new in zip(shown, after, strict=True) if old != new})

    def _events(self, visit: str) -> list[dict[str, Any]]:
        events = self._events_of(visit)
        if not events:
            raise ApiError("unknown_visit", "No visit with this id is on this server.", 404)
        return events


def _last(events: Sequence[dict[str, Any]]) -> Iterable[dict[str, Any]]:
    return {event["put"]: event for event in events}.values()
