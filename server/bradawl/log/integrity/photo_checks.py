"""Whether every photo is there and whole, and whether what is shown of it was made of it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence

from bradawl.common.disk_errors import cause_of, fault
from bradawl.common.errors import ApiError
from bradawl.language import message, text
from bradawl.log.event_log import Log
from bradawl.log.integrity.faults import Finding
from bradawl.log.photos.storage import FolderPhotoStore

#: From so many on, photos that are all gone are one fault of their folder.
MANY = 20


def examine_photos(log: Log, hashes: Sequence[str]) -> Iterator[Finding]:
    """Read every photo that was acknowledged, and its copy. Nothing is changed."""
    if len(hashes) >= MANY and not log.photos.store.sizes_bytes(hashes):
        yield _all_gone(log, len(hashes))
        return
    for sha256 in hashes:
        finding = _original(log, sha256)
        if finding is not None:
            yield finding
        yield from _copy(log, sha256)


def repair_copies(log: Log, findings: Sequence[Finding]) -> int:
    """Make the copies anew that are others than were made; how many now are right."""
    made = 0
    for finding in findings:
        if finding.code == "served_altered":
            try:
                made += log.photos.remake(finding.photo)
            except ApiError:
                continue  # the photo cannot be shown at all, and then its copy is not either
    return made


def _original(log: Log, sha256: str) -> Finding | None:
    named = {"photo": sha256[:12], "file": f"original/{sha256[:2]}/{sha256}"}
    try:
        data = log.photos.store.read(sha256, "original")
    except OSError as error:
        return _unreadable(log, sha256, error)
    if data is None:
        return Finding(
            "photo_missing",
            message("server-fault-photo-gone", photo=named["photo"]),
            message("server-remedy-photo-gone", file=named["file"]),
            sha256,
        )
    if hashlib.sha256(data).hexdigest() != sha256:
        return Finding(
            "photo_altered",
            message("server-fault-photo-changed", photo=named["photo"]),
            message("server-remedy-photo-changed", file=named["file"]),
            sha256,
        )
    return None


def _unreadable(log: Log, sha256: str, error: OSError) -> Finding:
    """A photo that may be whole, where something else stands in the way of reading it."""
    store = log.photos.store
    why = str(error.strerror or error)
    what = message("server-fault-photo-unreadable", photo=sha256[:12], why=why)
    cause = cause_of(error)
    if cause is None or not isinstance(store, FolderPhotoStore):
        return Finding("photo_unreadable", what, message("server-remedy-store"))
    faults = fault(cause, store.path_of(sha256, "original"))
    return Finding("photo_unreadable", what, faults.remedy)


def _copy(log: Log, sha256: str) -> Iterator[Finding]:
    try:
        another = log.photos.copy_is_another(sha256)
    except OSError:
        return  # said of the original, as a rule; a copy can always be made again
    if another:
        yield Finding(
            "served_altered",
            message("server-fault-photo-copy", photo=sha256[:12]),
            message("server-remedy-photo-copy"),
            sha256,
        )


def _all_gone(log: Log, count: int) -> Finding:
    store = log.photos.store
    place = str(store.root) if isinstance(store, FolderPhotoStore) else text("server-photo-store")
    return Finding(
        "photos_gone",
        message("server-fault-photos-gone", place=place, count=count),
        message("server-remedy-photos-gone"),
    )
