"""Reads a file's entries: what a phone saved unsent, or a record that a desk exported.

A phone's own signature is the only thing that lets entries in by themselves. Everything else is
turned into plain entries here, of whatever protocol the file is, for an owner to look at first.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from bradawl.common.device_keys import decoded, encoded
from bradawl.desk.model.typed_values import FieldError
from bradawl.judge import CanonicalError, canonical
from bradawl.language import message

RECORD = "bradawl-record"
UNSENT = "bradawl-unsent"
VERSIONS = (1, 2)  # of either format; 2 came with protocol 2
SALT_BYTES = 16
MAX_TEXT_BYTES = 60_000  # of a value; the log takes a little more for an event
NOBODY = "0" * 32

_ID = re.compile(r"[0-9a-f]{32}", re.ASCII).fullmatch
_STAMP = re.compile(r"[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}", re.ASCII).fullmatch
_SCOPE = re.compile(r"shop|(?:inspection|car)/[0-9a-f]{32}", re.ASCII).fullmatch
_PATH = re.compile(r"(?=.{1,200}\Z)[a-z0-9._-]+(?:/[a-z0-9._-]+)*", re.ASCII).fullmatch
_NAME = re.compile(r"[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}~[A-Za-z0-9_-]{43}", re.ASCII).fullmatch

#: What tells an entry from every other: scope, path, commitment.
Mark = tuple[str, str, str]


@dataclass(frozen=True)
class Entry:
    """One entry of a file, of whatever protocol; `id` is what others' `over` call it."""

    at: str
    scope: str
    put: str
    text: str
    salt: str
    over: tuple[str, ...]
    id: str

    @property
    def mark(self) -> Mark:
        return self.scope, self.put, commit_to(self.salt, self.text)

    @property
    def inspection(self) -> str:
        """The inspection that it belongs to, or empty."""
        return self.scope.partition("/")[2] if self.scope.startswith("inspection/") else ""

    def plain(self, ids: frozenset[str]) -> dict[str, Any]:
        """As the log takes entries aside; of `over` only `ids` and names that the log knows."""
        over = [name for name in self.over if name in ids or _NAME(name)]
        return {
            **{name: getattr(self, name) for name in ("at", "scope", "put", "text", "salt", "id")},
            "over": over,
        }


@dataclass(frozen=True)
class ImportFile:
    """A file that was read: `batches` may be signed by its phone, `entries` are all that it holds.

    `unreadable` counts entries that no event may hold, `seals` seals, which cannot be copied.
    `path` is where a file lies whose photos are read one by one.
    """

    name: str
    digest: str
    kind: str
    device: str
    protocol: int | None = None
    batches: Sequence[Mapping[str, Any]] = ()
    entries: Sequence[Entry] = ()
    unreadable: int = 0
    seals: int = 0
    photos: Sequence[Any] = ()
    checklist: Mapping[str, Any] | None = None
    counts: dict[str, int] = field(default_factory=dict)
    path: Path | None = None

    def photo_bytes(self) -> Iterator[tuple[bytes, str]]:
        """Each photo or recording with its media type. Raises FieldError for a damaged one."""
        for number, photo in enumerate(self.photos, start=1):
            try:
                yield base64.b64decode(photo["base64"], validate=True), str(photo.get("type", ""))
            except (KeyError, TypeError, AttributeError, binascii.Error) as error:
                raise FieldError(
                    message("desk-import-photo-damaged", number=number, name=self.name)
                ) from error


def commit_to(salt: str, text: str) -> str:
    """The commitment to a value's text (the log's README)."""
    raw = decoded(salt, SALT_BYTES) or b""
    return encoded(hashlib.sha256(raw + text.encode()).digest())


def parse_file(name: str, data: bytes) -> ImportFile:
    """A file of one of the two kinds. Raises FieldError with what is wrong with another."""
    try:
        content = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise FieldError(message("desk-import-not-json", name=name, why=str(error))) from error
    if not isinstance(content, dict) or content.get("format") not in (RECORD, UNSENT):
        raise FieldError(message("desk-import-not-ours", name=name))
    if content.get("version") not in VERSIONS:
        version = str(content.get("version"))
        first, last = VERSIONS[0], VERSIONS[-1]
        raise FieldError(
            message(
                "desk-import-version", name=name, version=version, **{"from": first, "to": last}
            )
        )
    digest = hashlib.sha256(data).hexdigest()
    return (_unsent if content["format"] == UNSENT else _record)(name, digest, content)


