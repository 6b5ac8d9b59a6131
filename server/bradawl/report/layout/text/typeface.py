"""Registers the report's fonts, and makes texts ready for them.

Everything that a person typed goes through `PrintableText`: it composes accents, drops what steers
a line, counts what the fonts lack, and escapes markup. Nothing else may hand recorded text to
reportlab.
"""

from __future__ import annotations

import functools
import re
import threading
import unicodedata
from collections import Counter
from html import escape
from pathlib import Path

from bradawl.common.display_text import REPLACED, without_piles
from bradawl.common.resources import path_of
from bradawl.inspection.cell_values import words
from bradawl.language.tongues import InLanguage, edged_part, without_edges
from bradawl.report.pdf import faces

__all__ = [
    "BOLD",
    "CUTS",
    "ITALIC",
    "LONGEST",
    "NARROW",
    "NARROW_BOLD",
    "SANS",
    "PrintableText",
    "file_of",
    "plain_advance",
    "register",
]

#: The cuts of the one family: Noto Sans with the symbols of its siblings (`server/build_fonts.py`).
#: All have figures of one width. The narrow ones are for tables and captions.
SANS = "BradawlSans-Regular"
BOLD = "BradawlSans-Bold"
ITALIC = "BradawlSans-Italic"
NARROW = "BradawlSans-Narrow"
NARROW_BOLD = "BradawlSans-NarrowBold"
CUTS = (SANS, BOLD, ITALIC, NARROW, NARROW_BOLD)
_lock = threading.Lock()


def file_of(cut: str) -> Path:
    """The file of a cut."""
    return path_of("fonts") / f"{cut}.ttf"


@functools.cache
def _registered() -> None:
    from reportlab import rl_config

    # Binary streams in the PDF (the text form is four times slower and a quarter larger), no
    # unembedded base font, and no address in a record that reportlab would open by itself.
    rl_config.useA85 = 0
    rl_config.canvas_basefontname = SANS
    rl_config.trustedHosts = []
    rl_config.trustedSchemes = []
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name in CUTS:
        pdfmetrics.registerFont(TTFont(name, str(file_of(name)), shapable=False))
    pdfmetrics.registerFontFamily(SANS, normal=SANS, bold=BOLD, italic=ITALIC, boldItalic=BOLD)


def register() -> None:
    """Register the cuts with reportlab, once.

    Must run before anything of reportlab.platypus is imported. Raises FileNotFoundError with a
    sentence when the fonts are not there.
    """
    with _lock:
        _registered()


@functools.cache
def _advances(cut: str) -> tuple[dict[int, float], float]:
    from reportlab.pdfbase.pdfmetrics import getFont

    face = getFont(cut).face
    return face.charWidths, face.defaultWidth


def plain_advance(cut: str, text: str) -> float:
    """How wide a text that the text face alone sets is, in thousandths of its size."""
    widths, default = _advances(cut)
    return sum(widths.get(ord(character), default) for character in text)


#: More letters of one entry than these are in the attached record alone.
LONGEST = 6_000


# Line ends and blanks of every kind, each of which is a space on paper.
_BLANK = re.compile("[\\s\\x85\\xa0\u2028\u2029]")
# What steers (but joiners and variation selectors, which choose between glyphs), halves of
# characters, and what is no character.
_UNSEEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f"
    "\ufeff\ufff0-\ufffb\U000e0000-\U000e007f]"
)
_NO_CHARACTER = re.compile(
    "[\ud800-\udfff\ufdd0-\ufdef"
    + "".join(chr(plane << 16 | low) for plane in range(17) for low in (0xFFFE, 0xFFFF))
    + "]"
)
_JOINER = re.compile("(?<![\u0600-\U0010ffff])[\u200c\u200d]")  # between letters that never join
_FOREIGN_DIRECTION = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff]")
_ISOLATE, _END_ISOLATE = "\u2068", "\u2069"


class PrintableText:
    """Makes the texts of one report ready for its fonts.

    `lacking` counts letters that no font here has, by the name of their script (they are printed
    as an empty sign, and stand whole in the file), `cut` how many texts were longer than paper
    holds.
    """

    def __init__(self) -> None:
        register()
        self.lacking: Counter[str] = Counter()
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
        said = unicodedata.normalize("NFC", without_piles(_NO_CHARACTER.sub(REPLACED, given)))
        said = _JOINER.sub("", _UNSEEN.sub("", _BLANK.sub(" ", said)))
        self.lacking.update(faces.lacking(said))
        return said

    def markup(self, value: object, limit: int = LONGEST) -> str:
        """`text` with markup escaped, for a paragraph; what runs from right to left is set apart
        from the sentence around it (UAX 9, isolates).
        """
        if isinstance(value, InLanguage):
            parts = ((part.locale, self.markup(str(part.text), limit)) for part in value.parts)
            return "".join(edged_part(locale, said) for locale, said in parts)
        said = without_edges(self.text(value, limit))
        if _FOREIGN_DIRECTION.search(said):
            said = f"{_ISOLATE}{said}{_END_ISOLATE}"
        return escape(said, quote=False)

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
