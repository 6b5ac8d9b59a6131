"""Sets lines that one letter after the other cannot: right to left, joined, stacked, in many faces.

Unicode's order of work: direction levels (UAX 9), faces for letters with their marks (UAX 29),
places where a line may end, shaping by HarfBuzz, and the order in which
what is on a line is seen (UAX 9, L2). What comes out is in the order in which it was written, each
part with the place where it is seen, so that a reader of the file gets the text as it was typed.
"""

from __future__ import annotations

import functools
import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from bradawl.report.layout.text import typeface
from bradawl.report.layout.text.directions import levels_of, visual_order
from bradawl.report.pdf import faces

__all__ = ["Glyph", "Part", "Piece", "measured", "set_lines", "set_one"]


class Piece(NamedTuple):
    """A text and how it is set: the text face's cut, the size in points, and whatever else."""

    said: str
    cut: str
    size: float
    look: Any = None


class Glyph(NamedTuple):
    """What is drawn for a letter with its marks, or for letters that become one.

    `drawn` has glyphs of the face with their places right of this one's start and above the line,
    in units of the face; `across` is how far right of the part's start it stands, and with
    `advance` in points (or thousandths of the size).
    """

    drawn: tuple[tuple[int, int, int], ...]
    stands_for: str
    across: float
    advance: float


class Part(NamedTuple):
    """What one face and look set in one go; `left` and `width` are points.

    Without `glyphs` it is plain text of the text face.
    """

    said: str
    look: Any
    face: str
    size: float
    left: float
    width: float
    glyphs: tuple[Glyph, ...] = ()


class _Run(NamedTuple):
    start: int
    end: int
    face: str
    level: int
    piece: int


_THAI = re.compile("[\u0e00-\u0e7f]")
_SPACES = " \t\r\n"


@functools.cache
def _cluster() -> re.Pattern[str]:
    """A letter with its marks, a pictogram of several, two letters of a flag (UAX 29, in short)."""
    marks = "".join(
        chr(point)
        for point in (*range(0x300, 0x1_F000), *range(0xE_0100, 0xE_01F0))
        if unicodedata.category(chr(point))[0] == "M"
    )
    flag = "[\U0001f1e6-\U0001f1ff]"
    return re.compile(
        f"{flag}{flag}|.(?:[{marks}\u200c\U0001f3fb-\U0001f3ff]|\u200d.?)*", re.DOTALL
    )


def _clusters(said: str) -> list[str]:
    return [said] if len(said) == 1 else _cluster().findall(said)


def _runs(pieces: Sequence[Piece], levels: Sequence[int]) -> list[_Run]:
    """Stretches of one face, level and piece, in the order in which they were written."""
    runs: list[_Run] = []
    at = 0
    for number, piece in enumerate(pieces):
        before = faces.TEXT
        for cluster in _clusters(piece.said):
            for letters in _drawable(cluster, before):
                face = faces.face_of(letters, before)
                last = runs[-1] if runs else None
                key = (face, levels[at], number)
                if last and last[2:] == key:
                    runs[-1] = last._replace(end=at + len(letters))
                else:
                    runs.append(_Run(at, at + len(letters), *key))
                before = face or before
                at += len(letters)
    return runs


def _drawable(cluster: str, before: str) -> Sequence[str]:
    """A letter with its marks; letter by letter where no one face has them all."""
    return [cluster] if len(cluster) == 1 or faces.face_of(cluster, before) else list(cluster)


@functools.cache
def _thai_words() -> Any:
    import budoux

    return budoux.load_default_thai_parser()


# Between two of these a line may end, but not before a closing sign nor behind an opening one.
_WIDE = "\u2e80-\u9fff\uac00-\ud7a3\uf900-\ufaff\uff00-\uffef\U00020000-\U0003ffff"
_CLOSING = (
    "\u3001\u3002\u3005\u3009\u300b\u300d\u300f\u3011\u3015\u3041\u3043\u3045"
    "\u3047\u3049\u3063\u3083\u3085\u3087\u30a1\u30a3\u30a5\u30a7\u30a9\u30c3"
    "\u30e3\u30e5\u30e7\u30fb\u30fc\uff01\uff05\uff09\uff0c\uff0e\uff1a\uff1b"
    "\uff1f"
)
_OPENING = "\u3008\u300a\u300c\u300e\u3010\u3014\uff08"
_BETWEEN_WIDE = re.compile(f"(?<=[{_WIDE}])(?<![{_OPENING}])(?=[{_WIDE}])(?![{_CLOSING}])")
_WORD = re.compile(f"[^{_SPACES}]*[{_SPACES}]*")


def _units(said: str) -> Iterator[str]:
    """The text in stretches after each of which a line may end.

    Those are words with the blanks behind them; Thai by its words; Chinese, Japanese and Korean
    letter by letter (UAX 14, in short: the library for all of it took ten times as long as all
    else that is done here).
    """
    for word in _WORD.findall(said):
        if _THAI.search(word):
            yield from _thai_words().parse(word)
        elif _BETWEEN_WIDE.search(word):
            yield from _BETWEEN_WIDE.split(word)
        elif word:
            yield word


@functools.cache
def _font(face: str) -> Any:
    import uharfbuzz

    return uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(_file(face)))))


def _file(face: str) -> Any:
    return typeface.file_of(face) if face in typeface.CUTS else faces.file_of(face)


