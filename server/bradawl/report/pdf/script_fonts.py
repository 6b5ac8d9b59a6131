"""Embeds glyphs chosen by shaping: a composite font a face, each code with the text it stands for.

A code belongs to a glyph and what it stands for, so the same glyph may be read as different
letters (ISO 32000-1, 9.7 and 9.10.3). A letter with its marks becomes one glyph, put together from
the face's own: readers that look where glyphs stand would tear the marks off. Only what a file
shows is embedded. Import only after `typeface.register()`.
"""

from __future__ import annotations

import array
import sys
from pathlib import Path
from typing import Any

import uharfbuzz
from reportlab.pdfbase import pdfdoc

from bradawl.report.pdf.font_program import Box, Drawn, Program

__all__ = ["ScriptFont"]

_BLOCK = 100  # entries of one `bfchar` (Adobe Technical Note 5411, from memory)
_DROPPED = ("GSUB", "GPOS", "GDEF", "name", "post", "OS/2", "cmap", "STAT", "vmtx", "vhea")


class ScriptFont:
    """One face within one document; `name` is what pages call it."""

    def __init__(self, file: Path, document: Any, number: int) -> None:
        self._face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(file)))
        self._font = uharfbuzz.Font(self._face)
        self._scale = 1000 / self._face.upem
        self._named = f"{chr(65 + number // 26)}{chr(65 + number % 26)}SHAP+{file.stem}"
        self.name = f"/X{number + 1}"
        self._codes: dict[tuple[Drawn, str, float], int] = {}
        document.delayedFonts.append(self)  # which adds the objects when the file is written

    def code(self, drawn: Drawn, stands_for: str, advance: float) -> str:
        """The four hexadecimal digits that draw glyphs at their places (units of the face) and
        move the pen by `advance` (thousandths of the size).
        """
        key = (drawn, stands_for, round(advance, 2))
        return f"{self._codes.setdefault(key, len(self._codes) + 1):04X}"

    def addObjects(self, document: Any) -> None:  # noqa: N802 (reportlab's name)
        """Add the font to the document; reportlab calls it."""
        fonts = document.idToObject["BasicFonts"].dict
        descendant = document.Reference(self._descendant(document))
        font = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("Font"),
                "Subtype": pdfdoc.PDFName("Type0"),
                "BaseFont": pdfdoc.PDFName(self._named),
                "Encoding": pdfdoc.PDFName("Identity-H"),
                "DescendantFonts": pdfdoc.PDFArray([descendant]),
                "ToUnicode": _stream(document, self._to_unicode().encode("ascii")),
            }
        )
        fonts[self.name[1:]] = document.Reference(font)

    def _descendant(self, document: Any) -> Any:
        extents = self._font.get_font_extents("ltr")
        widths = [self._advance(0), *(advance for _, _, advance in self._codes)]
        program, glyphs = self._program()
        file = _stream(document, program, Length1=len(program))
        top, bottom = extents.ascender * self._scale, extents.descender * self._scale
        descriptor = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("FontDescriptor"),
                "FontName": pdfdoc.PDFName(self._named),
                "Flags": 4,  # symbolic
                "FontBBox": pdfdoc.PDFArray([round(edge) for edge in self._box()]),
                "ItalicAngle": 0,
                "Ascent": round(top),
                "Descent": round(bottom),
                "CapHeight": 714,
                "StemV": 87,
                "FontFile2": file,
            }
        )
        order = array.array("H", glyphs)
        if sys.byteorder == "little":
            order.byteswap()
        return pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("Font"),
                "Subtype": pdfdoc.PDFName("CIDFontType2"),
                "BaseFont": pdfdoc.PDFName(self._named),
                "CIDSystemInfo": pdfdoc.PDFDictionary(
                    {
                        "Registry": pdfdoc.PDFString("Adobe"),
                        "Ordering": pdfdoc.PDFString("Identity"),
                        "Supplement": 0,
                    }
                ),
                "FontDescriptor": document.Reference(descriptor),
                "DW": 0,
                "W": pdfdoc.PDFArray([0, pdfdoc.PDFArray(widths)]),
                "CIDToGIDMap": _stream(document, order.tobytes()),
            }
        )

    def _advance(self, glyph: int) -> float:
        return float(round(self._font.get_glyph_h_advance(glyph) * self._scale, 2))

    def _program(self) -> tuple[bytes, list[int]]:
        """The font file, and the glyph in it of each code."""
        wanted = uharfbuzz.SubsetInput()
        wanted.glyph_set.update([0])
        for drawn, _, _ in self._codes:
            wanted.glyph_set.update([number for number, _, _ in drawn])
        wanted.drop_table_tag_set.update(
            int.from_bytes(table.encode("ascii"), "big") for table in _DROPPED
        )
        flags = uharfbuzz.SubsetFlags
        wanted.flags = flags.RETAIN_GIDS | flags.NO_LAYOUT_CLOSURE | flags.NOTDEF_OUTLINE
        program = Program(bytes(uharfbuzz.subset(self._face, wanted).blob.data))
        glyphs = [0]
        for drawn, _, advance in self._codes:
            number, *place = drawn[0]
            if len(drawn) == 1 and place == [0, 0] and advance == self._advance(number):
                glyphs.append(number)
            else:
                width = round(advance / self._scale)
                glyphs.append(program.add_composite(drawn, self._extent(drawn), width))
        return program.data(), glyphs

    def _extent(self, drawn: Drawn) -> Box:
        """The corners of glyphs at their places, in units of the face."""
        boxes = []
        for number, x, y in drawn:
            seen = self._font.get_glyph_extents(number)
            if seen is not None:
                left, top = x + seen.x_bearing, y + seen.y_bearing
                boxes.append((left, top + seen.height, left + seen.width, top))
        if not boxes:
            return 0, 0, 0, 0
        lefts, bottoms, rights, tops = zip(*boxes, strict=True)
        return min(lefts), min(bottoms), max(rights), max(tops)

    def _box(self) -> list[float]:
        boxes = [self._extent(drawn) for drawn, _, _ in self._codes]
        lefts, bottoms, rights, tops = zip(*boxes, strict=True)
        return [edge * self._scale for edge in (min(lefts), min(bottoms), max(rights), max(tops))]

    def _to_unicode(self) -> str:
        rows = [
            f"<{code:04X}> <{said.encode('utf-16-be').hex().upper()}>"
            for (_, said, _), code in self._codes.items()
        ]
        blocks = [rows[at : at + _BLOCK] for at in range(0, len(rows), _BLOCK)]
        listed = "".join(
            f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar\n" for block in blocks
        )
        return _TO_UNICODE.format(listed=listed)


_TO_UNICODE = (
    ""  # a program for readers of the file: not shown
    """/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <FFFF>
endcodespacerange
{listed}endcmap
CMapName currentdict /CMap defineresource pop
end
end"""
)


def _stream(document: Any, content: bytes, **entries: int) -> Any:
    stream = pdfdoc.PDFStream(content=content)
    for key, value in entries.items():
        stream.dictionary[key] = value
    stream.filters = [pdfdoc.PDFZCompress]
    return document.Reference(stream)
