"""Reads PDF values strictly (ISO 32000-1, 7.3): whatever two programs could read differently is an
error.

Values become plain Python: dict, list, bytes (strings), int, Decimal, bool, None, and the classes
below. A dictionary with a key twice, a hexadecimal string of other characters, an unknown word:
SyntaxFault.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

__all__ = ["Name", "Reference", "Stream", "SyntaxFault", "value_at"]

_DEEPEST = 64
_BLANK = re.compile(rb"(?:[\0\t\n\f\r ]|%[^\r\n]*)*")
_WORD = re.compile(rb"[^\0\t\n\f\r ()<>\[\]{}/%]*")
_HEX = re.compile(rb"<([0-9A-Fa-f\t\n\f\r ]*)>")
_REFERENCE = re.compile(
    rb"(\d{1,10})[\0\t\n\f\r ]+(\d{1,5})[\0\t\n\f\r ]+R(?![^\0\t\n\f\r ()<>\[\]{}/%])"
)
_INTEGER = re.compile(rb"[+-]?\d{1,18}\Z")
_REAL = re.compile(rb"[+-]?(?:\d{1,18}\.\d{0,18}|\.\d{1,18})\Z")
_WORDS = {b"true": True, b"false": False, b"null": None}
_ESCAPED = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


class SyntaxFault(ValueError):
    """What stands there is not what a strict reader takes."""


class Name(str):
    """A name, without its slash."""

    __slots__ = ()


@dataclass(frozen=True)
class Reference:
    """A reference to an object."""

    number: int
    generation: int


@dataclass(frozen=True)
class Stream:
    """A stream's dictionary, and where its bytes begin in the file."""

    dictionary: dict[str, Any]
    begin: int


def skip_blanks(data: bytes, at: int) -> int:
    """The place of the next character that is neither blank nor in a comment."""
    found = _BLANK.match(data, at)
    return found.end() if found else at


def value_at(data: bytes, at: int, depth: int = 0) -> tuple[Any, int]:
    """The value that begins at or after `at`, and the place behind it. Raises SyntaxFault."""
    if depth > _DEEPEST:
        raise SyntaxFault("nested too deeply")
    at = skip_blanks(data, at)
    first = data[at : at + 1]
    if first == b"/":
        return _name(data, at)
    if first == b"(":
        return _literal(data, at)
    if data[at : at + 2] == b"<<":
        return _dictionary(data, at + 2, depth)
    if first == b"<":
        return _hexadecimal(data, at)
    if first == b"[":
        return _array(data, at + 1, depth)
    reference = _REFERENCE.match(data, at)
    if reference:
        if int(reference[2]):
            raise SyntaxFault("a reference to another generation")
        return Reference(int(reference[1]), int(reference[2])), reference.end()
    return _word(data, at)


def _name(data: bytes, at: int) -> tuple[Name, int]:
    found = _WORD.match(data, at + 1)
    raw = found[0] if found else b""
    plain = re.sub(rb"#([0-9A-Fa-f]{2})", lambda two: bytes([int(two[1], 16)]), raw)
    return Name(plain.decode("latin-1")), at + 1 + len(raw)


def _word(data: bytes, at: int) -> tuple[Any, int]:
    found = _WORD.match(data, at)
    word = found[0] if found else b""
    end = at + len(word)
    if word in _WORDS:
        return _WORDS[word], end
    if _INTEGER.match(word):
        return int(word), end
    if _REAL.match(word):
        return Decimal(word.decode()), end
    raise SyntaxFault(f"an unknown word at {at}")


def _hexadecimal(data: bytes, at: int) -> tuple[bytes, int]:
    found = _HEX.match(data, at)
    if found is None:
        raise SyntaxFault(f"a broken string at {at}")
    digits = b"".join(found[1].split())
    return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode()), found.end()


def _literal(data: bytes, at: int) -> tuple[bytes, int]:
    out = bytearray()
    depth, here = 1, at + 1
    while here < len(data):
        one = data[here : here + 1]
        here += 1
        if one == b"(":
            depth += 1
        elif one == b")":
            depth -= 1
            if not depth:
                return bytes(out), here
        elif one == b"\\":
            said, here = _escape(data, here)
            out += said
            continue
        out += one
    raise SyntaxFault(f"a string without an end at {at}")


def _escape(data: bytes, at: int) -> tuple[bytes, int]:
    octal = re.compile(rb"[0-7]{1,3}").match(data, at)
    if octal:
        return bytes([int(octal[0], 8) & 255]), octal.end()
    if data[at : at + 2] == b"\r\n":
        return b"", at + 2
    one = data[at : at + 1]
    if one in (b"\n", b"\r"):
        return b"", at + 1
    return _ESCAPED.get(one, one), at + 1


def _array(data: bytes, at: int, depth: int) -> tuple[list[Any], int]:
    out: list[Any] = []
    while True:
        at = skip_blanks(data, at)
        if data[at : at + 1] == b"]":
            return out, at + 1
        value, at = value_at(data, at, depth + 1)
        out.append(value)


def _dictionary(data: bytes, at: int, depth: int) -> tuple[dict[str, Any], int]:
    out: dict[str, Any] = {}
    while True:
        at = skip_blanks(data, at)
        if data[at : at + 2] == b">>":
            return out, at + 2
        if data[at : at + 1] != b"/":
            raise SyntaxFault(f"no key at {at}")
        key, at = _name(data, at)
        if key in out:
            raise SyntaxFault(f"the key {key} twice")
        out[key], at = value_at(data, at, depth + 1)
