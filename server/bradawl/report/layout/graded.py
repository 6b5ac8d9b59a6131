"""What a state looks like on a page: its mark with its word, alone, in a row, over a block.

Import only after `typeface.register()`: reportlab reads its settings when it is first imported.
"""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup
from reportlab.platypus import Flowable

from bradawl.design import Mark, mark, mark_of_grade
from bradawl.language import listed, text
from bradawl.report.layout.flowables import bold, fitting, numbered
from bradawl.report.layout.style import DANGER, GRADE_COLOR, INK, PLATE_HEIGHT, PLATE_WIDTH
from bradawl.report.layout.text.paragraphs import Paragraph, paragraph
from bradawl.report.model.texts import grade_word
from bradawl.report.pdf.structure import Element

__all__ = ["GradeHeading", "GradeMark", "StateRow", "SummaryRow"]


class GradeMark(Flowable):  # type: ignore[misc]
    """A grade's mark alone, for the cell of a table."""

    def __init__(self, grade: str) -> None:
        super().__init__()
        self.grade = grade

    def wrap(self, *_: float) -> tuple[float, float]:
        self.width, self.height = PLATE_WIDTH + 1, PLATE_HEIGHT + 1
        return self.width, self.height

    def draw(self) -> None:
        element = Element("Figure", alternative=grade_word(self.grade))
        with self.canv.figure(element, self.width, self.height):
            self.canv.plate(0.5, 0, mark_of_grade(self.grade))


class GradeHeading(Flowable):  # type: ignore[misc]
    """A mark, a number and a title, below it the grade's word and where; a link target.

    `title` and `where` are markup; `number` 0 for none; `word` stands in for the grade's own;
    `outline` is the plain text for the outline, empty for none.
    """

    def __init__(
        self,
        key: str,
        grade: str,
        title: str,
        *,
        number: int = 0,
        where: str = "",
        word: str = "",
        outline: str = "",
        level: int = 1,
    ) -> None:
        super().__init__()
        self.key, self.grade, self.outline, self.level = key, grade, outline, level
        self._title = paragraph(numbered(number, title), "finding")
        colored = Markup('<font color="%s">%s</font>')  # markup: not shown
        said = colored % (GRADE_COLOR[grade], bold(word or grade_word(grade)))
        self._below = paragraph(f"{said} · {where}" if where else str(said), "small")
        self.keepWithNext = 1
        self.spaceBefore = 6

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        self.width = available_width
        room = available_width - PLATE_WIDTH - 5
        self.height = sum(
            part.wrap(room, available_height)[1] for part in (self._title, self._below)
        )
        self.height += 1
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        canvas.bookmarkHorizontal(self.key, 0, self.height)
        canvas.anchors[self.key] = canvas.getPageNumber()
        if self.outline:
            canvas.addOutlineEntry(self.outline, self.key, level=self.level, closed=True)
        canvas.plate(0.5, self.height - PLATE_HEIGHT - 0.6, mark_of_grade(self.grade))
        left, top = PLATE_WIDTH + 5, self.height - self._title.height
        self._title.drawOn(canvas, left, top)
        self._below.drawOn(canvas, left, top - self._below.height)


class SummaryRow(Flowable):  # type: ignore[misc]
    """A linked line of the summary: mark, number, title with reason, page at the right edge.

    `title` and `reasons` are markup; the first of the reasons is said that `lines` hold, or none:
    a reason is never cut. What is repaired since bears the torn tag, and says so.
    """

    def __init__(
        self,
        key: str,
        grade: str,
        number: int,
        title: str,
        reasons: Sequence[str],
        *,
        lines: int = 2,
        is_mended: bool = False,
    ) -> None:
        super().__init__()
        self.key, self._lines = key, lines
        self._mark = mark("mended") if is_mended else mark_of_grade(grade)
        self._says = grade_word(grade)
        head = numbered(number, bold(Markup(title)))
        if is_mended:
            word = text(self._mark.word)
            self._says, head = listed([self._says, word]), head + Markup(" · ") + bold(word) + "."
        self._said = [*(f"{head} {reason}" for reason in reasons if reason), str(head)]
        self.width, self.height = -1.0, 0.0

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        if self.width == available_width:
            return self.width, self.height
        self.width = available_width
        room = available_width - PLATE_WIDTH - 36
        self._paragraph = fitting(self._said, "row", room, self._lines)
        self.height = max(self._paragraph.height, PLATE_HEIGHT) + 2.4
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        with canvas.figure(Element("Figure", alternative=self._says), PLATE_WIDTH, self.height):
            canvas.plate(0.5, self.height - PLATE_HEIGHT - 1, self._mark)
        self._paragraph.drawOn(canvas, PLATE_WIDTH + 5, self.height - self._paragraph.height - 0.5)
        canvas.saveState()
        canvas.translate(self.width, self.height - 8.3)
        canvas.page_of(self.key)
        canvas.restoreState()
        canvas.linkRect("", self.key, (0, 0, self.width, self.height), relative=1)


class _MarkedText(Flowable):  # type: ignore[misc]
    """A text beside a mark, which stays with its first lines; None for what follows on a page."""

    def __init__(self, shown: Mark | None, said: Paragraph) -> None:
        super().__init__()
        self._mark, self._said = shown, said

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        _, high = self._said.wrap(available_width - PLATE_WIDTH - 5, available_height)
        least = PLATE_HEIGHT if self._mark is not None else 0
        self.width, self.height = available_width, max(high, least) + 2
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        room = available_width - PLATE_WIDTH - 5
        parts = self._said.split(room, available_height - 2)
        if len(parts) < 2:
            return []
        first, *following = parts
        return [_MarkedText(self._mark, first), *(_MarkedText(None, part) for part in following)]

    def draw(self) -> None:
        if self._mark is not None:
            self.canv.plate(0.5, self.height - PLATE_HEIGHT - 1, self._mark)
        self._said.drawOn(self.canv, PLATE_WIDTH + 5, self.height - self._said.height - 0.5)


class StateRow(_MarkedText):
    """A mark, its word in bold, and behind it what is said of the state, as markup."""

    def __init__(self, shown: Mark, said: str) -> None:
        color = DANGER if shown.color == "oxide" else INK
        colored = Markup('<font color="%s">%s</font>')  # markup: not shown
        word = colored % (color, bold(text(shown.word)))
        super().__init__(shown, paragraph(f"{word} · {said}", "row"))
