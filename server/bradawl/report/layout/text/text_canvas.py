"""A canvas that writes any text: plain letters as strings, others as the glyphs that shaping chose.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Protocol

from reportlab.pdfbase.pdfmetrics import getFont
from reportlab.pdfgen.canvas import Canvas

from bradawl.report.layout.style import tint
from bradawl.report.layout.text import shaping, typeface
from bradawl.report.pdf import faces

__all__ = ["TextCanvas"]

_ESCAPE = str.maketrans({"\\": r"\\", "(": r"\(", ")": r"\)"})
_PLAIN = re.compile(r"[ -~]*")


class Written(Protocol):
    """A text, with the glyphs of a face where letters alone will not do."""

    @property
    def text(self) -> str: ...

    @property
    def glyphs(self) -> Sequence[shaping.Glyph]: ...


class TextCanvas(Canvas):  # type: ignore[misc]
    """A canvas whose texts may be of any script; colors are known by their text."""

    def __init__(self, *arguments: Any, **more: Any) -> None:
        super().__init__(*arguments, **more)
        self._first: dict[str, str] = {}
        self._shaped: dict[str, Any] = {}

    def letters(self, font: str, text: str) -> list[tuple[str, str]]:
        """A plain text as strings of a PDF, each with the name of the font's subset."""
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
            (loaded.getSubsetInternalName(subset, self._doc), _escaped(letters))
            for subset, letters in loaded.splitString(text, self._doc)
        ]

    def written(self, face: str, size: float, run: Written) -> list[tuple[str, str]]:
        """The operators that show a text, each with the name of the font that must be set."""
        if run.glyphs:
            font = self._script_font(face)
            return [(font.name, _placed(font, size, run.glyphs))]
        return [(name, f"({letters}) Tj") for name, letters in self.letters(face, run.text)]

    def _script_font(self, face: str) -> Any:
        if face not in self._shaped:
            from bradawl.report.pdf.script_fonts import ScriptFont

            file = typeface.file_of(face) if face in typeface.CUTS else faces.file_of(face)
            self._shaped[face] = ScriptFont(file, self._doc, len(self._shaped))
        return self._shaped[face]

    def stringWidth(  # noqa: N802
        self,
        text: str,
        fontName: str | None = None,  # noqa: N803
        fontSize: float | None = None,  # noqa: N803
    ) -> float:
        font, size = fontName or self._fontname, fontSize or self._fontsize
        if faces.is_plain(text):
            return typeface.plain_advance(font, text) * size / 1000
        return shaping.measured(text, font) * size / 1000

    def drawString(self, x: float, y: float, text: str, *more: Any, **named: Any) -> None:  # noqa: N802
        if faces.is_plain(text):
            super().drawString(x, y, text, *more, **named)
            return
        parts, _ = shaping.set_one(text, self._fontname, self._fontsize)
        code = []
        for part in parts:
            code.append(f"1 0 0 1 {x + part.left:.2f} {y:.2f} Tm")
            written = _Said(part.said, part.glyphs)
            for font, shown in self.written(part.face, part.size, written):
                code.append(f"{font} {part.size} Tf {shown}")
        self._code.append(" ".join(["BT", *code, "ET"]))

    def drawRightString(self, x: float, y: float, text: str, *more: Any, **named: Any) -> None:  # noqa: N802
        self.drawString(x - self.stringWidth(text), y, text)

    def drawCentredString(self, x: float, y: float, text: str, *more: Any, **named: Any) -> None:  # noqa: N802
        self.drawString(x - self.stringWidth(text) / 2, y, text)

    def setFillColor(self, color: Any, alpha: Any = None) -> None:  # noqa: N802
        super().setFillColor(tint(color) if isinstance(color, str) else color, alpha)

    def setStrokeColor(self, color: Any, alpha: Any = None) -> None:  # noqa: N802
        super().setStrokeColor(tint(color) if isinstance(color, str) else color, alpha)


class _Said:
    def __init__(self, text: str, glyphs: Sequence[shaping.Glyph]) -> None:
        self.text, self.glyphs = text, glyphs


def _placed(font: Any, size: float, glyphs: Sequence[shaping.Glyph]) -> str:
    """The operator that shows glyphs where shaping wants them, the pen at the start of all."""
    row: list[str] = []
    pen = 0.0
    for glyph in glyphs:
        gap = round((pen - glyph.across) * 1000 / size)
        if gap:
            row.append(f"{gap}")
            pen -= gap * size / 1000
        row.append(f"<{font.code(glyph.drawn, glyph.stands_for, glyph.advance * 1000 / size)}>")
        pen += glyph.advance
    return "[" + "".join(row).replace("><", "") + "] TJ"


def _escaped(letters: bytes) -> str:
    """Bytes inside the parentheses of a PDF string (ISO 32000-1, 7.3.4.2)."""
    return "".join(
        chr(byte).translate(_ESCAPE) if 32 <= byte < 127 else f"\\{byte:03o}" for byte in letters
    )
