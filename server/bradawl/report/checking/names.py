"""Tells whether a signer's name could be taken for another: letters that look alike, blanks, case.

The pairs of letters are those of the Unicode Consortium's confusables (UTS 39, section 4), as the
library `confusable_homoglyphs` carries them.
"""

from __future__ import annotations

import functools
import unicodedata
from typing import Literal

__all__ = ["Likeness", "hides_characters", "likeness", "look_alikes", "skeleton"]

Likeness = Literal["", "same", "near"]
_SHORTEST = 6  # letters of a name that counts where it stands inside another


def likeness(claimed: str, known: str) -> Likeness:
    """Whether `claimed` could be read as `known`.

    "same": nobody can tell them apart, or only by blanks, case and accents; "near": one letter
    more, less or other, or one name inside the other.
    """
    one, other = skeleton(claimed), skeleton(known)
    if not one or not other:
        return ""
    # a great I looks like a small l, and is a small i to whoever reads past the case
    if one == other or skeleton(claimed.casefold()) == skeleton(known.casefold()):
        return "same"
    inside = min(len(one), len(other)) >= _SHORTEST and (one in other or other in one)
    return "near" if inside or _one_apart(one, other) else ""


def hides_characters(name: str) -> bool:
    """Whether a name holds characters that nobody sees: controls, joiners, marks of direction."""
    return any(
        unicodedata.category(character)[0] == "C"
        or unicodedata.category(character) in ("Zl", "Zp")
        or character in _BLANK
        for character in name
    )


@functools.lru_cache(1000)
def skeleton(name: str) -> str:
    """What is left of a name for the eye: equal for names that look alike in their case."""
    alike = _spelled_alike(unicodedata.normalize("NFKC", name))
    # once more, since the small letter of a prototype may have another look than the great one
    alike = _spelled_alike(unicodedata.normalize("NFKD", alike.casefold()))
    return "".join(letter for letter in alike if letter.isalnum() and letter not in _BLANK)


def look_alikes() -> dict[str, str]:
    """Letters that look like one of ASCII's, and which: for the check page, which has no table."""
    return {one: other for one, other in _prototypes().items() if other.isascii() and one != other}


def _spelled_alike(letters: str) -> str:
    return "".join(_prototypes().get(letter, letter) for letter in letters)


def _one_apart(one: str, other: str) -> bool:
    """Whether one letter more, less or other, or two exchanged, makes one name of the other."""
    if len(one) > len(other):
        one, other = other, one
    if len(other) - len(one) > 1 or len(one) < _SHORTEST:
        return False
    begin = next(
        (at for at, pair in enumerate(zip(one, other, strict=False)) if pair[0] != pair[1]),
        len(one),
    )
    rest, others = one[begin:], other[begin:]
    if len(one) < len(other):
        return rest == others[1:]
    return rest[1:] == others[1:] or (rest[:2] == others[:2][::-1] and rest[2:] == others[2:])


# Letters and symbols that are blank although Unicode does not call them space or control.
_BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0") | frozenset(
    chr(point)
    for point in (*range(0x180B, 0x1810), *range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0))
)


@functools.cache
def _prototypes() -> dict[str, str]:
    """What to write in place of a letter: the same for all that look alike, in any case."""
    from confusable_homoglyphs.confusables import (  # type: ignore[import-untyped]
        confusables_data,
    )

    parent: dict[str, str] = {}

    def root(letter: str) -> str:
        while parent.setdefault(letter, letter) != letter:
            letter = parent[letter]
        return letter

    several: dict[str, str] = {}
    for letter, others in confusables_data.items():
        for other in (str(row["c"]) for row in others):
            if len(letter) == len(other) == 1:
                parent[root(letter)] = root(other)
            elif len(letter) == 1 and other.isascii():
                several.setdefault(letter, other)
    members: dict[str, list[str]] = {}
    for letter in parent:
        members.setdefault(root(letter), []).append(letter)
    alike = {
        letter: min(
            group, key=lambda one: (not one.isascii(), not one.isalpha(), one.isupper(), one)
        )
        for group in members.values()
        for letter in group
    }
    for letter, spelled in several.items():
        alike[letter] = "".join(alike.get(one, one) for one in spelled)
    return alike
