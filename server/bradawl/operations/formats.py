"""Formats a log line three ways: for a reader of the file, for a program, for a terminal."""

from __future__ import annotations

import json
import logging
from typing import Any

from bradawl.operations import text
from bradawl.operations.context import current
from bradawl.operations.notes import Entry

#: The first line of a traceback stands behind this, so no line of it looks like an entry.
INDENT = "    "


def entry_of(record: logging.LogRecord) -> Entry:
    """What a record carries; of a library's own record, who it happened for."""
    entry = getattr(record, "entry", None)
    return entry if isinstance(entry, Entry) else Entry(record.name, {}, current())


def message_of(record: logging.LogRecord) -> str:
    """A record's message; a library's wrong format string must not lose the line."""
    try:
        return record.getMessage()
    except Exception:
        return str(record.msg)


def _trace(record: logging.LogRecord) -> list[str]:
    error = record.exc_info[1] if record.exc_info else None
    return text.trace(error) if error is not None else []


def _plain(value: Any) -> Any:
    """A value of a field as JSON has it; text masked and shortened."""
    if value is None or isinstance(value, bool | int | float):
        return value
    return text.shortened(text.masked(str(value)))


class JsonLines(logging.Formatter):
    """One JSON object a line, ASCII only, so that every odd character stands escaped."""

    def format(self, record: logging.LogRecord) -> str:
        entry = entry_of(record)
        value: dict[str, Any] = {
            "time": text.moment(record.created),
            "level": record.levelname.lower(),
            "event": entry.event,
            "message": text.shortened(text.masked(message_of(record)), text.MAX_MESSAGE),
        }
        for name, field in entry.everything().items():
            value.setdefault(name, _plain(field))
        if trace := _trace(record):
            value["traceback"] = "\n".join(trace)
        return json.dumps(value)


class Readable(logging.Formatter):
    """`TIME LEVEL event Message: name=value …`, a traceback indented below."""

    def format(self, record: logging.LogRecord) -> str:
        entry = entry_of(record)
        message = text.clean(message_of(record), text.MAX_MESSAGE)
        fields = "".join(f" {k}={_quoted(v)}" for k, v in entry.everything().items())
        head = f"{text.moment(record.created)} {record.levelname:<7} {entry.event} {message}"
        return "\n".join(
            [head + (f":{fields}" if fields else ""), *(INDENT + line for line in _trace(record))]
        )


class Short(logging.Formatter):
    """`TIME Message: name=value … (who)`: no date, no traceback, ids only where they help."""

    def format(self, record: logging.LogRecord) -> str:
        entry = entry_of(record)
        fields = {name: value for name, value in entry.fields.items() if value != ""}
        operation = entry.operation
        who = fields.pop("who", operation.who if operation is not None else "")
        if record.levelno >= logging.WARNING and operation is not None:
            fields |= {"request_id": operation.id}
            if operation.address:
                fields["address"] = operation.address
        parts = [text.moment(record.created)[11:19] + "Z"]
        if record.levelno >= logging.WARNING:
            parts.append(record.levelname)
        parts.append(text.clean(message_of(record), text.MAX_MESSAGE))
        details = "".join(f" {k}={_quoted(v)}" for k, v in fields.items())
        error = record.exc_info[1] if record.exc_info else None
        reason = f" {text.clean(text.reason(error))}" if error is not None else ""
        after = f" ({text.clean(who)})" if who else ""
        return " ".join(parts) + (f":{details}" if details else "") + reason + after


def _quoted(value: Any) -> str:
    """A field's value: bare where it is one word, else in quotation marks."""
    plain = _plain(value)
    if not isinstance(plain, str):
        return json.dumps(plain)
    word = text.escaped(plain)
    if word and not any(c in ' "=' for c in word):
        return word
    return '"' + word.replace('"', '\\"') + '"'
