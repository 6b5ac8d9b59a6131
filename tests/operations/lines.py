"""The log as a reader has it: lines of the file, each checked for being one entry."""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from bradawl.common import settings
from bradawl.operations.recording import recording

#: RFC 3339, section 5.6, in UTC ("Z", said there in section 4.3 and 2) and with milliseconds.
TIME = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z"
HEAD = re.compile(rf"{TIME} (DEBUG  |INFO   |WARNING|ERROR  ) [\w.]+ ")


def files_of(data: Path) -> list[Path]:
    """The files of a data folder's log, the oldest first."""
    newest = data / "logs" / "bradawl.log"
    older = [path for path in newest.parent.glob(f"{newest.name}.*") if path.suffix[1:].isdigit()]
    older.sort(key=lambda path: -int(path.suffix[1:]))
    return [path for path in (*older, newest) if path.exists()]


def text_of(data: Path) -> str:
    return "".join(path.read_text(encoding="utf-8") for path in files_of(data))


def json_lines(data: Path) -> list[dict[str, Any]]:
    """Every line as the object it is."""
    lines = []
    for line in text_of(data).splitlines():
        value = json.loads(line)
        assert isinstance(value, dict)
        assert re.fullmatch(TIME, value["time"])
        assert value["level"] in ("debug", "info", "warning", "error")
        lines.append(value)
    return lines


def readable_lines(data: Path) -> list[str]:
    """Every line of the readable form: an entry, or indented below one."""
    lines = text_of(data).split("\n")
    assert lines.pop() == ""
    for line in lines:
        assert line.isprintable(), line
        assert HEAD.match(line) or line.startswith("    "), line
    return lines


@contextmanager
def logging_to(data: Path, **how: Any) -> Iterator[logging.Logger]:
    """A logger of ours, heard by the log of a data folder; `how` is of LogSettings."""
    data.mkdir(exist_ok=True)
    place = replace(settings.at(data), log=settings.LogSettings(**{"json": True, **how}))
    with recording(place, terminal=True):
        yield logging.getLogger("bradawl.tests")
