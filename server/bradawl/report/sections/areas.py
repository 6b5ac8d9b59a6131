"""The areas with their findings, as flowables in reading order.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import CondPageBreak, Spacer

from bradawl.common.display_text import for_line
from bradawl.judge.values.words import GRADE_WORDS as GRADE_WORD
from bradawl.report.layout import charts
from bradawl.report.layout.body_map import BodyMap, Mark, spots
from bradawl.report.layout.context import Desk
from bradawl.report.layout.flowables import (
    GUTTER,
    Gap,
    GradeHeading,
    Picture,
    beside,
    grid,
    pair_rows,
    table,
    together,
)
from bradawl.report.layout.grids import stacked
from bradawl.report.layout.style import MM
from bradawl.report.model.contents import FIRST_AREAS, Area, Finding, Photo
from bradawl.report.model.figures import Compression, FuelPressure, Paint, Tread, panel_marks

_PHOTO_WIDTH = {"dangerous": 56 * MM, "major": 48 * MM}
_SMALL_PHOTO_WIDTH = 38 * MM
CAPTION_LIMIT = 300  # letters below a photo
_SLIGHT_PHOTO_WIDTH = 36 * MM


def areas(desk: Desk) -> list[Any]:
    """Every area: the six first ones, then all others."""
    out: list[Any] = []
    later = [area for area in desk.contents.areas if area.order > FIRST_AREAS]
    for area in desk.contents.areas:
        if area.order <= FIRST_AREAS:
            out += _area(desk, area)
    for area in later:
        if not area.untouched:
            out += _area(desk, area)
    untouched = [area for area in later if area.untouched]
    if untouched:
        listed = ", ".join(f"{area.title} ({len(area.unseen)})" for area in untouched)
        out.append(
            together(
                [
                    *desk.heading("untouched", "Areas nobody looked at")[1:],
                    desk.p(f"{desk.ink.markup(listed)}. Their items are listed below."),
                ]
            )
        )
    return out


def _area(desk: Desk, area: Area) -> list[Any]:
    counts = [
        f"{sum(1 for one in area.findings if one.grade == grade)} {grade}"
        for grade in ("dangerous", "major", "minor")
        if any(one.grade == grade for one in area.findings)
    ]
    sound = sum(1 for one in area.sound if one.grade == "none")
    counts += [f"{sound} without fault"] if sound else []
    counts += [f"{len(area.unseen)} not inspected"] if area.unseen else []
    head: list[Any] = [
        *desk.heading(f"area-{area.id}", area.title)[1:],
        desk.p(", ".join(counts) + ".", "small"),
    ]
    if area.id == "rust":
        head += _rust_map(desk, area)
    detailed = [
        one
        for one in area.sound
        if one.photos or one.note or one.others or one.amended or one.picture or one.problems
    ]
    plain = [one for one in area.sound if one not in detailed]
    blocks = _blocks(desk, (*area.findings, *detailed))
    listed = _sound(desk, plain) if plain else None
    if listed and not blocks:
        # the line above has said that there is no fault
        return [CondPageBreak(_HEADING + listed.start()), together(head), listed]
    if not blocks:
        return [together(head)]
    # The heading stays with the first block, so that none stands alone at a page's foot.
    out = [CondPageBreak(52 * MM), together([*head, *blocks[0][0]]), *blocks[0][1:]]
    for block in blocks[1:]:
        out += [together(block[0]), *block[1:]]
    if listed:
        out.append(CondPageBreak(_HEADING + listed.start()))
        out += [desk.p("Without fault", "h2-loose"), listed]
    return out


#: Room for a heading and a line below it.
_HEADING = 20 * MM


def _sound(desk: Desk, findings: Sequence[Finding]) -> Any:
    """What is without fault, as a table; two items share a row."""
    cells = []
    for one in findings:
        said = [f"{r.title}: {r.measured}" for r in one.readings] or list(one.facts)
        said = said or [one.choice or one.first_reason]
        cells.append([desk.ink.markup(one.title), desk.ink.markup("; ".join(said))])
    rows = [
        [*cells[at], *(cells[at + 1 : at + 2] or [["", ""]])[0]] for at in range(0, len(cells), 2)
    ]
    head = ["Item", "Recorded", *(["Item", "Recorded"] if len(cells) > 1 else ["", ""])]
    return table(head, rows, desk.columns(0.22, 0.28, 0.22, 0.28))


def _rust_map(desk: Desk, area: Area) -> list[Any]:
    """Rust and paint on the car, and the key to the numbers."""
    paint = next(
        (
            finding.picture
            for one in desk.contents.areas
            for finding in (*one.findings, *one.sound)
            if isinstance(finding.picture, Paint)
        ),
        None,
    )
    marks, key = [], []
    for number, finding in enumerate(area.findings, 1):
        at = spots(finding.id, finding.places)
        marks.append(Mark(number, finding.grade, tuple(at)))
        where = "" if at else " (not on the map)"
        key.append(
            f"<b>{number}</b> {GRADE_WORD[finding.grade]}: {desk.ink.markup(finding.title)}{where}"
        )
    tapped = panel_marks(desk.shared.cells)
    if not any(mark.at for mark in marks) and paint is None and not tapped:
        return []
    out: list[Any] = [BodyMap(marks, paint, tapped, width=desk.width)]
    if key:
        out.append(desk.p("; ".join(key) + ".", "small"))
    if paint is not None:
        said = f"Figures on the panels are paint film. {desk.ink.markup(paint.baseline)}"
        out.append(desk.p(said.rstrip(". ") + ".", "small"))
    return out


def _finding(desk: Desk, finding: Finding) -> list[Any]:
    """A list whose first member is what must stay together, the rest may follow anywhere."""
    width = _PHOTO_WIDTH.get(finding.grade, _SMALL_PHOTO_WIDTH)
    pictures = [_picture(desk, photo, width) for photo in finding.photos[:1]]
    text, limited = _words(desk, finding), _limited(finding)
    out: list[Any] = [Spacer(0, 5), _finding_heading(desk, finding)]
    if pictures:
        if limited:
            text.append(_readings(desk, finding, desk.width - width - 12))
        out += beside(text, pictures, width=desk.width, right_width=width, page_height=desk.height)
    else:
        out += text
        if limited:
            out.append(_readings(desk, finding, desk.width))
    drawn = _drawn(desk, finding)
    whole: list[Any] = [out]
    # A figure stays with its words, but a tall block would leave too much of a page empty.
    if drawn and stacked([*out, *drawn], desk.width) > desk.height / 3:
        whole += drawn
    else:
        out += drawn
    if len(finding.photos) > 1:
        whole.append(photo_grid(desk, finding.photos[1:]))
    return whole


def _finding_heading(desk: Desk, finding: Finding) -> GradeHeading:
    serious = finding.grade in ("dangerous", "major")
    return GradeHeading(
        finding.key,
        finding.grade,
        desk.ink.markup(finding.title),
        word="recorded, not graded" if finding.grade == "uninspected" and finding.open else "",
        outline=desk.ink.text(finding.title) if serious else "",
    )


def _limited(finding: Finding) -> bool:
    """Whether a reading has a limit, so that the readings stand in a table."""
    return any(one.limit for one in finding.readings)


def _slight(finding: Finding) -> bool:
    """Whether a finding with its photo is so little that two stand side by side."""
    said = sum(len(one.text) + len(one.source) for one in finding.reasons) + len(finding.note)
    said += sum(len(one) for one in (*finding.facts, *finding.problems, *finding.others))
    said += sum(len(one.title) + len(one.measured) for one in finding.readings)
    return (
        finding.grade != "dangerous"
        and len(finding.photos) == 1
        and not _limited(finding)
        and finding.picture is None
        and said <= 160
    )


def _blocks(desk: Desk, findings: Sequence[Finding]) -> list[list[Any]]:
    """Findings in their order; slight ones that follow each other share a row in pairs."""
    out: list[list[Any]] = []
    at = 0
    while at < len(findings):
        pair = findings[at : at + 2]
        if len(pair) == 2 and all(_slight(one) for one in pair):
            out.append(
                [[Spacer(0, 5), pair_rows([[_half(desk, one) for one in pair]], width=desk.width)]]
            )
            at += 2
        else:
            out.append(_finding(desk, findings[at]))
            at += 1
    return out


def _half(desk: Desk, finding: Finding) -> list[Any]:
    width = (desk.width - GUTTER) / 2
    picture = _picture(desk, finding.photos[0], _SLIGHT_PHOTO_WIDTH)
    return [
        _finding_heading(desk, finding),
        *beside(
            _words(desk, finding),
            [picture],
            width=width,
            right_width=_SLIGHT_PHOTO_WIDTH,
            page_height=desk.height,
        ),
    ]


def photo_grid(desk: Desk, photos: Sequence[Photo]) -> Any:
    """Small photos in rows of three."""
    small = [_picture(desk, photo, desk.width / 3 - 8) for photo in photos]
    return grid(small, columns=3, width=desk.width)


def _words(desk: Desk, finding: Finding) -> list[Any]:
    ink = desk.ink
    text: list[Any] = []
    if finding.where:
        text.append(desk.p(ink.markup(finding.where), "small"))
    if finding.amended:
        text.append(desk.p("Changed after the seal; see the amendments.", "quiet"))
    for reason in finding.reasons:
        source = f' <font size="7">({ink.markup(reason.source)})</font>' if reason.source else ""
        text.append(desk.p(ink.markup(reason.text) + source))
    if finding.overruled:
        text.append(desk.p(ink.markup(finding.overruled), "quiet"))
    if finding.choice and not any(finding.choice in one.text for one in finding.reasons):
        text.append(desk.p(f"Answer: {ink.markup(finding.choice)}"))
    for line in (*finding.facts, *finding.problems):
        text.append(desk.p(ink.markup(line)))
    if finding.note:
        text.append(desk.p(f"Note: {ink.lines(finding.note)}"))
    for other in finding.others:
        text.append(desk.p(ink.markup(other), "quiet"))
    if not _limited(finding):
        for one in finding.readings:
            text.append(desk.p(f"{ink.markup(one.title)}: {ink.markup(one.measured)}"))
    return text


def _drawn(desk: Desk, finding: Finding) -> list[Any]:
    figures = finding.picture
    if isinstance(figures, Compression):
        return [Spacer(0, 4), charts.compression(figures, desk.width)]
    if isinstance(figures, FuelPressure):
        return [Spacer(0, 4), charts.fuel_pressure(figures, desk.width)]
    if isinstance(figures, Tread):
        return [Spacer(0, 4), charts.tread(figures, desk.width)]
    return []


def _picture(desk: Desk, photo: Photo, width: float) -> Any:
    caption = desk.ink.markup(for_line(photo.caption, CAPTION_LIMIT), 2 * CAPTION_LIMIT)
    placed = desk.shelf.put(photo.sha256)
    if placed is None:
        why = desk.shelf.gaps[photo.sha256]
        said = f". It was to show: {caption}" if caption else ""
        return Gap(f"A photo belongs here and cannot be shown, because {why}{said}.", width=width)
    return Picture(photo.sha256, placed, caption, width=width, tallest=72 * MM)


def _readings(desk: Desk, finding: Finding, width: float) -> Any:
    rows = [
        [
            desk.ink.markup(text)
            for text in (one.title, one.measured, one.limit or "none of its own", one.source)
        ]
        for one in finding.readings
    ]
    head = ["Reading", "Measured", "Limit", "Source of the limit"]
    return table(head, rows, [width * share for share in (0.20, 0.34, 0.24, 0.22)])
