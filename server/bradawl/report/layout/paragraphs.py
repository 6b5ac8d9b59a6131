"""Paragraphs: the few marks that the pages use, broken into lines once, written straight out.

reportlab's own paragraphs cost more than everything else of a report together. The marks are
`<b>`, `<i>`, `<font size= color=>`, `<a href="#key" color=>` and `<br/>`; recorded text has been
escaped by the ink before it comes here. Import only after `typeface.register()`.
"""

from __future__ import annotations

import functools
import re
from html import unescape
from typing import TYPE_CHECKING, Any, NamedTuple

from reportlab.pdfbase.pdfmetrics import getFont
from reportlab.platypus import Flowable

from bradawl.report.layout import typeface
from bradawl.report.layout.style import Style, styles

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["FontSubsets", "Paragraph", "advance", "paragraph"]


class _Look(NamedTuple):
    """How a run of text is set; `link` is empty or the key of a place in this file."""

    font: str
    size: float
    color: str
    link: str = ""


class _Run(NamedTuple):
    text: str
    look: _Look
    width: float


class _Line(NamedTuple):
    runs: list[_Run]
    width: float


_MARK = re.compile(r"<(/?)(b|i|font|a|br)\b([^>]*?)/?>")
_VALUE = re.compile(r'(size|color|href)="([^"]*)"')
_BOLDER = {typeface.NARROW: typeface.NARROW_BOLD, typeface.NARROW_BOLD: typeface.NARROW_BOLD}
_SPACE = re.compile(r"[ \t\r\n]+")
_ESCAPE = str.maketrans({"\\": r"\\", "(": r"\(", ")": r"\)"})
_PLAIN = re.compile(r"[ -~]*")


@functools.cache
def _advances(font: str) -> tuple[dict[int, float], float]:
    face = getFont(font).face
    return face.charWidths, face.defaultWidth


@functools.lru_cache(maxsize=16_384)
def advance(font: str, text: str) -> float:
    """How wide a text is, in thousandths of its size; words come back often."""
    widths, default = _advances(font)
    return sum(widths.get(ord(character), default) for character in text)


def _runs(markup: str, style: Style) -> list[list[tuple[str, _Look]]]:
    """Paragraph lines as told by `<br/>`, each a list of texts with their looks."""
    look = _Look(style.font, style.size, style.color)
    if "<" not in markup:
        return [[(unescape(markup) if "&" in markup else markup, look)]]
    lines: list[list[tuple[str, _Look]]] = [[]]
    stack = [look]
    at = 0
    for mark in _MARK.finditer(markup):
        if mark.start() > at:
            lines[-1].append((unescape(markup[at : mark.start()]), stack[-1]))
        at = mark.end()
        closes, name, values = mark.groups()
        if name == "br":
            lines.append([])
        elif closes:
            stack.pop()
        else:
            now, attributes = stack[-1], dict(_VALUE.findall(values))
            if name == "b":
                now = now._replace(font=_BOLDER.get(now.font, typeface.BOLD))
            elif name == "i":
                now = now._replace(font=typeface.ITALIC)
            stack.append(
                now._replace(
                    size=float(attributes.get("size", now.size)),
                    color=attributes.get("color", now.color),
                    link=attributes["href"].removeprefix("#") if "href" in attributes else now.link,
                )
            )
    if at < len(markup):
        lines[-1].append((unescape(markup[at:]), stack[-1]))
    return lines


def _words(texts: list[tuple[str, _Look]]) -> list[list[tuple[str, _Look]]]:
    """Words, each of pieces that no space divides."""
    words: list[list[tuple[str, _Look]]] = []
    glued = False
    for text, look in texts:
        pieces = _SPACE.split(text)
        for at, piece in enumerate(pieces):
            if at:
                glued = False
            if not piece:
                continue
            if glued:
                words[-1].append((piece, look))
            else:
                words.append([(piece, look)])
            glued = True
    return words


def _broken(word: list[tuple[str, _Look]], width: float) -> list[list[tuple[str, _Look]]]:
    """A word that no line holds, in pieces that one does."""
    parts: list[list[tuple[str, _Look]]] = [[]]
    room = width
    for text, look in word:
        start = 0
        for at, character in enumerate(text):
            wide = advance(look.font, character) * look.size / 1000
            if wide > room and (at > start or parts[-1]):
                if at > start:
                    parts[-1].append((text[start:at], look))
                parts.append([])
                start, room = at, width
            room -= wide
        parts[-1].append((text[start:], look))
    return [part for part in parts if part]


def _even(text: str, look: _Look, width: float) -> list[_Line] | None:
    """`_filled` for a text of one look, which most are; None when a word is wider than a line."""
    font, scale = look.font, look.size / 1000
    space = advance(font, " ") * scale
    lines: list[_Line] = []
    line: list[str] = []
    wide = 0.0
    for word in _SPACE.split(text):
        own = advance(font, word) * scale
        if own > width:
            return None
        if line and wide + space + own > width:
            lines.append(_Line([_Run(" ".join(line), look, wide)], wide))
            line, wide = [word], own
        elif line:
            line.append(word)
            wide += space + own
        elif word:
            line, wide = [word], own
    if line and not line[-1]:  # the text ended in a space
        line.pop()
        wide -= space
    lines.append(_Line([_Run(" ".join(line), look, wide)] if line else [], wide))
    return lines


