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

from reportlab.platypus import Flowable

from bradawl.language import current
from bradawl.language.tongues import EDGE, has_edges
from bradawl.report.layout.style import Style, styles
from bradawl.report.layout.tagged_canvas import TaggedCanvas
from bradawl.report.layout.text import shaping, typeface
from bradawl.report.pdf import faces
from bradawl.report.pdf.structure import Element

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["Paragraph", "advance", "paragraph"]


class _Look(NamedTuple):
    """How a run of text is set; `link` is empty or the key of a place in this file."""

    font: str
    size: float
    color: str
    link: str = ""
    language: str = ""  # where it is known


class _Run(NamedTuple):
    """A text of one look; with `glyphs` of a face, set at a place of its own right of the line's
    start.
    """

    text: str
    look: _Look
    width: float
    left: float = 0.0
    face: str = ""
    glyphs: tuple[shaping.Glyph, ...] = ()


class _Line(NamedTuple):
    """Runs in the order in which they were written, each where it is seen when `placed`."""

    runs: list[_Run]
    width: float
    placed: bool = False
    backwards: bool = False


_MARK = re.compile(rf"<(/?)(b|i|font|a|br)\b([^>]*?)/?>|{EDGE.pattern}")
_VALUE = re.compile(r'(size|color|href)="([^"]*)"')
_BOLDER = {typeface.NARROW: typeface.NARROW_BOLD, typeface.NARROW_BOLD: typeface.NARROW_BOLD}
_SPACE = re.compile(r"[ \t\r\n]+")


@functools.lru_cache(maxsize=16_384)
def advance(font: str, text: str) -> float:
    """How wide a text is, in thousandths of its size; words come back often."""
    if faces.is_plain(text):
        return typeface.plain_advance(font, text)
    return shaping.measured(text, font)


def _runs(markup: str, style: Style) -> list[list[tuple[str, _Look]]]:
    """Paragraph lines as told by `<br/>`, each a list of texts with their looks."""
    look = _Look(style.font, style.size, style.color)
    if "<" not in markup and not has_edges(markup):
        return [[(unescape(markup) if "&" in markup else markup, look)]]
    lines: list[list[tuple[str, _Look]]] = [[]]
    stack = [look]
    at = 0
    for mark in _MARK.finditer(markup):
        if mark.start() > at:
            lines[-1].append((unescape(markup[at : mark.start()]), stack[-1]))
        at = mark.end()
        closes, name, values, language = mark.groups()
        if language:
            stack.append(stack[-1]._replace(language=language))
        elif name is None:  # where it ends
            stack.pop()
        elif name == "br":
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
    if not all(faces.is_plain(text) for text, _ in texts):
        return _shaped(texts, width)
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


def _shaped(texts: list[tuple[str, _Look]], width: float) -> list[_Line]:
    """`_filled` for a text that letters one after the other would not be."""
    pieces = [shaping.Piece(text, look.font, look.size, look) for text, look in texts]
    backwards, lines = shaping.set_lines(pieces, width)
    return [
        _Line(
            [
                _Run(part.said, part.look, part.width, part.left, part.face, part.glyphs)
                for part in line
            ],
            sum(part.width for part in line),
            True,
            backwards,
        )
        for line in lines
    ]


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
        self.element: Element | None = None

    def plain(self) -> str:
        """The text without its marks."""
        runs = (said for line in _runs(self._markup, self.style) for said, _ in line)
        return "".join(runs).translate({0x2068: None, 0x2069: None})

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
        parts = [Paragraph("", self.style, part) for part in (lines[:fit], lines[fit:])]
        shared = self.element or Element("")  # its role is known where it is drawn first
        for part in parts:
            part.element = shared
        return parts

    def drawOn(self, canvas: Canvas, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803
        """Write the lines with their lower left corner at x, y; leaves the canvas as it was."""
        if not isinstance(canvas, TaggedCanvas):
            self._write(canvas, x, y)
            return
        element = self.element = self.element or Element("")
        if element.role:  # the rest of what began on another page
            with canvas.content(element):
                self._write(canvas, x, y)
            return
        said = " ".join(run.text for line in self._lines or () for run in line.runs)
        element.language = faces.language_of(said) or self._language
        if self.style.heading:
            element.role = canvas.heading_role(self.style.heading)
        elif said.startswith("• "):
            element.role = "LBody"
            whole, item = canvas.list_item()
            with canvas.inside(whole), canvas.inside(item), canvas.content(element):
                self._write(canvas, x, y)
            return
        else:
            element.role = "P"
        with canvas.content(element):
            self._write(canvas, x, y)

    @property
    def _language(self) -> str:
        """The language of all its text; "" where that is the report's, or it has several."""
        languages = {
            _other(run.look) for line in self._lines or () for run in line.runs if run.text.strip()
        }
        return languages.pop() if len(languages) == 1 else ""

    def _write(self, canvas: Any, x: float, y: float) -> None:
        lines = self._lines or []
        style = self.style
        top = y + self.height - style.size
        code = [f"q BT {style.leading} TL 1 0 0 1 {x:.2f} {top:.2f} Tm"]
        placed = any(line.placed for line in lines)
        now: tuple[str, float, str] = ("", 0.0, "")
        language, whole = "", self._language
        start = 0.0  # of the line, right of x
        for at, line in enumerate(lines):
            left = self.width - line.width if style.right or line.backwards else 0.0
            low = top - at * style.leading
            if placed:
                code.append(f"1 0 0 1 {x + left:.2f} {low:.2f} Tm")
            elif style.right:
                code.append(f"{left - start:.2f} {-(style.leading if at else 0):.2f} Td")
            elif at:
                code.append("T*")
            start = across = left
            for run in line.runs:
                look = run.look
                own = "" if whole else _other(look)
                if own != language:
                    # ISO 32000-1, 14.9.2.2: of a part of what is marked already
                    code += ["EMC"] if language else []
                    language = own
                    code += [f"/Span <</Lang ({language})>> BDC"] if language else []
                if line.placed:
                    across = left + run.left
                    code.append(f"1 0 0 1 {x + across:.2f} {low:.2f} Tm")
                for font, shown in canvas.written(run.face or look.font, look.size, run):
                    face = (font, look.size, look.color)
                    if face != now:
                        if face[:2] != now[:2]:
                            code.append(f"{font} {look.size} Tf")
                        if look.color != now[2]:
                            code.append(canvas.ink(look.color))
                        now = face
                    code.append(shown)
                if look.link:
                    box = (
                        x + across,
                        low - 0.3 * look.size,
                        x + across + run.width,
                        low + look.size,
                    )
                    canvas.linkRect(run.text, look.link, box, relative=1)
                across += run.width
            if at + 1 < len(lines) and line.runs:
                # unseen, but without it the last word and the next line's first are read as one
                look = line.runs[-1].look
                font = canvas.letters(look.font, " ")[0][0]
                if (font, look.size) != now[:2]:
                    code.append(f"{font} {look.size} Tf")
                    now = (font, look.size, now[2])
                code.append("( ) Tj")
        code += ["EMC"] if language else []
        code.append("ET Q")
        canvas._code.append(" ".join(code))


def _other(look: _Look) -> str:
    """The language of a text; "" where it is that of the report."""
    return "" if look.language == current().locale else look.language


def paragraph(markup: str, style: str = "body") -> Paragraph:
    """A paragraph in the style of that name."""
    return Paragraph(markup, styles()[style])
