"""What an event is: read strictly, hashed canonically, chained, and refused with a sentence."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

import msgspec

from bradawl.errors import ApiError

PROTOCOL = 1
MAX_EVENTS = 2_000  # in one batch
MAX_BODY_BYTES = 8_000_000  # of one batch, unpacked
MAX_EVENT_BYTES = 65_536  # of one event's canonical text
MAX_NESTING = 16
INTEGER_LIMIT = 2**53

_ID = re.compile(r"[0-9a-f]{32}", re.ASCII).fullmatch
_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII).fullmatch
_STAMP = re.compile(r"[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}", re.ASCII).fullmatch
_PATH = re.compile(r"(?=.{1,200}\Z)[a-z0-9._-]+(?:/[a-z0-9._-]+)*", re.ASCII).fullmatch


class Written(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    """An event as it travels and is stored; fields in the order of canonical JSON."""

    at: str
    over: list[str]
    put: str
    value: Any
    visit: str


class Event(msgspec.Struct, gc=False):
    """An event as it is hashed: all eight fields, in the order of canonical JSON."""

    at: str
    device: str
    over: list[str]
    prev: str
    put: str
    seq: int
    value: Any
    visit: str


class _Head(msgspec.Struct):
    protocol: int


class _Envelope(msgspec.Struct, forbid_unknown_fields=True):
    protocol: int
    device: str
    from_seq: int
    prev: str
    events: list[Written]
    head: str


@dataclass(frozen=True)
class Batch:
    """A run of one device's events, checked in itself: `hashes[i]` is that of event i."""

    device: str
    from_seq: int
    prev: str
    events: list[Written]
    hashes: list[str]

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
            self.device, seq + 1, self.hashes[skip - 1], self.events[skip:], self.hashes[skip:]
        )


# "deterministic" sorts the keys of objects; with ASCII keys, no floats and integers below 2**53
# the output is RFC 8785 (tests/log/test_events.py holds it against the rfc8785 package).
_encode = msgspec.json.Encoder(order="deterministic").encode
_decode_events = msgspec.json.Decoder(list[Written]).decode
_decode_envelope = msgspec.json.Decoder(_Envelope).decode
_decode_head = msgspec.json.Decoder(_Head).decode
_WHERE = re.compile(r" - at `\$(?:\.events\[(\d+)\])?\.?(.*)`$")


def is_id(text: str) -> bool:
    """Whether `text` is a device's or visit's id: 32 lower-case hex characters."""
    return _ID(text) is not None


def is_hash(text: str) -> bool:
    """Whether `text` is a SHA-256 in lower-case hex."""
    return _HASH(text) is not None


def refuse(index: int, sentence: str) -> NoReturn:
    """Refuse event number `index` (from 0) of a batch."""
    raise ApiError("event", f"Event {index + 1} of the batch: {sentence}", 422, index=index)


def read_batch(body: bytes) -> Batch:
    """A push as it arrived, checked field by field and along its own chain.

    Raises ApiError: 426 "app_too_old", 422 "server_too_old", "event" or "chain", 400 "batch",
    413 "too_large".
    """
    if len(body) > MAX_BODY_BYTES:
        raise ApiError(
            "too_large",
            f"A batch may hold {MAX_BODY_BYTES} bytes and this one is larger. Send fewer events.",
            413,
        )
    envelope = _parse(body)
    if not is_id(envelope.device):
        _refuse_batch("its device is not an id of 32 hexadecimal characters")
    if not 1 <= envelope.from_seq < INTEGER_LIMIT:
        _refuse_batch("from_seq must be 1 or more")
    if not envelope.events:
        _refuse_batch("it holds no events")
    if len(envelope.events) > MAX_EVENTS:
        raise ApiError(
            "too_large",
            f"A batch may hold {MAX_EVENTS} events and this one holds {len(envelope.events)}. "
            "Send it in parts.",
            413,
        )
    if (envelope.prev != "") if envelope.from_seq == 1 else not is_hash(envelope.prev):
        _refuse_batch('prev must be a hash, or "" when the batch begins with event 1')
    batch = check(envelope.device, envelope.from_seq, envelope.prev, envelope.events)
    if batch.head != envelope.head:
        raise ApiError(
            "chain",
            "The events of this batch do not add up to its head hash: something changed on the "
            "way. Send it again; if this is said again, the phone's own copy is damaged.",
            422,
            head=batch.head,
        )
    return batch


def _refuse_batch(what: str) -> NoReturn:
    raise ApiError("batch", f"This batch cannot be read: {what}.", 400)


