"""The areas with their findings, as flowables in reading order.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from bradawl.common.display_text import for_line
from bradawl.language import text
from bradawl.report.layout import charts
from bradawl.report.layout.body_map import BodyMap, Mark, spots
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import (
    GUTTER,
    GradeHeading,
    KeptTogether,
    PhotoFrame,
    PhotoGap,
    grid,
    link,
    pair_rows,
    side_by_side,
    table,
)
from bradawl.report.layout.grids import stacked_height
from bradawl.report.layout.style import MM
from bradawl.report.model.contents import FIRST_AREAS, Area, Finding, Photo, Reading
from bradawl.report.model.figures import Compression, FuelPressure, Paint, Tread, panel_marks
from bradawl.report.model.texts import grade_word

__all__ = ["areas", "photo_grid"]

_PHOTO_WIDTH = {"dangerous": 56 * MM, "major": 48 * MM}
_SMALL_PHOTO_WIDTH = 38 * MM
_SLIGHT_PHOTO_WIDTH = 36 * MM
_TALLEST_PHOTO = 72 * MM
_HEADING = 20 * MM  # room for a heading and a line below it
CAPTION_LIMIT = 300  # letters below a photo
SLIGHT_LIMIT = 160  # letters of a finding that needs half a row


def areas(page: PageContext) -> list[Flowable]:
    """Every area: the six first ones, then all others; those nobody looked at in one line."""
    first = [area for area in page.contents.areas if area.order <= FIRST_AREAS]
    later = [area for area in page.contents.areas if area.order > FIRST_AREAS]
    out: list[Flowable] = []
    for area in (*first, *(area for area in later if not area.untouched)):
        out += _area(page, area)
    untouched = [
        text("report-untouched-area", title=area.title, count=len(area.unseen))
        for area in later
        if area.untouched
    ]
    if untouched:
        heading = page.heading("untouched", text("report-untouched"))[1:]
        areas_text = page.sentence("report-untouched-areas", areas=", ".join(untouched))
        out.append(KeptTogether([*heading, areas_text]))
    return out


def _area(page: PageContext, area: Area) -> list[Flowable]:
    head: list[Flowable] = [
        *page.heading(f"area-{area.id}", area.title)[1:],
        page.plain(", ".join(_counts(area)), "small"),
    ]
    if area.id == "rust":
        head += _rust_map(page, area)
    detailed = [finding for finding in area.sound if _is_detailed(finding)]
    plain = [finding for finding in area.sound if not _is_detailed(finding)]
    blocks = _blocks(page, (*area.findings, *detailed))
    listed = _without_fault(page, plain) if plain else None
    if listed and not blocks:
        # the line above has said that there is no fault
        return [CondPageBreak(_HEADING + listed.start_height()), KeptTogether(head), listed]
    if not blocks:
        return [KeptTogether(head)]
    # The heading stays with the first block, so that none stands alone at a page's foot.
    out = [CondPageBreak(52 * MM), KeptTogether([*head, *blocks[0][0]]), *blocks[0][1:]]
    for block in blocks[1:]:
        out += [KeptTogether(block[0]), *block[1:]]
    if listed:
        out.append(CondPageBreak(_HEADING + listed.start_height()))
        out += [page.sentence("report-sound", "h2-loose"), listed]
    return out


def _counts(area: Area) -> Iterator[str]:
    """How many items have which grade."""
    for grade in ("dangerous", "major", "minor"):
        count = sum(finding.grade == grade for finding in area.findings)
        if count:
            yield text("report-count-" + grade, count=count)
    sound = sum(finding.grade == "none" for finding in area.sound)
    if sound:
        yield text("report-count-none", count=sound)
    if area.unseen:
        yield text("report-count-uninspected", count=len(area.unseen))


def _is_detailed(finding: Finding) -> bool:
    """Whether an item without fault has more to show than a line of a table holds."""
    return bool(
        finding.photos
        or finding.note
        or finding.others
        or finding.amended
        or finding.figure
        or finding.problems
    )


def _without_fault(page: PageContext, findings: Sequence[Finding]) -> Flowable:
    """What is without fault, as a table; two items share a row."""
    cells = []
    for finding in findings:
        texts = [_labeled(reading) for reading in finding.readings]
        seen = finding.choice or finding.first_reason or text("report-sound-checked")
        texts = texts or list(finding.facts) or [seen]
        cells.append([page.markup(finding.title), page.markup("; ".join(texts))])
    if len(cells) % 2:
        cells.append(["", ""])
    rows = [[*left, *right] for left, right in zip(cells[::2], cells[1::2], strict=True)]
    names = [page.say("report-column-check"), page.say("report-column-recorded")]
    head = [*names, *(names if len(findings) > 1 else ["", ""])]
    return table(head, rows, page.columns(0.22, 0.28, 0.22, 0.28))


def _rust_map(page: PageContext, area: Area) -> list[Flowable]:
    """Rust and paint on the car, and the key to the numbers."""
    paint = next(
        (
            finding.figure
            for other in page.contents.areas
            for finding in (*other.findings, *other.sound)
            if isinstance(finding.figure, Paint)
        ),
        None,
    )
    marks, key = [], []
    for number, finding in enumerate(area.findings, 1):
        at = spots(finding.id, finding.places)
        marks.append(Mark(number, finding.grade, tuple(at)))
        said = text(
            "report-map-key" if at else "report-map-key-nowhere",
            number=number,
            grade=grade_word(finding.grade),
            title=finding.title,
        )
        key.append(said)
    tapped = panel_marks(page.view.cells)
    if not any(mark.at for mark in marks) and paint is None and not tapped:
        return []
    out: list[Flowable] = [BodyMap(marks, paint, tapped, width=page.width)]
    if key:
        out.append(page.plain("; ".join(key), "small"))
    if paint is not None:
        out.append(page.sentence("report-map-film", "small", baseline=paint.baseline))
    return out


def _labeled(reading: Reading) -> str:
    return text("report-labeled", label=reading.title, text=reading.measured)


def _blocks(page: PageContext, findings: Sequence[Finding]) -> list[list[Flowable]]:
    """Findings in their order; slight ones that follow each other share a row in pairs.

    The first member of a block must stay together, the rest may follow anywhere.
    """
    out: list[list[Flowable]] = []
    waiting = list(findings)
    while waiting:
        if len(waiting) > 1 and _is_slight(waiting[0]) and _is_slight(waiting[1]):
            pair = [_half(page, waiting.pop(0)), _half(page, waiting.pop(0))]
            out.append([[Spacer(0, 5), pair_rows([pair], width=page.width)]])
        else:
            out.append(_finding(page, waiting.pop(0)))
    return out


def _finding(page: PageContext, finding: Finding) -> list[Flowable]:
    """A finding as a block of `_blocks`."""
    width = _PHOTO_WIDTH.get(finding.grade, _SMALL_PHOTO_WIDTH)
    photos = [_photo(page, photo, width) for photo in finding.photos[:1]]
    text = _texts(page, finding)
    if _has_limits(finding):
        text.append(_readings(page, finding, page.width - width - 12 if photos else page.width))
    if photos:
        text = side_by_side(
            text, photos, width=page.width, right_width=width, page_height=page.height
        )
    whole: list[Flowable] = [[Spacer(0, 5), _heading(page, finding), *text]]
    chart = _chart(page, finding)
    # A figure stays with its words, but a tall block would leave too much of a page empty.
    if chart and stacked_height([*whole[0], *chart], page.width) > page.height / 3:
        whole += chart
    else:
        whole[0] += chart
    if len(finding.photos) > 1:
        whole.append(photo_grid(page, finding.photos[1:]))
    return whole


def _half(page: PageContext, finding: Finding) -> list[Flowable]:
    """A slight finding in half a row."""
    photo = _photo(page, finding.photos[0], _SLIGHT_PHOTO_WIDTH)
    return [
        _heading(page, finding),
        *side_by_side(
            _texts(page, finding),
            [photo],
            width=(page.width - GUTTER) / 2,
            right_width=_SLIGHT_PHOTO_WIDTH,
            page_height=page.height,
        ),
    ]


def _heading(page: PageContext, finding: Finding) -> GradeHeading:
    ungraded = finding.grade == "uninspected" and finding.open
    return GradeHeading(
        finding.key,
        finding.grade,
        page.markup(finding.title),
        word=text("report-grade-not-rated") if ungraded else "",
        outline=page.text(finding.title) if finding.grade in ("dangerous", "major") else "",
    )


def _has_limits(finding: Finding) -> bool:
    """Whether a reading has a limit, so that the readings stand in a table."""
    return any(reading.limits for reading in finding.readings)


def _is_slight(finding: Finding) -> bool:
    """Whether a finding with its photo is so little that two stand side by side."""
    texts = [finding.note, *finding.facts, *finding.problems, *finding.others]
    texts += [said for reason in finding.reasons for said in (reason.text, reason.source)]
    texts += [said for reading in finding.readings for said in (reading.title, reading.measured)]
    return (
        finding.grade != "dangerous"
        and len(finding.photos) == 1
        and not _has_limits(finding)
        and finding.figure is None
        and sum(len(said) for said in texts) <= SLIGHT_LIMIT
    )


def _texts(page: PageContext, finding: Finding) -> list[Flowable]:
    """A finding's paragraphs: where, why, what was answered, noted and measured."""
    out: list[Flowable] = []
    if finding.where:
        out.append(page.plain(finding.where, "small"))
    if finding.amended:
        chapter = link("amendments", page.say("report-changes"))
        out.append(page.sentence("report-changed", "quiet", link=chapter))
    for reason in finding.reasons:
        size = Markup(' <font size="7">({})</font>')  # markup: not shown
        source = size.format(Markup(page.markup(reason.source))) if reason.source else ""
        out.append(page.paragraph(page.markup(reason.text) + str(source)))
    if finding.overruled:
        out.append(page.plain(finding.overruled, "quiet"))
    if finding.choice and not any(finding.choice in reason.text for reason in finding.reasons):
        out.append(page.plain(finding.choice))
    out += [page.plain(said) for said in (*finding.facts, *finding.problems)]
    if finding.note:
        out.append(page.sentence("report-note", text=Markup(page.lines(finding.note))))
    out += [page.plain(said, "quiet") for said in finding.others]
    if not _has_limits(finding):
        out += [page.plain(_labeled(reading)) for reading in finding.readings]
    return out


