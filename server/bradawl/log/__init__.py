"""The event log and its photos: what was acknowledged is kept exactly once, for ever."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.deferred import deferred

if TYPE_CHECKING:
    from bradawl.log.intake import PushResult
    from bradawl.log.log import Log
    from bradawl.log.photo_store import FolderPhotoStore, PhotoStore, S3PhotoStore, open_photo_store
    from bradawl.log.pulls import PulledBatch, PullResult
    from bradawl.log.visits import VisitSummary

__all__ = [
    "FolderPhotoStore",
    "Log",
    "PhotoStore",
    "PullResult",
    "PulledBatch",
    "PushResult",
    "S3PhotoStore",
    "VisitSummary",
    "open_photo_store",
]

__getattr__ = deferred(
    __name__,
    {
        "intake": ("PushResult",),
        "log": ("Log",),
        "photo_store": ("FolderPhotoStore", "PhotoStore", "S3PhotoStore", "open_photo_store"),
        "pulls": ("PulledBatch", "PullResult"),
        "visits": ("VisitSummary",),
    },
)
