"""What to look at, and what is allowed: the checklist files, read, judged and bundled."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.common.lazy_imports import deferred

if TYPE_CHECKING:
    from bradawl.checklists.bundling import bundle
    from bradawl.checklists.files import Checklist, ChecklistError, Fault
    from bradawl.checklists.loader import load

__all__ = ["Checklist", "ChecklistError", "Fault", "bundle", "load"]

__getattr__ = deferred(
    __name__,
    {
        "bundling": ("bundle",),
        "files": ("Checklist", "ChecklistError", "Fault"),
        "loader": ("load",),
    },
)
