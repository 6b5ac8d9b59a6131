"""No heading stands alone: room for it and for the start of what it heads, or the next column.

A heading here is any flowable that asks to be kept with the next one. It is not tied to all of what
follows, which may be a table of many columns, but to as much as makes sense of it.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from bradawl.report.layout.flowables import KeptTogether
from bradawl.report.layout.grids import Grid
from bradawl.report.layout.style import styles
from bradawl.report.layout.text.paragraphs import Paragraph

__all__ = ["headings_kept"]

_LINES = 3  # of a paragraph below a heading: whole up to so many, else one less
_LEAD_LINES = 4  # of what introduces a text below its heading


class _Room(CondPageBreak):  # type: ignore[misc]
    """Goes on in the next column where less than `height` points are left in this one."""

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        frame = self._doctemplateAttr("frame")
        if frame is None or frame._atTop:  # there is no more room anywhere
            return 0, 0
        found: tuple[float, float] = super().wrap(width, height)
        return found


def headings_kept(flowables: Sequence[Flowable], width: float, tallest: float) -> list[Flowable]:
    """The flowables, each run of headings with a break before it where they need one.

    `width` is that of their column, `tallest` the height of a whole one, both in points.
    """
    waiting = list(_apart(flowables, width, tallest))
    out: list[Flowable] = []
    at = 0
    while at < len(waiting):
        run = _run(waiting, at, width)
        if run:
            needs = _height(waiting[at : at + run + 1], width)
            out.append(_Room(min(needs, tallest)))
        for one in waiting[at : at + max(run, 1)]:
            one.keepWithNext = 0  # heeded
            out.append(one)
        at += max(run, 1)
    return out


def _apart(flowables: Sequence[Flowable], width: float, tallest: float) -> Iterator[Flowable]:
    """All flowables; what cannot stay together in one column is taken apart, and a heading that
    ends a block heads what comes after it.
    """
    for flowable in flowables:
        if not isinstance(flowable, KeptTogether):
            yield flowable
            continue
        content = list(flowable._content)
        if flowable.height_in(width) > tallest or content[-1].getKeepWithNext():
            yield from _apart(content, width, tallest)
            continue
        for inside in content:
            inside.keepWithNext = 0
        yield flowable


def _run(waiting: Sequence[Flowable], at: int, width: float) -> int:
    """How many flowables from there on are headings, with what introduces their text."""
    end = at
    while end < len(waiting) and waiting[end].getKeepWithNext():
        end += 1
    if end > at:
        while end < len(waiting) and _is_lead(waiting[end], width):
            end += 1
    return end - at


def _is_lead(flowable: Flowable, width: float) -> bool:
    if isinstance(flowable, Spacer | CondPageBreak) or flowable.getKeepWithNext():
        return True
    if not isinstance(flowable, Paragraph):
        return False
    height = flowable.wrap(width, 0)[1]
    return flowable.style == styles()["small"] and height <= _LEAD_LINES * flowable.style.leading


def _height(run: Sequence[Flowable], width: float) -> float:
    """How tall a run of headings is together with the start of the last flowable."""
    height = after = 0.0
    for number, one in enumerate(run):
        is_last = number + 1 == len(run)
        height += max(after, one.getSpaceBefore()) if number else one.getSpaceBefore()
        height += _start(one, width) if is_last else one.wrap(width, 1e6)[1]
        after = one.getSpaceAfter()
    return height


def _start(flowable: Flowable, width: float) -> float:
    """The least of a flowable that may stand below its heading."""
    if isinstance(flowable, KeptTogether):
        return flowable.height_in(width)
    if isinstance(flowable, Grid):
        return flowable.start_height()
    height = float(flowable.wrap(width, 1e6)[1])
    if isinstance(flowable, Paragraph) and height > _LINES * flowable.style.leading:
        return (_LINES - 1) * flowable.style.leading
    return height