def _chart(page: PageContext, finding: Finding) -> list[Flowable]:
    """The finding's chart with room above it; nothing where there is none."""
    figure = finding.figure
    if isinstance(figure, Compression):
        chart = charts.compression(figure, page.width)
    elif isinstance(figure, FuelPressure):
        chart = charts.fuel_pressure(figure, page.width)
    elif isinstance(figure, Tread):
        chart = charts.tread(figure, page.width)
    else:
        return []
    return [Spacer(0, 4), chart]


def photo_grid(page: PageContext, photos: Sequence[Photo]) -> Flowable:
    """Small photos in rows of three."""
    small = [_photo(page, photo, page.width / 3 - 8) for photo in photos]
    return grid(small, columns=3, width=page.width)


def _photo(page: PageContext, photo: Photo, width: float) -> Flowable:
    """A photo with its caption, or a frame that says why it cannot be shown."""
    caption = page.markup(for_line(photo.caption, CAPTION_LIMIT), 2 * CAPTION_LIMIT)
    embedded = page.photos.embed(photo.sha256)
    if embedded is None:
        why = page.photos.gaps[photo.sha256]
        if caption:
            said = page.say("report-photo-gap-caption", why=why, caption=Markup(caption))
        else:
            said = page.say("report-photo-gap", why=why)
        return PhotoGap(str(said), width=width)
    return PhotoFrame(photo.sha256, embedded, caption, width=width, tallest=_TALLEST_PHOTO)


def _readings(page: PageContext, finding: Finding, width: float) -> Flowable:
    """The readings with their limits, as a table `width` points wide."""
    rows = [
        [
            page.markup(reading.title),
            page.markup(reading.measured),
            "<br/>".join(_limit(page, *limit) for limit in reading.limits),
        ]
        for reading in finding.readings
    ]
    columns = ("reading", "measured", "limits")
    head = [page.say("report-column-" + column) for column in columns]
    return table(head, rows, [width * share for share in (0.22, 0.38, 0.40)])


def _limit(page: PageContext, limit: str, source: str) -> str:
    if not source:
        return page.markup(limit)
    return page.say("report-limit-source", limit=limit, source=source)