@functools.lru_cache(maxsize=8_192)
def _shaped(face: str, said: str, backwards: bool) -> tuple[Glyph, ...]:
    """Glyphs of a text at size 1000, in the order written: each stands for its part of it."""
    import uharfbuzz

    if not face:
        width = typeface.plain_advance(typeface.SANS, faces.NOWHERE)
        number = _font(typeface.SANS).get_nominal_glyph(ord(faces.NOWHERE))
        places = range(len(said))[::-1] if backwards else range(len(said))
        return tuple(
            Glyph(((number, 0, 0),), letter, place * width, width)
            for letter, place in zip(said, places, strict=True)
        )
    buffer = uharfbuzz.Buffer()
    buffer.add_str(said)
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if backwards else "ltr"
    font = _font(face)
    uharfbuzz.shape(font, buffer, {"kern": True, "liga": True})
    found: dict[int, list[tuple[int, int, int, int]]] = {}  # by where its text starts
    pen = 0
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        place = (info.codepoint, pen + position.x_offset, position.y_offset, pen)
        found.setdefault(info.cluster, []).append(place)
        pen += position.x_advance
    lefts = {start: placed[0][3] for start, placed in found.items()}
    rights = {}
    edge = pen
    for start in sorted(lefts, key=lambda start: -lefts[start]):
        rights[start], edge = edge, lefts[start]
    scale = 1000 / font.face.upem
    starts = sorted(found)
    return tuple(
        Glyph(
            tuple((number, x - lefts[start], y) for number, x, y, _ in found[start]),
            said[start:end],
            lefts[start] * scale,
            (rights[start] - lefts[start]) * scale,
        )
        for start, end in zip(starts, [*starts[1:], len(said)], strict=True)
    )


def _is_plain(run: _Run, said: str) -> bool:
    return run.face == faces.TEXT and not run.level and faces.is_plain(said)


class _Text:
    """Pieces as one text, with what is known of every letter."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = pieces
        self.said = "".join(piece.said for piece in pieces)
        self.base, self._levels = levels_of(self.said)
        self._runs = _runs(pieces, self._levels)
        self._starts = [run.start for run in self._runs]

    def parts(self, start: int, end: int) -> list[tuple[_Run, str]]:
        """The runs between two letters, isolating marks taken out."""
        found = []
        for number in range(max(bisect_right(self._starts, start) - 1, 0), len(self._runs)):
            run = self._runs[number]
            if run.start >= end:
                break
            first, last = max(run.start, start), min(run.end, end)
            if first < last and (said := re.sub("[\u2066-\u2069]", "", self.said[first:last])):
                found.append((run, said))
        return found

    def width(self, start: int, end: int) -> float:
        return sum(self._width(run, said) for run, said in self.parts(start, end))

    def _width(self, run: _Run, said: str) -> float:
        piece = self.pieces[run.piece]
        if _is_plain(run, said):
            return typeface.plain_advance(piece.cut, said) * piece.size / 1000
        glyphs = _shaped(self._face(run), said, bool(run.level & 1))
        return sum(glyph.advance for glyph in glyphs) * piece.size / 1000

    def _face(self, run: _Run) -> str:
        return self.pieces[run.piece].cut if run.face == faces.TEXT else run.face

    def line(self, start: int, end: int) -> list[Part]:
        """What stands between two letters, each part where it is seen, in the order written."""
        while end > start and self.said[end - 1] in _SPACES:
            end -= 1
        found = self.parts(start, end)
        widths = [self._width(run, said) for run, said in found]
        lefts = [0.0] * len(found)
        across = 0.0
        for at in visual_order([run.level for run, _ in found]):
            lefts[at] = across
            across += widths[at]
        out = []
        for (run, said), left, width in zip(found, lefts, widths, strict=True):
            piece = self.pieces[run.piece]
            look, size = piece.look, piece.size
            if _is_plain(run, said):
                out.append(Part(said, look, piece.cut, size, left, width))
                continue
            face = self._face(run)
            scaled = tuple(
                glyph._replace(
                    across=glyph.across * size / 1000, advance=glyph.advance * size / 1000
                )
                for glyph in _shaped(face, said, bool(run.level & 1))
            )
            out.append(Part(said, look, face or typeface.SANS, size, left, width, scaled))
        return out


def set_lines(pieces: Sequence[Piece], width: float) -> tuple[bool, list[list[Part]]]:
    """Lines no wider than `width` points, and whether they run from right to left."""
    text = _Text(pieces)
    lines: list[list[Part]] = []
    start = at = 0
    used = 0.0
    for unit in _units(text.said):
        end = at + len(unit)
        seen = text.width(at, at + len(unit.rstrip(_SPACES)))
        if used and used + seen > width:
            lines.append(text.line(start, at))
            start, used = at, 0.0
        if seen > width:  # no line holds it: taken apart between letters
            for cluster in _clusters(unit):
                own = text.width(at, at + len(cluster))
                if used and used + own > width:
                    lines.append(text.line(start, at))
                    start, used = at, 0.0
                used += own
                at += len(cluster)
        else:
            used += text.width(at, end)
            at = end
    lines.append(text.line(start, at))
    return bool(text.base), lines


@functools.lru_cache(maxsize=1_024)
def set_one(said: str, cut: str, size: float) -> tuple[list[Part], float]:
    """A text on one line, and its width in points."""
    text = _Text([Piece(said, cut, size)])
    parts = text.line(0, len(text.said))
    return parts, sum(part.width for part in parts)


def measured(said: str, cut: str) -> float:
    """How wide a text is on one line, in thousandths of its size."""
    text = _Text([Piece(said, cut, 1000.0)])
    return text.width(0, len(text.said))
