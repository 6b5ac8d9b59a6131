"""Keeps the ids of messages that a released version had: none may come to mean something else.

`python -m web.tools.published --release` adds the catalogue as it is, once for each released
version, and notes what is gone since. `--check` (part of `make check`) refuses an id that wants
other arguments than it was published with, and one that comes back with other words after a
version without it: an app or a record of that time still says it. Nothing published, nothing
refused.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TypedDict

from fluent.syntax import FluentParser, FluentSerializer, ast

from web.tools.messages import LOCALE, arguments

LIST = Path(__file__).with_name("published.json")


class Published(TypedDict):
    """What an id was published with: digests of its arguments' names and of its English words."""

    arguments: str
    words: str
    gone: bool


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def catalogue(folder: Path = LOCALE) -> dict[str, Published]:
    """Every message of the English catalogue as a release publishes it."""
    found: dict[str, Published] = {}
    serializer = FluentSerializer()
    for path in sorted(folder.glob("*.ftl")):
        for entry in FluentParser().parse(path.read_text(encoding="utf-8")).body:
            if isinstance(entry, ast.Message):
                bare = ast.Message(entry.id, entry.value)  # without its comment
                found[entry.id.name] = {
                    "arguments": _digest(" ".join(arguments(entry))),
                    "words": _digest(serializer.serialize_entry(bare)),
                    "gone": False,
                }
    return found


def released(before: dict[str, Published], now: dict[str, Published]) -> dict[str, Published]:
    """The list after a release: what it has, and what earlier ones had, marked as gone."""
    gone = {name: {**row, "gone": True} for name, row in before.items() if name not in now}
    return {**gone, **now}  # type: ignore[dict-item]


def reused(before: dict[str, Published], now: dict[str, Published]) -> Iterator[str]:
    """A sentence for each published id that is used for something else."""
    for name, row in sorted(before.items()):
        if name not in now:
            continue
        if now[name]["arguments"] != row["arguments"]:
            yield f"{name} was published with other arguments: give what it says now a new id"
        elif row["gone"] and now[name]["words"] != row["words"]:
            yield f"{name} was published, removed, and says something else now: give it a new id"


def main(given: list[str]) -> int:
    before: dict[str, Published] = {}
    if LIST.exists():
        before = json.loads(LIST.read_text(encoding="utf-8"))
    now = catalogue()
    wrong = list(reused(before, now))
    sys.stdout.write("".join(f"{sentence}.\n" for sentence in wrong))
    if "--release" in given and not wrong:
        rows = ",\n".join(
            f" {json.dumps(name)}: {json.dumps(row)}"
            for name, row in sorted(released(before, now).items())
        )
        LIST.write_text(f"{{\n{rows}\n}}\n", encoding="utf-8")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
