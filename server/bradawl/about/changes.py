"""What is new, version by version: `changes.md`, in sections."""

from __future__ import annotations

import re
from pathlib import Path

__all__ = ["changes_in"]

_FILE = Path(__file__).parent / "changes.md"


def changes_in(version: str) -> list[str]:
    """What is new in a version, a sentence or two each; empty where nothing was noted."""
    sections = re.split(r"^## ", _FILE.read_text(encoding="utf-8"), flags=re.MULTILINE)
    for section in sections[1:]:
        title, _, text = section.partition("\n")
        if title.split(",")[0].strip() == version:
            return [" ".join(item.split()) for item in re.split(r"^- ", text, flags=re.M)[1:]]
    return []
