"""Whether every photo is there and whole, and whether what is shown of it was made of it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from pathlib import Path

from bradawl.common.disk_errors import cause_of, fault
from bradawl.common.errors import ApiError
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
    place = f"Photo {sha256[:12]}…"
    file = f"original/{sha256[:2]}/{sha256} of the photo store"
    try:
        data = log.photos.store.read(sha256, "original")
    except OSError as error:
        return _unreadable(log, sha256, error)
    if data is None:
        return Finding(
            "photo_missing",
            f"{place} was acknowledged and its file is gone.",
            f"Put {file} back from a backup, or start the server anew: a phone that still holds "
            "the photo then sends it again.",
            sha256,
        )
    if hashlib.sha256(data).hexdigest() != sha256:
        return Finding(
            "photo_altered",
            f"{place} was changed after it was taken in.",
            f"Put {file} back from a backup. Without one, run “bradawl doctor --ask-again” and "
            "start the server anew: a phone that still holds the photo sends it again.",
            sha256,
        )
    return None


def _unreadable(log: Log, sha256: str, error: OSError) -> Finding:
    """A photo that may be whole, where something else stands in the way of reading it."""
    store = log.photos.store
    what = f"Photo {sha256[:12]}… cannot be read: {error.strerror or error}."
    cause = cause_of(error)
    if cause is None or not isinstance(store, FolderPhotoStore):
        return Finding(
            "photo_unreadable", what, "See whether the photo store can be reached, then try again."
        )
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
            f"What is kept to be shown of photo {sha256[:12]}… is not what was made of it. It is "
            "not shown: it is made again when somebody looks at it.",
            "“bradawl doctor --repair” makes it again from the photo now.",
            sha256,
        )


def _all_gone(log: Log, count: int) -> Finding:
    store = log.photos.store
    place: Path | str = store.root if isinstance(store, FolderPhotoStore) else "The photo store"
    return Finding(
        "photos_gone",
        f"{place} holds none of the {count} photos that were acknowledged.",
        "See whether its disk is mounted and whether BRADAWL_PHOTO_STORE names the right place. "
        "If they are lost, restore the latest backup, or start the server anew: phones then send "
        "again what they still hold.",
    )
