"""What is kept in the log for its hash and shown to nobody any more.

The log is a chain of hashes and is never rewritten. Forgetting therefore does two things: the
path is taken back by an ordinary event, which travels to every phone and empties the field
wherever the record is folded; and the old values are withheld here, so that no page, report,
attachment or pull hands them out again. The stored event stays, and with it every later hash and
every seal.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Engine
from sqlmodel import select

from bradawl.access.store import reading, writing
from bradawl.access.tables import WithheldRow

#: Stands where a part of a value was withheld; a value that is withheld whole becomes null.
WITHHELD = "withheld"
WHOLE = ""

Hidden = Mapping[str, frozenset[str]]

#: Paths that always hold personal data of the seller, and the part of the value that does.
PERSONAL: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (re.compile(r"about/seller"), WHOLE, "the seller"),
    (re.compile(r"about/place"), WHOLE, "the place"),
    (re.compile(r"seal/\d+"), "place", "the place in the seal"),
)
_CONTACT = re.compile(r"[\w.+-]+@[\w-]+\.\w+|(?:\+|\b0)\d(?:[ /().-]?\d){6,}")
_WORD = re.compile(r"[^\W\d_]{3,}")


@dataclass(frozen=True)
class Found:
    """A value that is, or may be, personal data.

    `certain` is False where a text only mentions a name or looks like a phone number or e-mail
    address: a person must decide.
    """

    put: str
    part: str
    what: str
    text: str
    certain: bool


class Withholding:
    """What is withheld, in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def by_visit(self) -> dict[str, dict[str, frozenset[str]]]:
        """Per visit and path the parts of its values that are withheld."""
        with reading(self._engine) as session:
            rows = session.exec(select(WithheldRow)).all()
        found: dict[str, dict[str, frozenset[str]]] = {}
        for row in rows:
            paths = found.setdefault(row.visit, {})
            paths[row.put] = paths.get(row.put, frozenset()) | {row.part}
        return found

    def of(self, visit: str) -> dict[str, frozenset[str]]:
        """Per path of a visit the parts that are withheld."""
        with reading(self._engine) as session:
            rows = session.exec(select(WithheldRow).where(WithheldRow.visit == visit)).all()
        found: dict[str, frozenset[str]] = {}
        for row in rows:
            found[row.put] = found.get(row.put, frozenset()) | {row.part}
        return found

    def paths(self, visit: str) -> frozenset[str]:
        """The paths of a visit of which something is withheld."""
        return frozenset(self.of(visit))

    def events(self, visit: str, events: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """The visit's events with what is withheld left out."""
        hidden = self.of(visit)
        return [
            {**event, "value": hide(event["value"], hidden[event["put"]])}
            if event["put"] in hidden
            else event
            for event in events
        ]

    def hides_photo(self, sha256: str) -> bool:
        """Whether a photo of that name was withheld."""
        with reading(self._engine) as session:
            query = select(WithheldRow.put).where(WithheldRow.part == WHOLE)
            return any(put.endswith(f"/photos/{sha256}") for put in session.exec(query))

    @staticmethod
    def hide(value: Any, parts: frozenset[str]) -> Any:
        """A value with what is withheld left out."""
        return hide(value, parts)

    def add(self, visit: str, parts: Iterable[tuple[str, str]]) -> int:
        """Withhold (path, part) pairs of a visit; how many were not withheld before."""
        added = 0
        with writing(self._engine) as session:
            for put, part in sorted(set(parts)):
                if session.get(WithheldRow, (visit, put, part)) is None:
                    session.add(
                        WithheldRow(visit=visit, put=put, part=part, since_ms=self._clock())
                    )
                    added += 1
        return added


def hide(value: Any, parts: frozenset[str]) -> Any:
    """A value with what is withheld left out."""
    if WHOLE in parts or not isinstance(value, dict):
        return None
    return {key: WITHHELD if key in parts else one for key, one in value.items()}


def personal(events: Sequence[Mapping[str, Any]], hidden: Hidden) -> list[Found]:
    """Personal data of the seller in a visit's events, what is withheld already left out."""
    found: dict[tuple[str, str], Found] = {}
    names: set[str] = set()
    for event in events:
        put, value = event["put"], event["value"]
        for path, part, what in PERSONAL:
            text = _text_at(value, part) if path.fullmatch(put) else ""
            if not text:
                continue
            if put == "about/seller":
                names |= {word.casefold() for word in _WORD.findall(text)}
            if part not in hidden.get(put, ()):
                found[put, part] = Found(put, part, what, text, certain=True)
    for event in events:
        put = event["put"]
        text = " ".join(_texts(event["value"]))
        if any(path.fullmatch(put) for path, _, _ in PERSONAL) or put == "about/inspector":
            continue
        if WHOLE in hidden.get(put, ()) or (put, WHOLE) in found:
            continue
        words = {word.casefold() for word in _WORD.findall(text)}
        if names & words:
            found[put, WHOLE] = Found(put, WHOLE, "mentions the seller's name", text, certain=False)
        elif put.startswith("items/") and _CONTACT.search(text):
            what = "looks like a phone number or an e-mail address"
            found[put, WHOLE] = Found(put, WHOLE, what, text, certain=False)
    return sorted(found.values(), key=lambda one: (not one.certain, one.put))


def _text_at(value: Any, part: str) -> str:
    if part == WHOLE:
        return " ".join(_texts(value))
    return str(value.get(part) or "") if isinstance(value, dict) else ""


def _texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value] if value else []
    if isinstance(value, dict):
        return [text for one in value.values() for text in _texts(one)]
    if isinstance(value, list):
        return [text for one in value for text in _texts(one)]
    return []