def _parse(body: bytes) -> _Envelope:
    try:
        protocol = _decode_head(body).protocol
        if protocol < PROTOCOL:
            raise ApiError(
                "app_too_old",
                "This app is older than the server understands. Update the app; nothing that is "
                "on the phone is lost.",
                426,
                protocol=PROTOCOL,
            )
        if protocol > PROTOCOL:
            raise ApiError(
                "server_too_old",
                "This server is older than the app. Update the server; the phone keeps everything "
                "until then.",
                422,
                protocol=PROTOCOL,
            )
        return _decode_envelope(body)
    except msgspec.ValidationError as error:
        sentence = str(error)
        where = _WHERE.search(sentence)
        what = sentence[: where.start()] if where else sentence
        field = f" in {where[2]}" if where and where[2] else ""
        if where and where[1]:
            refuse(int(where[1]), f"{what}{field}.")
        _refuse_batch(f"{what}{field}")
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        _refuse_batch(f"it is not JSON ({error})")
    except RecursionError:
        _refuse_batch("it is nested too deeply")


def check(device: str, from_seq: int, prev: str, events: list[Written]) -> Batch:
    """Check the fields of every event and chain them from `prev`. Raises ApiError "event"."""
    hashes: list[str] = []
    last_at = ""
    visits: set[str] = set()
    puts: set[str] = set()
    chained = prev
    for index, event in enumerate(events):
        at = event.at
        if not _STAMP(at) or at[22:] != device:
            refuse(index, "its stamp is not “milliseconds-counter-device” of its own device.")
        if at <= last_at:
            refuse(index, "its stamp is not later than that of the event before it.")
        last_at = at
        if event.visit not in visits:
            if not is_id(event.visit):
                refuse(index, "its visit is not an id of 32 hexadecimal characters.")
            visits.add(event.visit)
        if event.put not in puts:
            if not _PATH(event.put):
                refuse(
                    index,
                    "its path may hold a–z, 0–9, “.”, “_”, “-” and “/” between words, and at "
                    "most 200 characters.",
                )
            puts.add(event.put)
        if event.over:
            _check_over(index, event)
        value = event.value
        if type(value) is not str:
            _check_value(index, value)
        text = _encode(
            Event(at, device, event.over, chained, event.put, from_seq + index, value, event.visit)
        )
        if len(text) > MAX_EVENT_BYTES:
            refuse(index, f"it has {len(text)} bytes; {MAX_EVENT_BYTES} are allowed.")
        chained = hashlib.sha256(text).hexdigest()
        hashes.append(chained)
    return Batch(device, from_seq, prev, events, hashes)


def _check_over(index: int, event: Written) -> None:
    before = ""
    for stamp in event.over:
        if not _STAMP(stamp):
            refuse(index, "“over” may hold stamps only.")
        if stamp <= before:
            refuse(index, "“over” must be sorted, each stamp once.")
        before = stamp
    if before >= event.at:
        refuse(index, "“over” names a stamp that is not earlier than the event itself.")


def _check_value(index: int, value: Any, depth: int = 0) -> None:
    if value is None or isinstance(value, bool | str):
        return
    if isinstance(value, float):
        refuse(
            index,
            "its value holds a number with a fraction or exponent. A reading is sent as the text "
            "that was typed.",
        )
    if isinstance(value, int):
        if not -INTEGER_LIMIT < value < INTEGER_LIMIT:
            refuse(index, "its value holds an integer of 2**53 or more.")
        return
    if depth >= MAX_NESTING:
        refuse(index, f"its value is nested more than {MAX_NESTING} deep.")
    # most values are an object of one or two texts: those are passed without another call
    if isinstance(value, list):
        for entry in value:
            if type(entry) is not str:
                _check_value(index, entry, depth + 1)
        return
    assert isinstance(value, dict)  # msgspec makes nothing else of JSON
    for key, entry in value.items():
        if not key.isascii():
            refuse(index, "its value has a key that is not ASCII.")
        if type(entry) is not str:
            _check_value(index, entry, depth + 1)


def pack(events: Sequence[Written]) -> bytes:
    """The stored form: a JSON array without device, seq and prev."""
    return _encode(events)


def unpack(body: bytes) -> list[Written]:
    """Stored events, as they were checked when they came. Raises ApiError "damaged"."""
    try:
        return _decode_events(body)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise damaged() from error


def damaged() -> ApiError:
    """What is stored cannot be read any more."""
    return ApiError(
        "damaged",
        "The server's database is damaged. What is on the phone is safe: keep it, and run "
        "“bradawl doctor” on the server.",
        503,
        headers={"Retry-After": "300"},
    )


def chain(device: str, from_seq: int, prev: str, events: Sequence[Written]) -> list[Event]:
    """The full events of a stored run, `prev` worked out along the chain."""
    full = []
    chained = prev
    for index, one in enumerate(events):
        event = Event(
            one.at, device, one.over, chained, one.put, from_seq + index, one.value, one.visit
        )
        chained = hashlib.sha256(_encode(event)).hexdigest()
        full.append(event)
    return full


def hash_of(event: Event) -> str:
    """SHA-256 of the canonical JSON of all eight fields, lower hex."""
    return hashlib.sha256(_encode(event)).hexdigest()
