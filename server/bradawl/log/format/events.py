"""What an event is: its fields checked, committed to, chained, and refused with a sentence."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

import msgspec

from bradawl.common.errors import ApiError
from bradawl.judge import may_be_erased
from bradawl.language import Message, message
from bradawl.log.format import value_text
from bradawl.log.format.value_text import ValueFaultError

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event as JudgedEvent

MAX_EVENT_BYTES = 65_536  # of one event's hashed text and value together
INTEGER_LIMIT = value_text.INTEGER_LIMIT
SHOP = "shop"
CONTINUES = "device/continues"

_ID = re.compile(r"[0-9a-f]{32}", re.ASCII).fullmatch
_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII).fullmatch
_STAMP = re.compile(r"[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}", re.ASCII).fullmatch
_SCOPE = re.compile(r"shop|(?:inspection|car)/[0-9a-f]{32}", re.ASCII).fullmatch
_PATH = re.compile(r"(?=.{1,200}\Z)[a-z0-9._-]+(?:/[a-z0-9._-]+)*", re.ASCII).fullmatch
_NAMED_SIZE = 54 + 1 + 43  # an event's id: stamp, "~", commitment


class Written(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True, gc=False):
    """An event as it travels and is stored; an erased one has `commit` alone."""

    at: str
    over: list[str]
    put: str
    scope: str
    commit: str = ""
    salt: str = ""
    value: str = ""

    @property
    def erased(self) -> bool:
        return not self.salt


class Event(msgspec.Struct, gc=False):
    """What of an event is hashed: eight fields, in the order of canonical JSON."""

    at: str
    commit: str
    device: str
    over: list[str]
    prev: str
    put: str
    scope: str
    seq: int


@dataclass(frozen=True)
class Batch:
    """A run of one device's events, checked in itself: `hashes[i]` is that of event i.

    `signature` is the device's, over the last of them; empty where nothing was signed yet.
    """

    device: str
    from_seq: int
    prev: str
    events: list[Written]
    hashes: list[str]
    key: str = ""
    signature: str = ""

    @property
    def to_seq(self) -> int:
        return self.from_seq + len(self.events) - 1

    @property
    def head(self) -> str:
        return self.hashes[-1]

    def after(self, seq: int) -> Batch:
        """The part of the batch that follows `seq`, which must lie within it."""
        skip = seq - self.from_seq + 1
        return Batch(
            self.device,
            seq + 1,
            self.hashes[skip - 1],
            self.events[skip:],
            self.hashes[skip:],
            self.key,
            self.signature,
        )


_encode = msgspec.json.Encoder(order="deterministic").encode
_decode_events = msgspec.json.Decoder(list[Written]).decode


def is_id(text: str) -> bool:
    """Whether `text` is an id of a device, an inspection or a car: 32 lower-case hex characters."""
    return _ID(text) is not None


def is_hash(text: str) -> bool:
    """Whether `text` is a SHA-256 in lower-case hex."""
    return _HASH(text) is not None


def is_stamp(text: str) -> bool:
    """Whether `text` is a hybrid logical clock stamp."""
    return _STAMP(text) is not None


def is_scope(text: str) -> bool:
    """Whether `text` is a scope: `inspection/ID`, `car/ID` or `shop`."""
    return _SCOPE(text) is not None


def inspection(visit: str) -> str:
    """The scope of an inspection."""
    return f"inspection/{visit}"


def refuse(index: int, what: Message | str) -> NoReturn:
    """Refuse event number `index` (from 0) of a batch."""
    raise ApiError("event", message("server-event", number=index + 1, what=what), 422, index=index)


def check(
    device: str,
    from_seq: int,
    prev: str,
    events: list[Written],
    key: str = "",
    signature: str = "",
) -> Batch:
    """Check the fields of every event and chain them from `prev`. Raises ApiError "event"."""
    hashes: list[str] = []
    last_at = ""
    seen: set[str] = set()
    chained = prev
    for index, event in enumerate(events):
        if not _STAMP(event.at) or event.at[22:] != device:
            refuse(index, message("server-event-stamp"))
        if event.at <= last_at:
            refuse(index, message("server-event-order"))
        last_at = event.at
        if event.scope not in seen:
            if not is_scope(event.scope):
                refuse(index, message("server-event-scope"))
            seen.add(event.scope)
        if event.put not in seen:
            if not _PATH(event.put):
                refuse(index, message("server-event-path"))
            seen.add(event.put)
        if event.over:
            _check_over(index, event)
        commit = _committed(index, event)
        text = _encode(
            Event(
                event.at,
                commit,
                device,
                event.over,
                chained,
                event.put,
                event.scope,
                from_seq + index,
            )
        )
        size_bytes = len(text) + len(event.value.encode())
        if size_bytes > MAX_EVENT_BYTES:
            refuse(index, message("server-event-size", size=size_bytes, most=MAX_EVENT_BYTES))
        chained = hashlib.sha256(text).hexdigest()
        hashes.append(chained)
    return Batch(device, from_seq, prev, events, hashes, key, signature)


def _committed(index: int, event: Written) -> str:
    """The commitment of an event's value, checked. Raises ApiError "event"."""
    if event.erased:
        if event.value or not value_text.is_commit(event.commit):
            refuse(index, message("server-event-erased"))
        if not may_be_erased(event.put):
            refuse(index, message("server-event-stays", path=event.put))
        return event.commit
    if not value_text.is_salt(event.salt):
        refuse(index, message("server-event-salt"))
    try:
        value_text.check(event.value)
    except ValueFaultError as error:
        refuse(index, error.args[0])
    commit = value_text.commit_to(event.salt, event.value)
    if event.commit and event.commit != commit:
        refuse(index, message("server-event-commit"))
    event.commit = ""  # it follows from salt and value
    return commit


