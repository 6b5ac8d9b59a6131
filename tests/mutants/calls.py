"""Which tests call which function: a pytest plugin, `-p tests.mutants.calls`.

Writes what it saw to the file that `BRADAWL_CALLS` names: {test: ["file:line", …]}, the file below
`server/` and the line of the function's `def` (or its first decorator). What runs while a module is
imported, or in another process, belongs to no test.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FrameType

import pytest

SERVER = str(Path(__file__).parents[2] / "server") + os.sep

_calls: dict[str, list[str]] = {}
_seen: set[CodeType] = set()


def _trace(frame: FrameType, _event: str, _argument: object) -> None:
    """Called for each call; answering None asks for no lines of it."""
    _seen.add(frame.f_code)


def _place(code: CodeType) -> str | None:
    if not code.co_filename.startswith(SERVER) or code.co_name == "<module>":
        return None
    return f"{code.co_filename.removeprefix(SERVER)}:{code.co_firstlineno}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    _seen.clear()
    threading.settrace(_trace)
    sys.settrace(_trace)
    try:
        return (yield)
    finally:
        sys.settrace(None)
        threading.settrace(None)  # type: ignore[arg-type]
        _calls[item.nodeid] = sorted({place for code in [*_seen] if (place := _place(code))})


def pytest_sessionfinish() -> None:
    Path(os.environ["BRADAWL_CALLS"]).write_text(json.dumps(_calls), encoding="utf-8")
