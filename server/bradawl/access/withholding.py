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

#: Paths that always hold personal data of the seller, and the part of the value that does.
PERSONAL: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (re.compile(r"about/seller"), WHOLE, "the seller"),
    (re.compile(r"about/place"), WHOLE, "the place"),
    (re.compile(r"seal/\d+"), "place", "the place in the seal"),
)
# A run of letters is tried once, from its beginning: a note may be one word of 60,000.
_CONTACT = re.compile(r"(?<![\w.+-])[\w.+-]++@[\w-]++\.\w|(?:\+|\b0)\d(?:[ /().-]?\d){6,}")
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


#: Per part of a value the last stamp at which it is withheld.
Parts = dict[str, str]


class Hidden:
    """What is withheld at one moment: per visit and path the parts and their last stamps."""

    def __init__(self, rows: Iterable[WithheldRow]) -> None:
        self._parts: dict[tuple[str, str], Parts] = {}
        for row in rows:
            self._parts.setdefault((row.visit, row.put), {})[row.part] = row.until

    @property
    def visits(self) -> frozenset[str]:
        """The visits of which something is withheld."""
        return frozenset(visit for visit, _ in self._parts)

    def value(self, visit: str, put: str, at: str, value: Any) -> Any:
        """The value that an event shows; the very same object when nothing is withheld."""
        parts = {part for part, until in self._parts.get((visit, put), {}).items() if at <= until}
        if not parts or value is None:
            return value
        if WHOLE in parts or not isinstance(value, dict):
            return None
        return {key: WITHHELD if key in parts else one for key, one in value.items()}

    def events(self, visit: str, events: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """The visit's events with what is withheld left out; the others as they are."""
        shown = []
        for event in events:
            value = self.value(visit, event["put"], event["at"], event["value"])
            shown.append(event if value is event["value"] else {**event, "value": value})
        return shown


class Withholding:
    """What is withheld, in the database. `clock` gives milliseconds since 1970."""

    def __init__(self, engine: Engine, clock: Callable[[], int]) -> None:
        self._engine = engine
        self._clock = clock

    def now(self) -> Hidden:
        """What is withheld now, of all visits."""
        with reading(self._engine) as session:
            return Hidden(session.exec(select(WithheldRow)).all())

    def events(self, visit: str, events: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """The visit's events with what is withheld left out."""
        with reading(self._engine) as session:
            rows = session.exec(select(WithheldRow).where(WithheldRow.visit == visit)).all()
        return Hidden(rows).events(visit, events)

    def hides_photo(self, sha256: str) -> bool:
        """Whether a photo of that name was withheld."""
        with reading(self._engine) as session:
            query = select(WithheldRow.put).where(WithheldRow.part == WHOLE)
            return any(put.endswith(f"/photos/{sha256}") for put in session.exec(query))

    def state(self) -> str:
        """A text that changes whenever anything more is withheld."""
        with reading(self._engine) as session:
            rows = session.exec(select(WithheldRow.until)).all()
        return f"{len(rows)}:{sum(int(until[:15]) for until in rows)}"

    def add(self, visit: str, parts: Iterable[tuple[str, str]], until: str) -> None:
        """Withhold (path, part) pairs of a visit up to the stamp `until`."""
        with writing(self._engine) as session:
            for put, part in sorted(set(parts)):
                row = session.get(WithheldRow, (visit, put, part))
                if row is None:
                    row = WithheldRow(
                        visit=visit, put=put, part=part, until=until, since_ms=self._clock()
                    )
                row.until = max(row.until, until)
                session.add(row)


def personal(events: Sequence[Mapping[str, Any]]) -> list[Found]:
    """Personal data of the seller in what a visit's events show."""
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
            if text != WITHHELD:
                found[put, part] = Found(put, part, what, text, certain=True)
    for event in events:
        put = event["put"]
        text = " ".join(_texts(event["value"]))
        if any(path.fullmatch(put) for path, _, _ in PERSONAL) or put == "about/inspector":
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
