"""A page to be filled in by hand: labels with lines to write on, and boxes to tick.

Lines and boxes are decoration; what is read aloud are the labels and what is known. Import only
after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable, Spacer

from bradawl.report.layout.style import EDGE
from bradawl.report.layout.text.paragraphs import Paragraph, paragraph
from bradawl.report.layout.text.typeface import PrintableText

__all__ = ["Form"]

_LINE = 30.0  # a row's height in points: room for a hand
_GAP = 10.0
_BOX = 9.0


class _Row(Flowable):  # type: ignore[misc]
    """Fields side by side, each a line with its label below and what is known above."""

    def __init__(self, fields: Sequence[tuple[Paragraph, Paragraph | None]], width: float) -> None:
        super().__init__()
        self._fields = fields
        self.width, self.height = width, _LINE + 12

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        each = (self.width - _GAP * (len(self._fields) - 1)) / len(self._fields)
        for n, (label, known) in enumerate(self._fields):
            left = n * (each + _GAP)
            self.canv.rule(left, 12, each, 0.6, EDGE)
            if known is not None:
                known.wrapOn(self.canv, each, _LINE)
                known.drawOn(self.canv, left, 15)
            label.wrapOn(self.canv, each, _LINE)
            label.drawOn(self.canv, left, 11 - label.height)


class _Box(Flowable):  # type: ignore[misc]
    """A box to tick, and what it says."""

    def __init__(self, words: Paragraph, width: float) -> None:
        super().__init__()
        self._words = words
        self.width, self.height = width, 0.0

    def wrap(self, *_: float) -> tuple[float, float]:
        self._words.wrap(self.width - _BOX - 8, 1_000)
        self.height = max(self._words.height, _BOX) + 6
        return self.width, self.height

    def draw(self) -> None:
        top = self.height - 3
        for x, y, across, up in (
            (0, top, _BOX, 0.6),
            (0, top - _BOX, _BOX, 0.6),
        ):
            self.canv.rule(x, y, across, up, EDGE)
        for side in (0.0, _BOX - 0.6):
            self.canv.ground(side, top - _BOX, 0.6, _BOX, EDGE)
        self._words.drawOn(self.canv, _BOX + 8, self.height - 3 - self._words.height)


class Form:
    """The flowables of a form, in reading order; `width` of its text in points."""

    def __init__(self, printable: PrintableText, width: float) -> None:
        self._printable, self._width = printable, width
        self.flowables: list[Any] = []

    def _said(self, words: str, style: str) -> Paragraph:
        return paragraph(self._printable.markup(words), style)

    def title(self, words: str) -> None:
        self.flowables.append(self._said(words, "title"))

    def heading(self, words: str) -> None:
        self.flowables.append(self._said(words, "h1"))

    def caution(self, words: str) -> None:
        self.flowables += [self._said(words, "answer"), Spacer(0, 4)]

    def words(self, words: str) -> None:
        self.flowables += [Spacer(0, 6), self._said(words, "lead"), Spacer(0, 4)]

    def small(self, words: str) -> None:
        self.flowables += [Spacer(0, 6), self._said(words, "subtitle")]

    def row(self, fields: Sequence[tuple[str, str]]) -> None:
        """Lines to write on, as (label, what is known or "")."""
        shown = [
            (self._said(label, "cell"), self._said(known, "lead") if known else None)
            for label, known in fields
        ]
        self.flowables.append(_Row(shown, self._width))

    def box(self, words: str) -> None:
        self.flowables.append(_Box(self._said(words, "lead"), self._width))
