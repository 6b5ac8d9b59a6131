"""The catalogue's own text, for a page that says its words without the server."""

from __future__ import annotations

import re
from collections.abc import Collection

from . import catalogue
from .pseudo import marked_source

__all__ = ["sources"]

_ENTRY = re.compile(r"^(?=[a-z][a-z0-9-]* *=)", re.MULTILINE)
_COMMENT = re.compile(r"^#.*\n", re.MULTILINE)


def sources(
    locale: str, files: Collection[str], beginnings: Collection[str]
) -> list[tuple[str, str]]:
    """(locale, Fluent text) of a locale, and of the default one for what that lacks.

    `files` are taken whole, of all others the messages whose ids begin with one of `beginnings`.
    """
    names = [locale] if locale == catalogue.DEFAULT else [locale, catalogue.DEFAULT]
    return [(name, _source(name, files, tuple(beginnings))) for name in names]


def _source(locale: str, files: Collection[str], beginnings: tuple[str, ...]) -> str:
    is_pseudo = locale == catalogue.PSEUDO
    folder = catalogue.FOLDER / (catalogue.DEFAULT if is_pseudo else locale)
    taken: list[str] = []
    for file in sorted(folder.glob("*.ftl")):
        text = _COMMENT.sub("", file.read_text(encoding="utf-8"))
        entries = _ENTRY.split(text)
        if file.stem not in files:
            entries = [entry for entry in entries if entry.startswith(beginnings)]
        taken += [entry.strip() for entry in entries if entry.strip()]
    source = "\n".join(taken) + "\n"
    return marked_source(source) if is_pseudo else source
