"""The areas with their findings, as flowables in reading order.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, Spacer

from bradawl.language import text
from bradawl.language.tongues import joined
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, bold
from bradawl.report.model.contents import FIRST_AREAS, Area, Finding
from bradawl.report.model.once import told_once
from bradawl.report.sections.findings import blocks, labeled

__all__ = ["areas"]


def areas(page: PageContext) -> list[Flowable]:
    """Every area: the six first ones, then those of the others where somebody looked."""
    first = [area for area in page.contents.areas if area.order <= FIRST_AREAS]
    later = [area for area in page.contents.areas if area.order > FIRST_AREAS]
    out: list[Flowable] = []
    for area in (*first, *(area for area in later if not area.untouched)):
        out += _area(page, area)
    return out


def _area(page: PageContext, area: Area) -> Iterator[Flowable]:
    head: list[Flowable] = [
        *page.heading(f"area-{area.id}", area.title),
        page.plain(joined(", ", _counts(area)), "small"),
    ]
    detailed = [finding for finding in area.sound if _is_detailed(finding)]
    plain = [finding for finding in area.sound if not _is_detailed(finding)]
    lines = [_sound(page, finding) for finding in plain]
    if area.findings or detailed:
        yield from blocks(page, (*area.findings, *detailed), head)
        if lines:
            title = page.sentence("grade-none", "h2")
            yield KeptTogether([title, *lines[:2]])
            yield from lines[2:]
    else:
        yield KeptTogether([*head, Spacer(0, 2), *lines[:2]])
        yield from lines[2:]


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
    """Whether an item without fault has more to show than a line holds."""
    return bool(
        finding.photos
        or finding.note
        or finding.others
        or finding.amended
        or finding.figure
        or finding.problems
        or finding.grade != "none"
    )


def _sound(page: PageContext, finding: Finding) -> Flowable:
    """What is without fault, in one line."""
    told = told_once(finding)
    said = [
        *(reason.text for reason in told.reasons),
        *told.lines,
        *(labeled(reading) for reading in told.readings),
    ]
    title = bold(page.markup(finding.title))
    shown = joined("; ", [one.rstrip(".") for one in said]) or text("report-sound-checked")
    return page.sentence("report-sound-line", "row", title=title, text=shown)
