"""Adds glyphs that are put together from others to a TrueType font file."""

from __future__ import annotations

import struct

from reportlab.pdfbase.ttfonts import TTFontMaker

__all__ = ["Box", "Drawn", "Program"]

#: Glyphs with their places right of the start and above the line, in units of the face.
Drawn = tuple[tuple[int, int, int], ...]
#: Left, bottom, right and top, in units of the face.
Box = tuple[int, int, int, int]

# Flags of a component (OpenType, glyf table): its place is two words, and so many units from the
# start; more follow.
_WORDS, _PLACE, _MORE = 0x0001, 0x0002, 0x0020


class Program:
    """A TrueType font file that grows by composite glyphs."""

    def __init__(self, data: bytes) -> None:
        count = struct.unpack(">H", data[4:6])[0]
        self._tables: dict[str, bytes] = {}
        for entry in range(count):
            row = data[12 + 16 * entry : 28 + 16 * entry]
            tag, _, start, length = struct.unpack(">4sLLL", row)
            self._tables[tag.decode("ascii")] = data[start : start + length]
        glyphs = struct.unpack(">H", self._tables["maxp"][4:6])[0]
        long = struct.unpack(">h", self._tables["head"][50:52])[0]
        shape = f">{glyphs + 1}{'L' if long else 'H'}"
        offsets = struct.unpack(shape, self._tables["loca"][: struct.calcsize(shape)])
        self._offsets = [offset if long else 2 * offset for offset in offsets]
        self._glyf = bytearray(self._tables["glyf"][: self._offsets[-1]])
        self._metrics = self._read_metrics(glyphs)
        self._most = 0

    def _read_metrics(self, glyphs: int) -> list[tuple[int, int]]:
        """Advance and left side of every glyph; the last advance counts for all after it."""
        long = struct.unpack(">H", self._tables["hhea"][34:36])[0]
        hmtx = self._tables["hmtx"]
        metrics: list[tuple[int, int]] = list(struct.iter_unpack(">Hh", hmtx[: 4 * long]))
        sides = struct.iter_unpack(">h", hmtx[4 * long : 4 * long + 2 * (glyphs - long)])
        return metrics + [(metrics[-1][0], side) for (side,) in sides]

    def add_composite(self, drawn: Drawn, box: Box, advance: int) -> int:
        """A new glyph that draws others at their places; its number."""
        data = struct.pack(">hhhhh", -1, *box)
        for at, (number, x, y) in enumerate(drawn, 1):
            flags = _WORDS | _PLACE | (_MORE if at < len(drawn) else 0)
            data += struct.pack(">HHhh", flags, number, x, y)
        self._glyf += data + b"\0" * (-len(data) % 4)
        self._offsets.append(len(self._glyf))
        self._metrics.append((max(advance, 0), box[0]))
        self._most = max(self._most, len(drawn))
        return len(self._offsets) - 2

    def data(self) -> bytes:
        """The whole file."""
        glyphs = len(self._metrics)
        maxp, head = bytearray(self._tables["maxp"]), bytearray(self._tables["head"])
        hhea = bytearray(self._tables["hhea"])
        struct.pack_into(">H", maxp, 4, glyphs)
        if self._most:
            self._raise_limits(maxp)
        struct.pack_into(">h", head, 50, 1)  # offsets are long
        struct.pack_into(">H", hhea, 34, glyphs)
        tables = {
            **self._tables,
            "maxp": bytes(maxp),
            "head": bytes(head),
            "hhea": bytes(hhea),
            "hmtx": b"".join(struct.pack(">Hh", *metric) for metric in self._metrics),
            "loca": struct.pack(f">{len(self._offsets)}L", *self._offsets),
            "glyf": bytes(self._glyf),
        }
        maker = TTFontMaker()
        for tag, table in tables.items():
            maker.add(tag, table)
        return bytes(maker.makeStream())

    def _raise_limits(self, maxp: bytearray) -> None:
        """What a reader makes room for: points, outlines and parts of a composite glyph."""
        points, outlines, both_points, both_outlines = struct.unpack_from(">HHHH", maxp, 6)
        most_points = min(max(points, both_points) * self._most, 0xFFFF)
        most_outlines = min(max(outlines, both_outlines) * self._most, 0xFFFF)
        struct.pack_into(">HH", maxp, 10, most_points, most_outlines)
        parts, depth = struct.unpack_from(">HH", maxp, 28)
        struct.pack_into(">HH", maxp, 28, max(parts, self._most), depth + 1)
