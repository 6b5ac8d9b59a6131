"""Which face prints which letter: the text face, a script's own, one for symbols, or none here.

The build notes what every face has (`coverage.json`), so that no font is opened to answer. Chinese,
Japanese and Korean come from packages of the system, where they are installed.
"""

from __future__ import annotations

import functools
import json
import re
import unicodedata
from bisect import bisect_right
from collections import Counter
from pathlib import Path
from typing import NamedTuple

from bradawl.common.resources import path_of
from bradawl.language import text

__all__ = ["NOWHERE", "TEXT", "face_of", "file_of", "is_plain", "lacking", "language_of", "letters"]


class Installable(NamedTuple):
    """A face that may be installed: its file, the package that has it, the message that names its
    scripts, and the blocks it is asked for.
    """

    file: Path
    package: str
    scripts: str
    blocks: tuple[tuple[int, int], ...]

    def ranges(self) -> list[list[int]]:
        """The code points that it has, as ranges; the file is opened."""
        import uharfbuzz

        face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(self.file)))
        found: list[list[int]] = []
        for point in sorted(face.unicodes):
            if not any(first <= point <= last for first, last in self.blocks):
                continue
            if found and found[-1][1] == point - 1:
                found[-1][1] = point
            else:
                found.append([point, point])
        return found


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

#: Faces that do not travel along, some megabytes each: where Debian's packages put them. TrueType,
#: since a report embeds no other outlines. Each is asked for these blocks alone (Unicode 15).
_INSTALLED = {
    "Cjk": Installable(
        Path("/usr/share/fonts/truetype/droid/DroidSansFallbackFull.ttf"),
        "fonts-droid-fallback",
        "report-script-han",
        ((0x2E80, 0x312F), (0x3190, 0x9FFF), (0xF900, 0xFAFF), (0xFE30, 0xFE4F), (0xFF00, 0xFF9F),
         (0xFFE0, 0xFFE6), (0x20000, 0x323AF)),
    ),
    "Hangul": Installable(
        Path("/usr/share/fonts/truetype/nanum/NanumGothic.ttf"),
        "fonts-nanum",
        "report-script-hangul",
        ((0x1100, 0x11FF), (0x3130, 0x318F), (0xA960, 0xA97F), (0xAC00, 0xD7FF), (0xFFA0, 0xFFDC)),
    ),
}  # fmt: skip

#: What may be a letter of another script than Latin: neither Latin's own nor a sign.
_OTHER_LETTERS = re.compile("[^\x00-\u024f\u2000-\u2bff]")

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
    noted = json.loads((path_of("fonts") / "coverage.json").read_text(encoding="utf-8"))
    here = {name: face.ranges() for name, face in _INSTALLED.items() if face.file.is_file()}
    return _Coverage({**noted, **here})


def not_installed() -> list[Installable]:
    """The faces for whole scripts that this machine has not."""
    return [face for face in _INSTALLED.values() if not face.file.is_file()]


def installed_for(said: str) -> list[Path]:
    """The files that a text needs beside what travels along, of those that are here."""
    if said.isascii():
        return []
    covered = _coverage()
    points = {ord(letter) for letter in set(said) if not letter.isascii()}
    return [
        face.file
        for name, face in _INSTALLED.items()
        if name in covered.ranges and any(covered.has(name, point) for point in points)
    ]


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
    if face in _INSTALLED:
        return _INSTALLED[face].file
    return path_of("fonts") / f"BradawlSans-{face}.ttf"


def _script(letter: str) -> str:
    """A name for the script of a letter, such as `Arabic`; "" where it is no letter."""
    if unicodedata.category(letter)[0] not in "LM":
        return ""
    return unicodedata.name(letter, "").split(" ")[0].capitalize()


def language_of(said: str) -> str:
    """What a text in another script than Latin is most likely written in, as BCP 47; else ""."""
    if not _OTHER_LETTERS.search(said):
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
