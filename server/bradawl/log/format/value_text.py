"""A value as it is recorded: canonical JSON as a text, and the commitment that stands for it."""

from __future__ import annotations

import base64
import hashlib
import re
import secrets
from typing import Any

import msgspec

from bradawl.judge import CanonicalError, canonical
from bradawl.language import message

MAX_NESTING = 16
INTEGER_LIMIT = 2**53

_decode = msgspec.json.Decoder().decode
# "deterministic" sorts the keys of objects; with ASCII keys, no floats and integers below 2**53
# the output is RFC 8785 (tests/log/format/test_events.py holds it against the rfc8785 package).
_encode = msgspec.json.Encoder(order="deterministic").encode
_ESCAPE = re.compile(r"\\(?:u(d[89a-f][0-9a-f]{2})|.)", re.DOTALL)
# the last character of base64url carries what is left of the last byte, and zero bits
_SALT = re.compile(r"[A-Za-z0-9_-]{21}[AQgw]", re.ASCII).fullmatch
_COMMIT = re.compile(r"[A-Za-z0-9_-]{42}[AEIMQUYcgkosw048]", re.ASCII).fullmatch


class ValueFaultError(ValueError):
    """A text that is no recorded value.

    `code`: json, float, integer, key, nesting or canonical; those of CanonicalError for a value.
    """

    def __init__(self, code: str, why: str = "") -> None:
        super().__init__(message("server-value-" + code, why=why, most=str(MAX_NESTING)))
        self.code = code


def is_salt(text: str) -> bool:
    """Whether `text` is 16 bytes in base64url."""
    return _SALT(text) is not None


def is_commit(text: str) -> bool:
    """Whether `text` is a SHA-256 in base64url."""
    return _COMMIT(text) is not None


def new_salt() -> str:
    """16 random bytes in base64url."""
    return base64.urlsafe_b64encode(secrets.token_bytes(16)).rstrip(b"=").decode()


def commit_to(salt: str, text: str) -> str:
    """The commitment to a value's text: base64url(SHA-256(salt ‖ text))."""
    digest = hashlib.sha256(base64.urlsafe_b64decode(salt + "==") + text.encode())
    return base64.urlsafe_b64encode(digest.digest()).rstrip(b"=").decode()


def text_of(value: Any) -> str:
    """The text of a value that this program records. Raises ValueFaultError."""
    try:
        return canonical(_well_formed(value))
    except CanonicalError as error:
        raise ValueFaultError(error.code) from error


def _well_formed(value: Any) -> Any:
    if isinstance(value, str):
        return "".join("\ufffd" if "\ud7ff" < letter < "\ue000" else letter for letter in value)
    if isinstance(value, dict):
        return {key: _well_formed(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [_well_formed(entry) for entry in value]
    return value


def value_of(text: str) -> Any:
    """The value behind a recorded text, lone surrogates as U+FFFD. Raises ValueFaultError."""
    return _parse(_shown(text) if "\\ud" in text else text)


def _parse(text: str) -> Any:
    try:
        return _decode(text)
    except RecursionError as error:
        raise _too_deep() from error
    except (msgspec.MsgspecError, UnicodeError) as error:
        raise ValueFaultError("json", str(error)) from error


def _too_deep() -> ValueFaultError:
    return ValueFaultError("nesting")


def _not_canonical() -> ValueFaultError:
    return ValueFaultError("canonical")


def _shown(text: str) -> str:
    """The text with the escapes of lone surrogates as U+FFFD."""
    previous = -1  # where a high surrogate ended

    def shown(match: re.Match[str]) -> str:
        nonlocal previous
        code = match[1]
        if code is None:
            return match[0]
        if code >= "dc00" and previous == match.start():
            raise _not_canonical()  # a whole character is written as it is
        previous = match.end() if code < "dc00" else -1
        return "\ufffd"

    return _ESCAPE.sub(shown, text)


def check(text: str) -> None:
    """Refuse a text that no event may hold. Raises ValueFaultError."""
    shown = _shown(text) if "\\ud" in text else text
    value = _parse(shown)
    if type(value) is not str:
        _check(value)
    if _encode(value) != shown.encode():
        raise _not_canonical()


def _check(value: Any, depth: int = 0) -> None:
    if value is None or isinstance(value, bool | str):
        return
    if isinstance(value, float):
        raise ValueFaultError("float")
    if isinstance(value, int):
        if not -INTEGER_LIMIT < value < INTEGER_LIMIT:
            raise ValueFaultError("integer")
        return
    if depth >= MAX_NESTING:
        raise _too_deep()
    # most values are an object of one or two texts: those are passed without another call
    if isinstance(value, list):
        for entry in value:
            if type(entry) is not str:
                _check(entry, depth + 1)
        return
    assert isinstance(value, dict)  # msgspec makes nothing else of JSON
    for key, entry in value.items():
        if not key.isascii():
            raise ValueFaultError("key")
        if type(entry) is not str:
            _check(entry, depth + 1)
