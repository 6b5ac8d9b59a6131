"""The messages of a locale's Fluent source, each parsed when it is first asked for.

A command says a dozen sentences, and parsing all 4,500 took longer than all else that it does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from fluent.runtime import FluentResource
from fluent.syntax import ast

#: Where a message or a term begins: at the margin, where no line that goes on may stand.
_BEGINS = re.compile(r"^(-?)([A-Za-z][\w-]*) *=", re.MULTILINE | re.ASCII)

Entry = ast.Message | ast.Term


class Entries(Mapping[str, Entry]):
    """By their ids the messages of a source, or with `mark` "-" its terms; of twins the first.

    One that is broken is listed, and not found.
    """

    def __init__(self, source: str, mark: str = "") -> None:
        begins = list(_BEGINS.finditer(source))
        ends = [found.start() for found in begins[1:]] + [len(source)]
        self._sources: dict[str, str] = {}
        for found, end in zip(begins, ends, strict=True):
            if found[1] == mark:
                self._sources.setdefault(found[2], source[found.start() : end])
        self._parsed: dict[str, Entry | None] = {}

    def _entry(self, name: object) -> Entry | None:
        if not isinstance(name, str) or name not in self._sources:
            return None
        if name not in self._parsed:
            body = FluentResource(self._sources[name]).body
            entries = [entry for entry in body if isinstance(entry, Entry)]
            self._parsed[name] = entries[0] if entries else None
        return self._parsed[name]

    def __contains__(self, name: object) -> bool:
        return self._entry(name) is not None

    def __getitem__(self, name: str) -> Entry:
        entry = self._entry(name)
        if entry is None:
            raise KeyError(name)
        return entry

    def __iter__(self) -> Iterator[str]:
        return iter(self._sources)

    def __len__(self) -> int:
        return len(self._sources)
