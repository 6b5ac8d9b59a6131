"""One finding as a block of a column: why, readings, photos; each said once.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from bradawl.common.display_text import for_line
from bradawl.design import mark
from bradawl.language import text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.drawing import charts
from bradawl.report.layout.flowables import KeptTogether, PhotoFrame, PhotoGap, bold, link, numbered
from bradawl.report.layout.graded import GradeHeading, StateRow
from bradawl.report.layout.grids import Grid, Padding, stacked_height
from bradawl.report.layout.style import GREY, NARROW
from bradawl.report.model.contents import Finding, Photo, Reading
from bradawl.report.model.figures import Compression, FuelPressure, Tread
from bradawl.report.model.once import told_once
from bradawl.report.sections.repairs import mended

__all__ = ["CAPTION_LIMIT", "blocks", "labeled", "photo"]

CAPTION_LIMIT = 300  # letters below a photo
TALLEST_PHOTO = 129.0  # three quarters of a column's width: most photos are wider than tall
#: A block up to this share of a page's height stays whole in its column.
_WHOLE = 0.3


def blocks(
    page: PageContext, findings: Sequence[Finding], head: Sequence[Flowable] = ()
) -> Iterator[Flowable]:
    """Findings in their order, `head` together with the first of them."""
    above = list(head)
    for finding in findings:
        yield from _kept(page, [*above, *_block(page, finding)], len(above))
        above = []


def _kept(page: PageContext, block: list[Flowable], above: int) -> Iterator[Flowable]:
    """A block in one piece, or where it is long its heading with what follows it, then the rest."""
    if stacked_height(block, page.column) <= page.height * _WHOLE:
        yield KeptTogether(block)
        return
    first = above + 3  # a heading and two pieces
    yield KeptTogether(block[:first])
    yield from block[first:]


def _block(page: PageContext, finding: Finding) -> list[Flowable]:
    ungraded = finding.grade == "uninspected" and finding.open
    heading = GradeHeading(
        finding.key,
        finding.grade,
        page.markup(finding.title),
        number=finding.number,
        where=page.markup(finding.where),
        word=text("report-grade-not-rated") if ungraded else "",
        outline=page.text(finding.title) if finding.grade in ("dangerous", "major") else "",
    )
    since: list[Flowable] = []
    if finding.id in mended(page):
        since.append(StateRow(mark("mended"), link("repairs", text("report-outcome"))))
    return [
        *(heading, *since),
        *_texts(page, finding), *_chart(page, finding), *_photos(page, finding),
    ]  # fmt: skip


def _texts(page: PageContext, finding: Finding) -> Iterator[Flowable]:
    """Why, what was answered, noted and measured."""
    if finding.amended:
        chapter = link("amendments", page.say("report-changes"))
        yield page.sentence("report-changed", "quiet", link=chapter)
    told = told_once(finding)
    for reason in told.reasons:
        yield page.paragraph(page.markup(reason.text) + page.cited(reason.source))
    if finding.overruled:
        yield page.plain(finding.overruled, "quiet")
    for said in told.lines:
        yield page.plain(said)
    for said in told.asked:
        yield StateRow(mark("look_here"), page.markup(said))
    if finding.note:
        yield page.sentence("report-note", "note", text=Markup(page.lines(finding.note)))
    for said in finding.others:
        yield page.plain(said, "quiet")
    if told.readings:
        yield _readings(page, told.readings)


#: From so many places on a reading has a row for each.
_ROWS_FROM = 3


def _readings(page: PageContext, readings: Sequence[Reading]) -> Flowable:
    """Readings with their limits as rows: what was measured in few places stands in one."""
    rows: list[list[Flowable]] = []
    for reading in readings:
        limits = "; ".join(
            page.markup(limit) + page.cited(source) for limit, source in reading.limits
        )
        grey = str(_GREY % (GREY, Markup(limits))) if limits else ""
        title = page.markup(reading.title)
        if len(reading.places) < _ROWS_FROM:
            said = page.say(
                "report-labeled", label=Markup(title), text=bold(page.markup(reading.measured))
            )
            rows.append([page.paragraph(f"{said} {grey}", "cell")])
            continue
        places = [
            [page.plain(place, "cell"), page.plain(figure, "cell-right")]
            for place, figure in reading.places
        ]
        wide = max(stringWidth(page.text(figure), NARROW, 8) for _, figure in reading.places)
        right = min(wide + 2, page.column * 0.6)
        head = page.paragraph(f"{bold(title)} {grey}", "cell")
        table = Grid(
            [[[cell] for cell in row] for row in places], [page.column - right, right], Padding()
        )
        rows += [[head, table]]
    return Grid(
        [[row] for row in rows],
        [page.column],
        Padding(top=1, bottom=1.2),
        ruled=True,
        before=2,
        after=3,
    )


_GREY = Markup('<font color="%s">%s</font>')  # markup: not shown


def labeled(reading: Reading) -> str:
    """A reading without its limits."""
    return text("report-labeled", label=reading.title, text=reading.measured)


def _chart(page: PageContext, finding: Finding) -> Iterator[Flowable]:
    """The finding's chart with room above it; nothing where there is none."""
    figure = finding.figure
    if isinstance(figure, Compression):
        yield from charts.compression(figure, page.column)
    elif isinstance(figure, FuelPressure):
        yield from charts.fuel_pressure(figure, page.column)
    elif isinstance(figure, Tread):
        yield from charts.tread(figure, page.column)


def _photos(page: PageContext, finding: Finding) -> Iterator[Flowable]:
    for shown in finding.photos:
        if shown.sha256 in page.in_front:
            front = link(f"photo-{shown.sha256[:16]}", page.say("report-photo-in-front"), GREY)
            yield page.paragraph(str(front), "small")
        else:
            yield photo(page, shown, page.column, number=finding.number)


def photo(
    page: PageContext,
    shown: Photo,
    width: float,
    *,
    number: int = 0,
    tallest: float = TALLEST_PHOTO,
) -> Flowable:
    """A photo with its caption, or a frame that says why it cannot be shown."""
    said = page.markup(for_line(shown.caption, CAPTION_LIMIT), 2 * CAPTION_LIMIT)
    embedded = page.photos.embed(shown.sha256, width, tallest)
    if embedded is None:
        why = page.photos.gaps[shown.sha256]
        if said:
            gap = page.say("report-photo-gap-caption", why=why, caption=Markup(said))
        else:
            gap = page.say("report-photo-gap", why=why)
        return PhotoGap(str(gap), width=width)
    caption = numbered(number, said) if said or number else ""
    return PhotoFrame(shown.sha256, embedded, str(caption), width=width, tallest=tallest)
