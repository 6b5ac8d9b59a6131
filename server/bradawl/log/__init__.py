"""The event log and its photos: what was acknowledged is kept exactly once, for ever."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.common.lazy_imports import deferred

if TYPE_CHECKING:
    from bradawl.log.chains.scopes import VisitSummary
    from bradawl.log.event_log import Log
    from bradawl.log.photos.storage import (
        FolderPhotoStore,
        PhotoStore,
        S3PhotoStore,
        open_photo_store,
    )
    from bradawl.log.sync.intake import PushResult
    from bradawl.log.sync.pulls import PulledBatch, PullResult

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
        "sync.intake": ("PushResult",),
        "event_log": ("Log",),
        "photos.storage": ("FolderPhotoStore", "PhotoStore", "S3PhotoStore", "open_photo_store"),
        "sync.pulls": ("PulledBatch", "PullResult"),
        "chains.scopes": ("VisitSummary",),
    },
)