def _filled(texts: list[tuple[str, _Look]], width: float) -> list[_Line]:
    """Lines no wider than `width`, each as full as its words allow."""
    if len(texts) == 1 and (even := _even(*texts[0], width)) is not None:
        return even
    words = _words(texts)
    if not words:
        return [_Line([], 0.0)]
    lines: list[_Line] = []
    runs: list[list[Any]] = []  # [texts, look, width]
    wide = 0.0
    waiting = list(reversed(words))
    while waiting:
        word = waiting.pop()
        own = [advance(look.font, text) * look.size / 1000 for text, look in word]
        space = 0.0
        if runs:
            before = runs[-1][1]
            space = advance(before.font, " ") * before.size / 1000
        whole = own[0] if len(own) == 1 else sum(own)
        if runs and wide + space + whole > width:
            lines.append(_line(runs, wide))
            runs, wide, space = [], 0.0, 0.0
        if whole > width and not runs:
            parts = _broken(word, width)
            if len(parts) > 1:
                waiting += reversed(parts)
                continue
        if space:
            runs[-1][0].append(" ")
            runs[-1][2] += space
        for (text, look), size in zip(word, own, strict=True):
            if runs and runs[-1][1] == look:
                runs[-1][0].append(text)
                runs[-1][2] += size
            else:
                runs.append([[text], look, size])
        wide += space + whole
    lines.append(_line(runs, wide))
    return lines


def _line(runs: list[list[Any]], width: float) -> _Line:
    return _Line([_Run("".join(texts), look, wide) for texts, look, wide in runs], width)


@functools.lru_cache(maxsize=256)
def _set(markup: str, style: Style, width: float) -> list[_Line]:
    """A paragraph's lines; heads of tables, limits and sources come back within a report."""
    return [line for texts in _runs(markup, style) for line in _filled(texts, width)]


class Paragraph(Flowable):  # type: ignore[misc]
    """A paragraph of markup in a style of the report.

    It breaks its lines once per width (points); one line alone stays neither behind nor ahead
    where a page ends in it.
    """

    def __init__(self, markup: str, style: Style, lines: list[_Line] | None = None) -> None:
        super().__init__()
        self._markup, self._lines = markup, lines
        self._given = lines is not None
        self.style = style
        self.spaceBefore, self.spaceAfter = style.before, style.after
        self.keepWithNext = style.keep  # the document takes it back once it was heeded
        self.width = -1.0

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        if self.width != available_width:
            self.width = available_width
            if not self._given:
                self._lines = _set(self._markup, self.style, available_width)
            self.height = len(self._lines or ()) * self.style.leading
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Any]:
        self.wrap(available_width, available_height)
        lines = self._lines or []
        fit = int((available_height + 1e-6) // self.style.leading)
        if fit >= len(lines):
            return [self]
        if len(lines) - fit == 1:
            fit -= 1
        if fit < 2:
            return []
        return [Paragraph("", self.style, part) for part in (lines[:fit], lines[fit:])]

    def drawOn(self, canvas: Canvas, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803
        """Write the lines with their lower left corner at x, y; leaves the canvas as it was."""
        lines = self._lines or []
        style = self.style
        top = y + self.height - style.size
        code = [f"q BT {style.leading} TL 1 0 0 1 {x:.2f} {top:.2f} Tm"]
        now: tuple[str, float, str] = ("", 0.0, "")
        start = 0.0  # of the line, right of x
        for at, line in enumerate(lines):
            if style.right:
                left = self.width - line.width
                down = style.leading if at else 0
                code.append(f"{left - start:.2f} {-down:.2f} Td")
                start = left
            elif at:
                code.append("T*")
            across = start
            for run in line.runs:
                look = run.look
                for subset, letters in canvas.letters(look.font, run.text):
                    face = (subset, look.size, look.color)
                    if face != now:
                        if face[:2] != now[:2]:
                            code.append(f"{subset} {look.size} Tf")
                        if look.color != now[2]:
                            code.append(canvas.ink(look.color))
                        now = face
                    code.append(f"({letters}) Tj")
                if look.link:
                    low = top - at * style.leading
                    box = (
                        x + across,
                        low - 0.3 * look.size,
                        x + across + run.width,
                        low + look.size,
                    )
                    canvas.linkRect("", look.link, box, relative=1)
                across += run.width
        code.append("ET Q")
        canvas._code.append(" ".join(code))


def paragraph(markup: str, style: str = "body") -> Paragraph:
    """A paragraph in the style of that name."""
    return Paragraph(markup, styles()[style])


class FontSubsets:
    """What a canvas needs to write texts: font subsets by name, colors as operators."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._first: dict[str, str] = {}

    def of(self, font: str, text: str) -> list[tuple[str, str]]:
        """The text as strings of a PDF, each with the name of the subset it is written in."""
        if _PLAIN.fullmatch(text):
            # the first subset has these under their own numbers
            name = self._first.get(font)
            if name is None:
                name = self._first[font] = self._named(font, " ")[0][0]
            return [(name, text.translate(_ESCAPE))]
        return self._named(font, text)

    def _named(self, font: str, text: str) -> list[tuple[str, str]]:
        loaded = getFont(font)
        return [
            (loaded.getSubsetInternalName(subset, self._document), _escaped(letters))
            for subset, letters in loaded.splitString(text, self._document)
        ]


def _escaped(letters: bytes) -> str:
    """Bytes inside the parentheses of a PDF string (ISO 32000-1, 7.3.4.2)."""
    return "".join(
        chr(byte).translate(_ESCAPE) if 32 <= byte < 127 else f"\\{byte:03o}" for byte in letters
    )
