"""What strangers send cannot begin a line, move a cursor, or leave a secret."""

from __future__ import annotations

import json
import logging
import secrets
import sqlite3
import unicodedata
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from sqlalchemy.exc import OperationalError

from bradawl.access.core import tokens
from bradawl.operations import note
from bradawl.operations.context import Operation, working_on
from bradawl.operations.formats import JsonLines, Readable, Short
from bradawl.operations.notes import Entry
from bradawl.operations.text import (
    LEFT_OUT,
    MAX_VALUE,
    clean,
    escaped,
    masked,
    moment,
    path_of,
    reason,
    trace,
)
from tests.operations.lines import HEAD, json_lines, logging_to, readable_lines

#: Unicode 15, table 4-4: general categories of what is not a visible character, and the marks of
#: direction (UAX #9, table 4), which are of category Cf.
INVISIBLE = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
HOSTILE = f"x\n2026-01-01T00:00:00.000Z INFO    access Signed in: who=Owner\r\x1b[2J\x9b{BIDI}\\"


def record_of(message: str, **fields: object) -> logging.LogRecord:
    record = logging.LogRecord("bradawl.x", logging.WARNING, "", 0, message, None, None)
    record.entry = Entry("refused", fields, Operation(who=message, address=message))
    return record


@given(st.text())
@example(HOSTILE)
@example("\ud800\udfff")
def test_no_text_leaves_its_line_in_any_form(text: str) -> None:
    record = record_of(text, path=text, number=3)
    for form in (Readable(), Short(), JsonLines()):
        line = form.format(record)
        assert line.isprintable()
        assert not any(unicodedata.category(c) in INVISIBLE for c in line)
        line.encode("utf-8")
    assert HEAD.match(Readable().format(record))
    whole = json.loads(JsonLines().format(record))
    assert whole["number"] == 3
    odd = any(unicodedata.category(c) == "Cs" for c in text)  # JSON joins two of them to one
    if len(text) <= MAX_VALUE and "[masked]" not in whole.get("path", "") and not odd:
        assert whole.get("path", "") == text


@given(st.text(max_size=50))
def test_an_escaped_text_can_be_told_from_any_other(text: str) -> None:
    """Escapes are Python's own (and those of the Unicode standard's notation in C, C++)."""
    shown = escaped(text)
    assert shown.isprintable()
    back = shown.encode("latin-1", "backslashreplace").decode("unicode_escape")
    assert back == text


def test_a_value_with_blanks_or_quotes_cannot_bring_fields_of_its_own() -> None:
    line = Readable().format(record_of("m", path='a" who=Owner', name="a=b", plain="word"))
    assert ' path="a\\" who=Owner" ' in line
    assert ' name="a=b" plain=word ' in line


def test_what_has_the_form_of_a_token_is_masked_and_hashes_are_not() -> None:
    for secret in (tokens.new_token(), secrets.token_urlsafe(32), tokens.new_token().upper()):
        for text in (secret, f"/r/{secret}", f"Bearer {secret}!", f"x={secret};y", f"{secret}\n"):
            assert secret[:20] not in masked(text)
            assert secret[-20:] not in masked(text)
    for harmless in ("ab" * 32, "ab" * 20, "ab" * 16, "Ada's phone", "index-B1x_2.js"):
        assert masked(harmless) == harmless


def test_a_token_that_would_be_cut_is_masked_first() -> None:
    secret = tokens.new_token()
    assert secret[:10] not in clean("x" * (MAX_VALUE - 12) + " " + secret)


@pytest.mark.parametrize("mark", ["?", "#"])
def test_a_path_ends_before_what_may_be_a_secret(mark: str) -> None:
    assert path_of(f"/desk/first{mark}code=7KQM-2XDP") == "/desk/first"


def test_a_moment_is_said_in_utc_with_milliseconds() -> None:
    """RFC 3339, section 5.6. The instant is the one of the section 5.8 examples."""
    assert moment(482_196_050.52) == "1985-04-12T23:20:50.520Z"
    assert moment(0) == "1970-01-01T00:00:00.000Z"


# Errors


def raised(error: BaseException, cause: BaseException | None = None) -> BaseException:
    try:
        if cause is not None:
            try:
                raise cause
            except type(cause) as inner:
                raise error from inner
        raise error
    except type(error) as caught:
        return caught


TOLD = "Mr. Nemo, 555-0100"


@pytest.mark.parametrize(
    "error",
    [
        ValueError(TOLD),
        KeyError(TOLD),
        AssertionError(TOLD),
        UnicodeDecodeError("utf-8", TOLD.encode(), 0, 1, TOLD),
        Exception(TOLD),
        ExceptionGroup(TOLD, [ValueError(TOLD)]),
        type("CheckFailed", (RuntimeError,), {})(TOLD),
        type("JSONDecodeError", (ValueError,), {})(TOLD),
    ],
    ids=lambda error: type(error).__name__,
)
def test_an_error_that_may_quote_a_record_is_named_and_not_quoted(error: Exception) -> None:
    for caught in (raised(error), raised(RuntimeError("outer"), error)):
        lines = trace(caught)
        assert not any(TOLD in line or "555-0100" in line for line in lines)
        assert any(type(error).__name__ in line and LEFT_OUT in line for line in lines)
        assert sum(line.startswith("Traceback ") for line in lines) >= 1
        assert any("test_text.py" in line for line in lines)


def test_an_error_of_the_program_or_the_machine_is_quoted() -> None:
    assert reason(RuntimeError("no running event loop")) == "RuntimeError: no running event loop"
    assert "No space left" in reason(OSError(28, "No space left on device"))
    inner = sqlite3.OperationalError("database or disk is full")
    said = reason(OperationalError("INSERT INTO t VALUES (?)", {"name": TOLD}, inner))
    assert "database or disk is full" in said
    assert TOLD not in said
    assert "INSERT" not in said


def test_every_line_of_a_traceback_stands_below_its_entry(tmp_path: Path) -> None:
    hostile = type("Odd\n2026-01-01T00:00:00.000Z INFO", (OSError,), {})(HOSTILE)
    with logging_to(tmp_path, json=False) as logger, working_on(Operation()) as operation:
        note(logger, "failed", level=logging.ERROR, error=raised(hostile))
    first, *below = readable_lines(tmp_path)
    assert f"request_id={operation.id}" in first
    assert below[0] == "    Traceback (most recent call last):"
    assert all(line.startswith("    ") for line in below)


def test_a_traceback_without_end_is_cut_and_ends_with_what_happened(tmp_path: Path) -> None:
    def deeper(depth: int) -> int:
        return other(depth) + 1

    def other(depth: int) -> int:
        return deeper(depth - 1) if depth else int("1" * 5000)

    with logging_to(tmp_path) as logger:
        try:
            deeper(400)
        except ValueError as error:
            note(logger, "failed", level=logging.ERROR, error=error)
    (line,) = json_lines(tmp_path)
    assert len(line["traceback"]) < 20_000
    assert line["traceback"].splitlines()[-1].startswith("ValueError")


@pytest.mark.parametrize("form", [Readable(), Short(), JsonLines()])
def test_a_library_that_formats_wrongly_loses_no_line(form: logging.Formatter) -> None:
    record = logging.LogRecord("some.library", logging.WARNING, "", 0, "%d of", ("three",), None)
    assert "%d of" in form.format(record)
