"""The terminal as a medium: what commands print can neither steer it nor fail for its encoding.

Names in a record or in a stranger's file may hold any character. Everything that a command prints
passes here, so no command has to remember it; only `drawn` passes as it is.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

from bradawl.common.display_text import for_terminal


class Harmless:
    """A stream of text to whose reader nothing can be done but to be read."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        lines = text.split("\n")
        self.drawn("\n".join(for_terminal(line) for line in lines))
        return len(text)

    def drawn(self, text: str) -> None:
        """Write what this program has made itself, colours included."""
        encoding = self._stream.encoding or "utf-8"
        self._stream.write(text.encode(encoding, "replace").decode(encoding, "replace"))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class _Errors(Harmless):
    """Where logs go too: a library that would colour its lines is told not to."""

    def isatty(self) -> bool:
        return False


@contextmanager
def harmless() -> Iterator[None]:
    """Within the block standard output and errors are `Harmless`."""
    before = sys.stdout, sys.stderr
    sys.stdout = Harmless(sys.stdout)
    sys.stderr = _Errors(sys.stderr)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def draw(text: str) -> None:
    """Print what this program has made itself, such as a code in two colours."""
    if isinstance(sys.stdout, Harmless):
        sys.stdout.drawn(f"{text}\n")
    else:
        sys.stdout.write(f"{text}\n")
