"""Forgetting a person: find what names them in an inspection, and have it erased for good."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from bradawl.access.personal_data.remains import Remains
from bradawl.access.personal_data.search import Found, search, texts_in
from bradawl.common.errors import ApiError
from bradawl.language import message

Event = Mapping[str, Any]
#: What is written about a photo; the rest of its value says nothing about anybody.
_CAPTIONS = ("caption", "text", "note", "title")


class Erasing(Protocol):
    """What forgetting needs of the log."""

    def events_of(self, visit: str) -> Sequence[Event]: ...
    def append(self, writer: str, visit: str, puts: Sequence[tuple[str, Any]]) -> object: ...
    def erase(self, writer: str, visit: str, wanted: Collection[tuple[str, int]]) -> int: ...


@dataclass(frozen=True)
class Offered:
    """What a person may choose from: `found` names somebody or may, `others` is all the rest.

    `deleted` are those of the rest that are photos and recordings which somebody took back: no
    list, report or export has them any more, and they lie here until they are erased.
    """

    found: list[Found]
    others: list[Found]
    deleted: list[Found]


class Forgetting:
    """Finds and erases what names a person in one inspection.

    `may_be_erased` says of a path whether its values may go; `named` gives the words for paths of
    a visit; `remains` what erasing cannot reach; `after` is told the visit that was changed.
    """

    def __init__(
        self,
        log: Erasing,
        may_be_erased: Callable[[str], bool],
        *,
        named: Callable[[str], Callable[[str], str]] = lambda _visit: lambda path: path,
        remains: Callable[[str], Remains] = lambda _visit: Remains(),
        after: Callable[[str], None] = lambda _visit: None,
    ) -> None:
        self._log = log
        self._may_be_erased = may_be_erased
        self.named = named
        self.remains = remains
        self._after = after

    def find(self, visit: str, typed: Iterable[str] = ()) -> Offered:
        """What names the seller, or whoever was `typed`, and is not erased yet.

        Raises ApiError "unknown_visit".
        """
        events = self._events(visit)
        values = search(events, self._may_be_erased, typed)
        latest = {event["put"]: event for event in events}
        taken = {value.put for value in values}
        others: dict[str, Found] = {}
        for event in events:
            put = event["put"]
            if put in taken or not self._may_be_erased(put) or not _holds(event):
                continue
            before = others.get(put)
            own = (event["device"], event["seq"])
            others[put] = Found(
                put=put,
                what="",
                text="\n".join(texts_in(event["value"])),
                certain=False,
                erasable=True,
                events=(*before.events, own) if before else (own,),
            )

        rest: list[Found] = []
        deleted: list[Found] = []
        for _, one in sorted(others.items()):
            is_deleted = one.is_photo and latest[one.put]["value"] is None
            (deleted if is_deleted else rest).append(one)
        return Offered(values, rest, deleted)

    def forget(
        self,
        visit: str,
        paths: Collection[str],
        writer: str,
        *,
        whole: Collection[str] = (),
        typed: Iterable[str] = (),
    ) -> int:
        """Erase what is found at `paths`, and all that is at `whole`, as `writer`; how many.

        Of a photo whose caption names somebody only what was written goes, unless its path is
        among `whole`: then the photo goes too. What nothing is found at any more is passed over.
        Raises ApiError "unknown_path", "not_erasable".
        """
        offered = self.find(visit, typed)
        every = (*offered.found, *offered.others, *offered.deleted)
        by_path = {value.put: value for value in every}
        chosen = []
        for path in sorted({*paths, *whole}):
            value = by_path.get(path)
            if value is None:
                raise ApiError("unknown_path", message("access-unknown-path", path=path), 422)
            if path in whole:
                chosen.append(replace(value, events=self._versions(visit, path)))
            elif value.what:
                chosen.append(value)
        captions = [value for value in chosen if value.is_photo and value.put not in whole]
        kept = [put for caption in captions for put in self._without_caption(visit, caption)]
        if kept:
            self._log.append(writer, visit, kept)
        try:
            wanted = [event for value in chosen for event in value.events]
            return self._log.erase(writer, visit, wanted) if wanted else 0
        finally:
            self._after(visit)

    def _without_caption(self, visit: str, photo: Found) -> list[tuple[str, Any]]:
        """What to record at a photo's path first, so that the photo stays when its words go."""
        events = [event for event in self._events(visit) if event["put"] == photo.put]
        last = events[-1]
        value = last["value"]
        if (last["device"], last["seq"]) not in photo.events or not isinstance(value, Mapping):
            return []
        bare = {key: held for key, held in value.items() if key not in _CAPTIONS}
        return [(photo.put, {**bare, "caption": ""})]

    def _versions(self, visit: str, path: str) -> tuple[tuple[str, int], ...]:
        return tuple(
            (event["device"], event["seq"])
            for event in self._events(visit)
            if event["put"] == path and _holds(event)
        )

    def _events(self, visit: str) -> Sequence[Event]:
        events = self._log.events_of(visit)
        if not events:
            raise ApiError("unknown_visit", message("access-unknown-visit"), 404)
        return events


def _holds(event: Event) -> bool:
    """Whether an event still has a value."""
    return event["value"] is not None and not event.get("erased")
