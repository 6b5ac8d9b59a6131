"""The desk's own tables (symptoms, order of work) in the reader's language.

They are no part of a bundle: a visit keeps none of them. Their translations stand with the
checklist's, in `checklists/locales`, by id and by the digest of the English text.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

from bradawl.language import current
from bradawl.language.checklist_texts import WRITTEN_IN, Says, saying

#: What an id of these tables begins with.
KINDS = ("symptoms/", "order/")


def says(checklists: Path) -> Says:
    """How a text of the tables below a folder of checklists is said to the current reader."""
    locale = current().locale
    if locale == WRITTEN_IN:
        return lambda _name, english: english
    paths = sorted((checklists / "locales" / locale).glob("*.yaml"))
    return _read(locale, tuple((path, path.stat().st_mtime_ns) for path in paths))


@lru_cache(maxsize=8)
def _read(locale: str, files: tuple[tuple[Path, int], ...]) -> Says:
    import yaml

    overlay: dict[str, dict[str, str]] = {}
    for path, _changed_ns in files:
        raw: Any = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        texts = raw.get("texts") if isinstance(raw, dict) else None
        for name, row in (texts if isinstance(texts, dict) else {}).items():
            if name.startswith(KINDS) and {"of", "text"} <= set(row):
                overlay[name] = row
    return saying(overlay, locale)
