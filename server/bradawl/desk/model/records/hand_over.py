"""Reads the file in which a phone hands its record over: sync's own batches, and photos.

A ZIP archive (PKWARE's APPNOTE 6.3.10, sections 4.3 and 4.4) whose members are stored, not packed:
`bradawl.json` says of which phone it is and of what type each photo or recording; each
`batches/NNNNNN.json` is a push as `/sync/push` takes it, signed by the phone; each
`photos/SHA256.…` is a photo or recording under its name. All of it is checked before any is shown.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from bradawl.common.errors import ApiError
from bradawl.desk.model.records.import_files import Entry, ImportFile, with_entries
from bradawl.desk.model.typed_values import FieldError
from bradawl.language import message

HAND_OVER = "bradawl-hand-over"
VERSION = 1
#: What every such archive begins with: the signature of a local file header.
BEGINS = b"PK\x03\x04"
ABOUT = "bradawl.json"
MAX_ABOUT_BYTES = 4_000_000
MAX_BATCH_BYTES = 8_000_000  # as the log takes them
MAX_BATCHES_BYTES = 200_000_000
MAX_PHOTO_BYTES = 70 * 2**20  # as the log takes them
PIECE = 1 << 20

_BATCH = re.compile(r"batches/[0-9]{6}\.json", re.ASCII).fullmatch
_PHOTO = re.compile(r"photos/([0-9a-f]{64})(?:\.[a-z0-9]{1,5})?", re.ASCII).fullmatch
#: Paths at which an entry names one photo or recording by itself.
_NAMES_ONE = re.compile(r"(?:^|/)(?:photos|media)/([0-9a-f]{64})\Z", re.ASCII)

#: Raises ApiError for a push whose device has not signed it so; keeps nothing.
Check = Callable[[bytes], object]


def read_hand_over(name: str, path: Path, digest: str, check: Check) -> ImportFile:
    """The file, its signatures, its chain and every photo checked.

    `digest` is the SHA-256 of its content. Raises FieldError, whose sentence says what is wrong.
    """
    with _archive(name, path) as archive:
        # stored as they are, members together cannot be more than the file: else they overlap
        if sum(info.file_size for info in archive.infolist()) > path.stat().st_size:
            raise FieldError(message("desk-hand-over-not-ours", name=name))
        about = _about(name, archive)
        batches = [_batch(name, archive, info, check) for info in _batches(name, archive)]
        _require_one_chain(name, about["device"], batches)
        kinds = dict(about["blobs"])
        photos = []
        for info in archive.infolist():
            photo = _PHOTO(info.filename)
            if photo is not None:
                _check_photo(name, archive, info, photo[1])
                photos.append(
                    {"sha256": photo[1], "type": str(kinds.get(photo[1], "")), "in": info.filename}
                )
    events = [event for batch in batches for event in batch["events"]]
    file = ImportFile(
        name=name,
        digest=digest,
        kind=HAND_OVER,
        device=about["device"],
        batches=batches,
        path=path,
    )
    file = with_entries(file, events) if events else file
    named = named_in(file.entries)
    text = "\n".join(entry.text for entry in file.entries)
    # a photo that no entry speaks of is nobody's evidence
    photos = [photo for photo in photos if photo["sha256"] in named or photo["sha256"] in text]
    return replace(file, photos=photos)


def bytes_of(file: ImportFile) -> Iterator[tuple[bytes, str]]:
    """Each photo or recording with its media type, one after the other. Raises FieldError."""
    if file.path is None:
        return
    with _archive(file.name, file.path) as archive:
        for photo in file.photos:
            yield archive.read(photo["in"]), photo["type"]


def named_in(entries: Iterable[Entry]) -> set[str]:
    """The photos and recordings that entries name and that nobody has taken back."""
    last: dict[tuple[str, str], Entry] = {}
    for entry in entries:  # in the order of their stamps
        last[entry.scope, entry.put] = entry
    found = {
        match[1]
        for (_, put), entry in last.items()
        if entry.text != "null" and (match := _NAMES_ONE.search(put))
    }
    return found


@contextmanager
def _archive(name: str, path: Path) -> Iterator[zipfile.ZipFile]:
    """The archive, opened; what is wrong with it while it is read becomes a FieldError."""
    try:
        with zipfile.ZipFile(path) as archive:
            yield archive
    except (zipfile.BadZipFile, EOFError, zlib.error, NotImplementedError, RuntimeError) as error:
        raise FieldError(message("desk-hand-over-half", name=name)) from error


def _content(name: str, archive: zipfile.ZipFile, info: zipfile.ZipInfo, most_bytes: int) -> bytes:
    if info.compress_type != zipfile.ZIP_STORED or info.file_size > most_bytes:
        raise FieldError(message("desk-hand-over-not-ours", name=name))
    return archive.read(info)


def _about(name: str, archive: zipfile.ZipFile) -> dict[str, Any]:
    """What the file says of itself."""
    wrong = FieldError(message("desk-hand-over-not-ours", name=name))
    try:
        about = json.loads(_content(name, archive, archive.getinfo(ABOUT), MAX_ABOUT_BYTES))
    except (KeyError, ValueError, RecursionError) as error:
        raise wrong from error
    if not isinstance(about, dict) or about.get("format") != HAND_OVER:
        raise wrong
    if about.get("version") != VERSION:
        version = str(about.get("version"))
        raise FieldError(message("desk-hand-over-version", name=name, version=version))
    blobs = about.get("blobs")
    if not isinstance(about.get("device"), str) or not isinstance(blobs, list):
        raise wrong
    if not all(isinstance(blob, list) and list(map(type, blob)) == [str, str] for blob in blobs):
        raise wrong
    return about


def _batches(name: str, archive: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    found = [info for info in archive.infolist() if _BATCH(info.filename)]
    if sum(info.file_size for info in found) > MAX_BATCHES_BYTES:
        raise FieldError(message("desk-hand-over-not-ours", name=name))
    return sorted(found, key=lambda info: info.filename)


def _batch(
    name: str, archive: zipfile.ZipFile, info: zipfile.ZipInfo, check: Check
) -> Mapping[str, Any]:
    """A push, signed by its device."""
    body = _content(name, archive, info, MAX_BATCH_BYTES)
    try:
        check(body)
    except ApiError as error:
        if error.code in ("app_too_old", "server_too_old"):
            raise FieldError(message("desk-hand-over-protocol", name=name)) from error
        raise FieldError(message("desk-hand-over-changed", name=name)) from error
    batch: dict[str, Any] = json.loads(body)
    return batch


def _require_one_chain(name: str, device: str, batches: list[Mapping[str, Any]]) -> None:
    """Raises FieldError unless they follow one another on the chain of one device."""
    before: Mapping[str, Any] | None = None
    for batch in batches:
        follows = before is None or (
            batch["from_seq"] == before["from_seq"] + len(before["events"])
            and batch["prev"] == before["head"]
        )
        if batch["device"] != device or not follows:
            raise FieldError(message("desk-hand-over-parts", name=name))
        before = batch


def _check_photo(name: str, archive: zipfile.ZipFile, info: zipfile.ZipInfo, sha256: str) -> None:
    """Raises FieldError unless the bytes are those that its name says."""
    if info.compress_type != zipfile.ZIP_STORED or info.file_size > MAX_PHOTO_BYTES:
        raise FieldError(message("desk-hand-over-not-ours", name=name))
    digest = hashlib.sha256()
    with archive.open(info) as member:
        while piece := member.read(PIECE):
            digest.update(piece)
    if digest.hexdigest() != sha256:
        raise FieldError(message("desk-hand-over-photo", name=name, photo=sha256[:12]))
