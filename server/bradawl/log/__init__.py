"""The event log and its photos: what was acknowledged is kept exactly once, for ever."""

from bradawl.log.log import Log, PulledBatch, PullResult, PushResult, VisitSummary
from bradawl.log.photo_store import FolderPhotoStore, PhotoStore, S3PhotoStore, open_photo_store

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
