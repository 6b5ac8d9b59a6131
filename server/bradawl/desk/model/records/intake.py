"""Takes the entries and photos of an imported file into the log.

What a phone has signed is pushed as it is, whoever brings it. A record that a desk wrote, a file
of another protocol and one without a valid signature are kept aside until an owner has seen what
they hold and says once more that they shall be taken in: then they stand on a chain of their own,
marked as not signed.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any, BinaryIO

from bradawl.common.errors import ApiError
from bradawl.desk.model.labels import car_name
from bradawl.desk.model.log import DeskLog, keep_photo
from bradawl.desk.model.records.hand_over import (
    BEGINS,
    HAND_OVER,
    bytes_of,
    named_in,
    read_hand_over,
)
from bradawl.desk.model.records.import_files import (
    RECORD,
    UNSENT,
    Entry,
    ImportFile,
    is_checklist,
    parse_file,
)
from bradawl.desk.model.records.waiting_files import WaitingFiles
from bradawl.desk.model.typed_values import FieldError
from bradawl.inspection.snapshot import Snapshot, UnknownVisit
from bradawl.language import message, text

__all__ = [
    "ImportResult",
    "hand_over_view",
    "keep_hand_over",
    "take_file",
    "take_hand_over",
    "take_unsigned",
    "waiting_file",
    "waiting_view",
]

#: Refusals of a push which say that the phone has not signed this, here, in this protocol.
NOT_SIGNED = frozenset({"signature", "chain", "event", "batch", "app_too_old", "server_too_old"})
ASKED_AT_ONCE = 200
#: What is said of a photo that will never be taken in as it is.
PHOTO_REFUSALS = (413, 415, 422)
#: Media types of a recording begin so; a clip's sound is one too.
SOUND = ("audio/", "video/")


@dataclass
class ImportResult:
    """What became of a file: `sentences`, a visit to open, `waits` its digest if it waits."""

    sentences: list[str] = field(default_factory=list)
    visit: str = ""
    waits: str = ""


def take_file(
    log: DeskLog, waiting: WaitingFiles, name: str, data: bytes, by: str, received_ms: int
) -> ImportResult:
    """Take in what a phone has signed; keep the file for an owner where anything is left.

    `by` names who handed it in. Raises FieldError for a file that cannot be read, ApiError as a
    push does.
    """
    file = parse_file(name, data)
    if file.kind == UNSENT and (taken := _take_signed(log, file, received_ms)) is not None:
        return taken
    if _new_entries(log, file) or (file.kind == UNSENT and file.photos):
        return ImportResult(waits=waiting.keep(name, io.BytesIO(data), by))
    return ImportResult(
        [text("desk-import-all-here")], next((visit for visit in file.counts if visit), "")
    )


def take_hand_over(log: DeskLog, file: ImportFile, received_ms: int) -> ImportResult:
    """Take in what a phone handed over, which was checked whole; a repeat changes nothing.

    Raises ApiError as a push does; what was taken in until then stays.
    """
    result = _take_signed(log, file, received_ms)
    if result is None:
        raise FieldError(message("desk-hand-over-changed", name=file.name))
    if missing := photos_missing(log, file):
        result.sentences.append(text("desk-hand-over-missing", count=len(missing)))
    return result


def photos_missing(log: DeskLog, file: ImportFile) -> list[str]:
    """Photos and recordings that the entries of a hand-over name, and that nobody brought yet."""
    brought = {photo["sha256"] for photo in file.photos}
    named = sorted(named_in(file.entries) - brought)
    return [
        sha256
        for n in range(0, len(named), ASKED_AT_ONCE)
        for sha256 in log.photos.missing(named[n : n + ASKED_AT_ONCE])
    ]


def hand_over_view(
    log: DeskLog, file: ImportFile, snapshot_of: Callable[[str], Snapshot]
) -> dict[str, Any]:
    """What has to be seen of a phone's file before it is taken in."""
    new = _new_entries(log, file)
    rows = []
    for visit, count in sorted(file.counts.items()):
        fresh = sum(entry.inspection == visit for entry in new)
        seals = sum(
            event["scope"] == f"inspection/{visit}" and event["put"].startswith("seal/")
            for batch in file.batches
            for event in batch["events"]
        )
        car = _car_here(visit, snapshot_of) or _car_in(file, visit) if visit else ""
        rows.append({"visit": visit, "car": car, "count": count, "new": fresh, "seals": seals})
    chain = next((chain for chain in log.chains() if chain.device == file.device), None)
    return {
        "file": file,
        "digest": file.digest,
        "rows": rows,
        "new": len(new),
        "first": file.entries[0].at if file.entries else "",
        "last": file.entries[-1].at if file.entries else "",
        "photos": sum(not photo["type"].startswith(SOUND) for photo in file.photos),
        "recordings": sum(photo["type"].startswith(SOUND) for photo in file.photos),
        "missing": len(photos_missing(log, file)),
        "known": chain is not None and not chain.marked,
    }


def _car_here(visit: str, snapshot_of: Callable[[str], Snapshot]) -> str:
    with suppress(UnknownVisit):
        return car_name(snapshot_of(visit).cells)
    return ""


