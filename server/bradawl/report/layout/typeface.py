"""Registers the report's fonts, and makes texts ready for them.

Everything that a person typed goes through `PrintableText`: it composes accents, drops invisible
characters, replaces what the fonts lack by a sentence (never by empty boxes), and escapes
markup. Nothing else may hand recorded text to reportlab.
"""

from __future__ import annotations

import functools
import re
import threading
import unicodedata
from html import escape

from bradawl.common.display_text import without_piles
from bradawl.common.resources import path_of
from bradawl.inspection.cell_values import words
from bradawl.language import text

__all__ = [
    "BOLD",
    "ITALIC",
    "LONGEST",
    "NARROW",
    "NARROW_BOLD",
    "SANS",
    "PrintableText",
    "gap_text",
    "register",
]

#: The cuts of the one family: Noto Sans with the symbols of its siblings (`server/build_fonts.py`).
#: All have figures of one width. The narrow ones are for tables and captions.
SANS = "BradawlSans-Regular"
BOLD = "BradawlSans-Bold"
ITALIC = "BradawlSans-Italic"
NARROW = "BradawlSans-Narrow"
NARROW_BOLD = "BradawlSans-NarrowBold"
_CUTS = (SANS, BOLD, ITALIC, NARROW, NARROW_BOLD)
_lock = threading.Lock()


@functools.cache
def _registered() -> frozenset[int]:
    from reportlab import rl_config

    # Binary streams in the PDF (the text form is four times slower and a quarter larger), no
    # unembedded base font, and no address in a record that reportlab would open by itself.
    rl_config.useA85 = 0
    rl_config.canvas_basefontname = SANS
    rl_config.trustedHosts = []
    rl_config.trustedSchemes = []
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = path_of("fonts")
    covered: frozenset[int] | None = None
    for name in _CUTS:
        font = TTFont(name, str(folder / f"{name}.ttf"))
        pdfmetrics.registerFont(font)
        points = frozenset(font.face.charToGlyph)
        covered = points if covered is None else covered & points
    pdfmetrics.registerFontFamily(SANS, normal=SANS, bold=BOLD, italic=ITALIC, boldItalic=BOLD)
    assert covered is not None
    return covered


def register() -> frozenset[int]:
    """Register the fonts with reportlab, once; the code points that every text face has.

    Must run before anything of reportlab.platypus is imported. Raises FileNotFoundError with a
    sentence when the fonts are not there.
    """
    with _lock:
        return _registered()


def _script(character: str) -> str:
    """A name for the script of a character, such as `Arabic`; "" when it is no letter."""
    if unicodedata.category(character)[0] not in "LMN":
        return ""
    name = unicodedata.name(character, "").split(" ")[0]
    if name in ("CJK", ""):
        return text("report-script-chinese-or-japanese" if name else "report-script-unknown")
    return name.capitalize()


def gap_text(script: str, count: int) -> str:
    """So many letters of a script, or symbols, that could not be printed."""
    if not script:
        return text("report-gap-symbols", count=count)
    return text("report-gap-letters", count=count, script=script)


def _needs_shaping(character: str) -> bool:
    # Right-to-left and joining scripts: the face may have the letters, but set one by one from
    # left to right they would be read as something else.
    return unicodedata.bidirectional(character) in ("R", "AL", "AN")


# Formatting characters that only steer: direction marks, joiners, tags, soft hyphens.
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn")


#: More letters of one entry than these are in the attached record alone.
LONGEST = 6_000


class PrintableText:
    """Makes the texts of one report ready for its fonts.

    `gaps` remembers what could not be printed, `cut` how many texts were longer than paper holds.
    """

    def __init__(self) -> None:
        self._covered = register()
        self.gaps: dict[str, int] = {}
        self.cut = 0
        self._plain = re.compile(r"[\x20-\x7e]*\Z")

    def text(self, value: object, limit: int = LONGEST) -> str:
        """One line of printable text; line ends become spaces. It is cut at `limit` letters."""
        given = value if isinstance(value, str) else words(value)
        over = len(given) - limit
        # cut before it is read letter by letter
        printed = self._printed(given[:limit] if over > 0 else given)
        over = max(over, len(printed) - limit)
        if over <= 0:
            return printed
        self.cut += 1
        return printed[:limit].rstrip() + "…"

    def _printed(self, given: str) -> str:
        if self._plain.match(given):
            return given
        out: list[str] = []
        lacking: list[str] = []
        spaces = ""  # a space inside a run that cannot be printed belongs to the run
        for character in unicodedata.normalize("NFC", without_piles(given)):
            if character in "\t\n\r\x0b\x0c\u2028\u2029\xa0":
                character = " "
            category = unicodedata.category(character)
            if category in ("Cc", "Cf"):
                continue
            if lacking and character == " ":
                spaces += character
                continue
            if (
                category in _UNSEEN
                or ord(character) not in self._covered
                or _needs_shaping(character)
            ):
                lacking.append(character)
                spaces = ""
                continue
            if lacking:
                out.append(self._gap(lacking) + spaces)
                lacking, spaces = [], ""
            out.append(character)
        if lacking:
            out.append(self._gap(lacking))
        return "".join(out)

    def markup(self, value: object, limit: int = LONGEST) -> str:
        """`text` with markup escaped, for reportlab's Paragraph."""
        return escape(self.text(value, limit), quote=False)

    def lines(self, value: object) -> str:
        """`markup` that keeps the line ends of a note, at most twenty of them."""
        given = value if isinstance(value, str) else words(value)
        if len(given) > LONGEST:
            self.cut += 1
            given = given[: LONGEST - 1] + "…"
        parts = [self.markup(line) for line in given.splitlines() if line.strip()]
        if len(parts) > 20:
            parts = [*parts[:19], " ".join(parts[19:])]
        return "<br/>".join(parts)

    def _gap(self, lacking: list[str]) -> str:
        counts: dict[str, int] = {}
        for character in lacking:
            name = _script(character)
            counts[name] = counts.get(name, 0) + 1
        for name, count in counts.items():
            self.gaps[name] = self.gaps.get(name, 0) + count
        parts = [gap_text(name, count) for name, count in sorted(counts.items())]
        return text("report-text-gap", what=", ".join(parts))