def _check_over(index: int, event: Written) -> None:
    before = ""
    for name in event.over:
        if (
            len(name) != _NAMED_SIZE
            or name[54] != "~"
            or not _STAMP(name[:54])
            or not value_text.is_commit(name[55:])
        ):
            refuse(index, message("server-event-over"))
        if name <= before:
            refuse(index, message("server-event-over-order"))
        before = name


def commit_of(event: Written) -> str:
    """The commitment of a stored event."""
    return event.commit if event.erased else value_text.commit_to(event.salt, event.value)


def pack(events: Sequence[Written]) -> bytes:
    """The stored form: a JSON array without device, seq, prev and what follows from the value."""
    return _encode(events)


def unpack(body: bytes) -> list[Written]:
    """Stored events, as they were checked when they came. Raises ApiError "damaged"."""
    try:
        events = _decode_events(body)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise damaged() from error
    if not events:
        raise damaged()
    return events


def damaged() -> ApiError:
    """What is stored cannot be read any more."""
    return ApiError(
        "damaged",
        message("server-storage-damaged"),
        503,
        headers={"Retry-After": "300"},
    )


def chain(device: str, from_seq: int, prev: str, events: Sequence[Written]) -> list[Event]:
    """The hashed fields of a stored run, `prev` worked out along the chain.

    Raises ApiError "damaged" for a salt that is none any more.
    """
    full = []
    chained = prev
    for index, event in enumerate(events):
        try:
            commit = commit_of(event)
        except ValueError as error:
            raise damaged() from error
        hashed = Event(
            event.at,
            commit,
            device,
            event.over,
            chained,
            event.put,
            event.scope,
            from_seq + index,
        )
        chained = hash_of(hashed)
        full.append(hashed)
    return full


def hash_of(event: Event) -> str:
    """SHA-256 of the canonical JSON of an event's eight fields, lower hex."""
    return hashlib.sha256(_encode(event)).hexdigest()


def plain(event: Event, written: Written) -> JudgedEvent:
    """An event as the rest of the program reads it: its fields, its value with text and salt.

    `erased` stands, and is true, where the value was erased: it reads as null then.
    Raises ApiError "damaged".
    """
    fields: JudgedEvent = {
        "device": event.device,
        "seq": event.seq,
        "prev": event.prev,
        "at": event.at,
        "scope": event.scope,
        "put": event.put,
        "value": None,
        "commit": event.commit,
        "salt": written.salt,
        "text": written.value,
        "over": event.over,
    }
    if written.erased:
        fields["erased"] = True
        return fields
    try:
        fields["value"] = value_text.value_of(written.value)
    except ValueFaultError as error:
        raise damaged() from error
    return fields
