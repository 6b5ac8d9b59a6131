"""Text handled alike by both engines, which know different blanks and different capitals.

`strip()`, `split()`, `upper()` and `lower()` without arguments follow Unicode in one engine and
ASCII in the other; these follow ASCII and the blanks that phones really type.
"""

from __future__ import annotations

_BLANKS = "\t\n\r\x0b\x0c\u00a0\u2007\u2009\u202f"
_SMALL = "abcdefghijklmnopqrstuvwxyz"
_LARGE = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
DIGITS = "0123456789"


def trimmed(text: str) -> str:
    """Without blanks before and after; every kind of blank inside is a plain one."""
    for letter in text:
        if letter in _BLANKS:
            text = text.replace(letter, " ")
    return text.strip(" ")


def fields(text: str) -> list[str]:
    """The pieces between blanks."""
    return [piece for piece in trimmed(text).split(" ") if piece]


def upper(text: str) -> str:
    """ASCII letters large; the rest stays."""
    return "".join([_LARGE[_SMALL.find(c)] if c in _SMALL else c for c in text])


def lower(text: str) -> str:
    """ASCII letters small; the rest stays."""
    return "".join([_SMALL[_LARGE.find(c)] if c in _LARGE else c for c in text])


def all_digits(text: str) -> bool:
    """Whether it is one or more of 0 to 9 and nothing else."""
    for letter in text:
        if letter not in DIGITS:
            return False
    return text != ""