def _car_in(file: ImportFile, visit: str) -> str:
    """What a car is called by the entries of a file alone."""
    cells = {
        entry.put: {"value": json.loads(entry.text)}
        for entry in file.entries
        if entry.inspection == visit
    }
    return car_name(cells)


def _take_signed(log: DeskLog, file: ImportFile, received_ms: int) -> ImportResult | None:
    """Push what a phone has signed, and keep its photos; None where a signature is missing.

    Entries that part from what is stored of their chain are kept beside it: both are the phone's.
    """
    stored = beside = 0
    for batch in file.batches:
        try:
            stored += log.push(batch, received_ms=received_ms).stored
        except ApiError as error:
            if error.code in NOT_SIGNED:
                return None
            if error.code != "fork":
                raise
            log.take_fork_aside(json.dumps(batch).encode(), received_ms=received_ms)
            beside += 1
    found = bytes_of(file) if file.kind == HAND_OVER else file.photo_bytes()
    photos, refused = _keep_photos(log, file.device, found)
    result = ImportResult([text("desk-import-taken", entries=stored, photos=photos), *refused])
    if beside:
        result.sentences.append(text("desk-import-forked"))
    result.visit = file.entries[-1].inspection if file.entries else ""
    return result


def take_unsigned(log: DeskLog, file: ImportFile) -> ImportResult:
    """Take in what no phone has signed, on a marked chain; a repeat changes nothing.

    Raises ApiError as the log does, FieldError for a damaged photo or checklist.
    """
    if file.checklist is not None:
        if not is_checklist(file.checklist):
            raise FieldError(message("desk-import-checklist-wrong"))
        log.put_bundle(file.checklist)
    entries = _new_entries(log, file)
    result = ImportResult(
        visit=next((entry.inspection for entry in entries if entry.inspection), "")
    )
    if entries:
        ids = frozenset(entry.id for entry in file.entries)
        begin = {"device": file.device, "seq": 0, "head": "", "why": "file", "tip": file.digest}
        log.take_aside([entry.plain(ids) for entry in entries], begin)
        result.sentences.append(text("desk-import-taken-unsigned", count=len(entries)))
    else:
        result.sentences.append(text("desk-import-all-here"))
    if file.photos:
        photos, refused = _keep_photos(log, file.device, file.photo_bytes())
        result.sentences += [text("desk-import-photos", count=photos), *refused]
    if file.seals:
        result.sentences.append(text("desk-import-signature-stays"))
    return result


def _keep_photos(
    log: DeskLog, device: str, found: Iterable[tuple[bytes, str]]
) -> tuple[int, list[str]]:
    """Keep the photos of a file; how many, and a sentence where some are none that can be kept.

    Such a one keeps back no other. Raises FieldError for a file that is damaged itself.
    """
    photos, refused = 0, []
    for data, kind in found:
        try:
            keep_photo(log.photos, data, device, kind)
        except ApiError as error:
            if error.code != "erased":  # nobody wants that one back
                if error.status not in PHOTO_REFUSALS:
                    raise
                refused.append(error.message)
                continue
        photos += 1
    if not refused:
        return photos, []
    return photos, [text("desk-import-photos-refused", count=len(refused), why=refused[0])]


def _new_entries(log: DeskLog, file: ImportFile) -> list[Entry]:
    """Entries of a file that are not here yet, on whatever chain."""
    here = {
        (event["scope"], event["put"], event["commit"])
        for scope in sorted({entry.scope for entry in file.entries})
        for event in log.events_in(scope)
    }
    return [entry for entry in file.entries if entry.mark not in here]


def keep_hand_over(
    log: DeskLog, waiting: WaitingFiles, name: str, data: BinaryIO, by: str
) -> ImportResult:
    """Check what a phone handed over, and keep it until somebody has seen what it holds.

    Raises FieldError for a file that is cut short or was changed: nothing of it is kept.
    """
    digest = waiting.keep(name, data, by)
    try:
        waiting_file(log, waiting, digest)
    except ApiError:
        waiting.drop(digest)
        raise
    return ImportResult(waits=digest)


def waiting_file(log: DeskLog, waiting: WaitingFiles, digest: str) -> ImportFile:
    """A file that waits. Raises ApiError 404, FieldError as reading it does."""
    stored = waiting.find(digest)
    if stored is None:
        raise ApiError("not_waiting", message("desk-import-not-waiting"), 404)
    file, path = stored
    with path.open("rb") as content:
        if content.read(len(BEGINS)) == BEGINS:
            return read_hand_over(file.name, path, digest, log.check)
    return parse_file(file.name, path.read_bytes())


def waiting_view(
    log: DeskLog, file: ImportFile, snapshot_of: Callable[[str], Snapshot]
) -> dict[str, Any]:
    """What an owner has to see of a waiting file before it is taken in."""
    entries = _new_entries(log, file)
    rows = []
    for visit, count in sorted(file.counts.items()):
        car = ""
        if visit:
            with suppress(UnknownVisit):
                car = car_name(snapshot_of(visit).cells)
        new = sum(entry.inspection == visit for entry in entries)
        rows.append({"visit": visit, "car": car, "count": count, "new": new})
    return {
        "file": file,
        "digest": file.digest,
        "record": file.kind == RECORD,
        "rows": rows,
        "new": len(entries),
        "first": file.entries[0].at if file.entries else "",
        "last": file.entries[-1].at if file.entries else "",
    }
