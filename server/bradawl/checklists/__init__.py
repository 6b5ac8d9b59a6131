"""What to look at, and what is allowed: the checklist files, read, judged and bundled."""

from bradawl.checklists.bundle import bundle
from bradawl.checklists.loader import Checklist, ChecklistError, Fault, load

__all__ = ["Checklist", "ChecklistError", "Fault", "bundle", "load"]