def _unsent(name: str, digest: str, content: Mapping[str, Any]) -> ImportFile:
    batches = content.get("batches", [content.get("batch")])
    if not isinstance(batches, list) or not all(
        isinstance(batch, dict) and isinstance(batch.get("events"), list) for batch in batches
    ):
        raise FieldError(message("desk-import-no-batch", name=name))
    protocols = [batch.get("protocol", content.get("protocol")) for batch in batches]
    numbers = [protocol for protocol in protocols if type(protocol) is int]
    photos = content.get("photos")
    file = ImportFile(
        name=name,
        digest=digest,
        kind=UNSENT,
        protocol=max(numbers, default=None),
        device=_device_of(batches),
        batches=batches,
        photos=photos if isinstance(photos, list) else (),
    )
    return with_entries(file, [event for batch in batches for event in batch["events"]])


def _record(name: str, digest: str, content: Mapping[str, Any]) -> ImportFile:
    events = content.get("events")
    if not isinstance(events, list) or not events:
        raise FieldError(message("desk-import-no-entries", name=name))
    checklist = content.get("checklist")
    file = ImportFile(
        name=name,
        digest=digest,
        kind=RECORD,
        device=_device_of(events),
        checklist=checklist if isinstance(checklist, dict) else None,
    )
    return with_entries(file, events)


def _device_of(rows: Sequence[Any]) -> str:
    """Whose file it is, by its first batch or event."""
    device = str(rows[0].get("device")) if rows and isinstance(rows[0], dict) else ""
    return device if _ID(device) else NOBODY


def with_entries(file: ImportFile, events: Sequence[Any]) -> ImportFile:
    """The same with every entry that this version can record, in the order of their stamps."""
    entries: list[Entry] = []
    unreadable = seals = 0
    counts: dict[str, int] = {}
    for number, event in enumerate(events):
        if isinstance(event, dict) and str(event.get("put")).startswith("seal/"):
            seals += 1
            continue
        if isinstance(event, dict) and "commit" in event and "salt" not in event:
            continue  # it was erased: nothing of it is left
        entry = _entry(event, f"{file.digest} {number}") if isinstance(event, dict) else None
        if entry is None:
            unreadable += 1
            continue
        entries.append(entry)
        counts[entry.inspection] = counts.get(entry.inspection, 0) + 1
    if unreadable and not entries:
        raise FieldError(message("desk-import-unreadable", name=file.name))
    entries.sort(key=lambda entry: entry.at)
    return replace(file, entries=entries, unreadable=unreadable, seals=seals, counts=counts)


def _entry(event: Mapping[str, Any], place: str) -> Entry | None:
    """An event of any protocol as an entry; None when no event may hold it.

    `place` names the event in its file: the salt of one that had none follows from it, so that
    the same file gives the same entries every time.
    """
    at, put = str(event.get("at")), str(event.get("put"))
    scope = str(event.get("scope") or f"inspection/{event.get('visit')}")
    if not (_STAMP(at) and _SCOPE(scope) and _PATH(put)):
        return None
    salt, value = event.get("salt"), event.get("value")
    salted = isinstance(salt, str) and decoded(salt, SALT_BYTES) is not None
    text = _text(value, recorded=salted)
    if text is None:
        return None
    if not salted:
        salt = encoded(hashlib.sha256(f"salt {place}".encode()).digest()[:SALT_BYTES])
    over = event.get("over")
    names = tuple(str(name) for name in over) if isinstance(over, list) else ()
    salt = str(salt)
    entry_id = f"{at}~{commit_to(salt, text)}" if salted else at
    return Entry(at, scope, put, text, salt, names, entry_id)


def _text(value: Any, *, recorded: bool) -> str | None:
    """The recorded text of a value; `recorded` says that it is one already."""
    try:
        text = value if recorded and isinstance(value, str) else canonical(value)
        if recorded and "\\ud" not in text and canonical(json.loads(text)) != text:
            return None
    except (CanonicalError, ValueError, RecursionError):
        return None
    return text if len(text.encode(errors="replace")) <= MAX_TEXT_BYTES else None


def is_checklist(checklist: Mapping[str, Any]) -> bool:
    """Whether a checklist is the one that its own hash names."""
    body = {key: value for key, value in checklist.items() if key != "hash"}
    try:
        return hashlib.sha256(canonical(body).encode()).hexdigest() == checklist.get("hash")
    except CanonicalError:
        return False
