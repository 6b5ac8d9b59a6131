"""Which face prints which letter: the text face, a script's own, one for symbols, or none here.

The build notes what every face has (`coverage.json`), so that no font is opened to answer.
"""

from __future__ import annotations

import functools
import json
import re
import unicodedata
from bisect import bisect_right
from collections import Counter
from pathlib import Path

from bradawl.common.resources import path_of
from bradawl.language import text

__all__ = ["NOWHERE", "TEXT", "face_of", "file_of", "is_plain", "lacking", "language_of", "letters"]

#: The text face, whichever of its cuts a style asks for.
TEXT = "text"
#: Stands for a letter that no face has; every cut has it, and it is no letter of any script.
NOWHERE = "▯"

#: Faces whose blanks and points are drawn for signs, not for words.
_SIGNS = ("Emoji", "Symbols", "Symbols2", "Math")
#: What most who write a script write with it (Unicode CLDR, likely subtags; from memory).
_LANGUAGES = {
    "Arabic": "ar", "Armenian": "hy", "Bengali": "bn", "Devanagari": "hi", "Ethiopic": "am",
    "Georgian": "ka", "Gujarati": "gu", "Gurmukhi": "pa", "Hebrew": "he", "Kannada": "kn",
    "Khmer": "km", "Lao": "lo", "Malayalam": "ml", "Myanmar": "my", "Oriya": "or", "Sinhala": "si",
    "Tamil": "ta", "Telugu": "te", "Thai": "th", "Cyrillic": "ru", "Greek": "el", "Cjk": "zh",
    "Hiragana": "ja", "Katakana": "ja", "Hangul": "ko",
}  # fmt: skip

# Joiners, variation selectors and tags choose between glyphs; they have none of their own.
_UNSEEN = re.compile("[\u00ad\u200b-\u200f\u2060-\u2064\ufe00-\ufe0f\ufeff\U000e0000-\U000e01ef]")
_EMOJI_SIGN = re.compile("[\ufe0f\u200d\u20e3]")


class _Coverage:
    """Ranges of code points with the faces that have them, as the build noted them."""

    def __init__(self, noted: dict[str, list[list[int]]]) -> None:
        self.ranges = noted
        self._starts = {face: [first for first, _ in ranges] for face, ranges in noted.items()}

    def has(self, face: str, point: int) -> bool:
        at = bisect_right(self._starts[face], point) - 1
        return at >= 0 and point <= self.ranges[face][at][1]


@functools.cache
def _coverage() -> _Coverage:
    return _Coverage(json.loads((path_of("fonts") / "coverage.json").read_text(encoding="utf-8")))


@functools.cache
def _plain() -> re.Pattern[str]:
    """Texts that need one face and one letter after the other: no marks, no joiners."""
    inside = []
    for first, last in _coverage().ranges[TEXT]:
        for point in range(first, last + 1):
            letter = chr(point)
            if unicodedata.category(letter)[0] != "M" and not _UNSEEN.match(letter):
                inside.append(re.escape(letter))
    return re.compile("[" + "".join(inside) + "]*")


def is_plain(said: str) -> bool:
    """Whether the text face has every letter, and none needs a place or direction of its own."""
    return _plain().fullmatch(said) is not None


def letters(said: str) -> str:
    """The text without what only chooses between glyphs."""
    return _UNSEEN.sub("", said)


def face_of(cluster: str, before: str = TEXT) -> str:
    """The face for one letter with its marks: `TEXT`, a face's name, or "" where there is none.

    `before` is the face of the letter before it, which is kept where it will do.
    """
    points = [ord(letter) for letter in letters(cluster)]
    if not points:
        return before
    return _face(tuple(points), before, bool(_EMOJI_SIGN.search(cluster)))


@functools.lru_cache(maxsize=8_192)
def _face(points: tuple[int, ...], before: str, emoji: bool) -> str:
    covered = _coverage()
    faces = [face for face in covered.ranges if face != TEXT]
    if emoji:
        order = ["Emoji", TEXT, *faces]
    elif chr(points[0]).isalnum():
        order = [TEXT, before, *faces]
    else:  # blanks, points and brackets go with the word before them
        order = [*([] if before in _SIGNS else [before]), TEXT, *faces]
    for face in order:
        if face in covered.ranges and all(covered.has(face, point) for point in points):
            return face
    return ""


def file_of(face: str) -> Path:
    """The file of a face that is not the text face."""
    return path_of("fonts") / f"BradawlSans-{face}.ttf"


def _script(letter: str) -> str:
    """A name for the script of a letter, such as `Arabic`; "" where it is no letter."""
    if unicodedata.category(letter)[0] not in "LM":
        return ""
    return unicodedata.name(letter, "").split(" ")[0].capitalize()


def language_of(said: str) -> str:
    """What a text in another script than Latin is most likely written in, as BCP 47; else ""."""
    if said.isascii():
        return ""
    scripts = Counter(script for letter in said if letter.isalpha() and (script := _script(letter)))
    if not scripts:
        return ""
    most, _ = scripts.most_common(1)[0]
    if most == "Cjk" and scripts.keys() & {"Hiragana", "Katakana"}:
        return "ja"  # which is written with Chinese letters between its own
    return _LANGUAGES.get(most, "")


def lacking(said: str) -> Counter[str]:
    """How many letters of each script have no face here; scripts by names that people know."""
    found: Counter[str] = Counter()
    if is_plain(said):
        return found
    covered = _coverage()
    for letter in letters(said):
        point = ord(letter)
        if any(covered.has(face, point) for face in covered.ranges):
            continue
        found[_named(letter)] += 1
    return found


def _named(letter: str) -> str:
    script = _script(letter)
    if script in ("Cjk", "Hiragana", "Katakana", "Hangul", "Bopomofo"):
        return text("report-script-cjk")
    return script or text("report-script-symbols")
