"""The car with its numbered faults, and the few photos that matter, large.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from bradawl.inspection.on_car import body_style, places_of_finding
from bradawl.language import text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.drawing.body_map import BodyMap
from bradawl.report.layout.drawing.car_marks import Mark
from bradawl.report.layout.flowables import Anchor, KeptTogether, in_rows
from bradawl.report.layout.grids import Grid, Padding
from bradawl.report.layout.style import COLUMN_WIDTH, GUTTER
from bradawl.report.model.contents import Contents, Finding, Photo
from bradawl.report.model.figures import Paint, panel_marks
from bradawl.report.sections import repairs
from bradawl.report.sections.findings import photo

__all__ = ["front_photos", "pictures"]

MOST_PHOTOS = 4
#: Of more faults than these the slightest stand in the list alone: a map full of marks shows none.
MOST_MARKS = 60
#: By how many photos there are, how many of them stand beside the map; the others below it.
_BESIDE = (0, 1, 2, 0, 1)
_TALL = 129.0  # points, of a photo of these pages


def front_photos(contents: Contents) -> list[tuple[Finding, Photo]]:
    """The first photo of each of the gravest faults, the gravest first; minor ones have none."""
    grave = [*contents.of_grade("dangerous"), *contents.of_grade("major")]
    shown: dict[str, tuple[Finding, Photo]] = {}
    for finding in grave:
        if finding.photos:
            shown.setdefault(finding.photos[0].sha256, (finding, finding.photos[0]))
    return list(shown.values())[:MOST_PHOTOS]


def pictures(page: PageContext) -> list[Flowable]:
    """The map with its key, and the photos that matter beside and below it."""
    chosen = front_photos(page.contents)
    page.in_front = frozenset(shown.sha256 for _, shown in chosen)
    beside = chosen[: _BESIDE[len(chosen)]]
    drawn = _map(page, page.width - COLUMN_WIDTH - GUTTER if beside else page.width)
    if not drawn and not chosen:
        return []
    heading: list[Flowable] = [
        Anchor("pictures", text("report-pictures")),
        page.sentence("report-pictures", "h2"),
    ]
    beside = beside if drawn else []
    below = chosen[len(beside) :]
    if beside:
        photos: list[Flowable] = []
        for one in beside:
            photos += _photo(page, one, COLUMN_WIDTH)
        widths = [page.width - COLUMN_WIDTH, COLUMN_WIDTH]
        drawn = [Grid([[drawn, photos]], widths, (Padding(right=GUTTER), Padding()))]
    out: list[Flowable] = [KeptTogether([*heading, *drawn])]
    if below:
        each = (page.width - GUTTER * (len(below) - 1)) / len(below)
        cells = [_photo(page, one, min(each, 264.0)) for one in below]
        out += [Spacer(0, 2), in_rows(cells, columns=len(cells), width=page.width)]
    return out


def _photo(page: PageContext, one: tuple[Finding, Photo], width: float) -> list[Flowable]:
    finding, shown = one
    tallest = max(_TALL, width * 0.62) if width > COLUMN_WIDTH else _TALL
    framed = photo(page, shown, width, number=finding.number, tallest=tallest)
    return [Anchor(f"photo-{shown.sha256[:16]}"), framed, Spacer(0, 3)]


def _map(page: PageContext, width: float) -> list[Flowable]:
    """The body with the faults that have a place, and what the numbers of the minor ones mean."""
    paint = next(
        (
            finding.figure
            for area in page.contents.areas
            for finding in (*area.findings, *area.sound)
            if isinstance(finding.figure, Paint)
        ),
        None,
    )
    faults = [finding for area in page.contents.areas for finding in area.findings]
    style = body_style(page.view.cells)
    items = {item["id"]: item for item in page.view.bundle["items"]}
    mended = repairs.mended(page)
    marks = []
    for finding in faults:
        reasons = page.view.judgment_of(finding.id).get("reasons", [])
        photographed = [photo.place for photo in finding.photos if photo.place]
        at = places_of_finding(items.get(finding.id, {}), reasons, photographed, style)
        if at:
            marks.append(Mark(finding.number, finding.grade, at[:2], finding.id in mended))
    marks = sorted(marks, key=lambda mark: mark.number)[:MOST_MARKS]
    tapped = panel_marks(page.view.cells)
    if not marks and paint is None and not tapped:
        return []
    out: list[Flowable] = [BodyMap(marks, paint, tapped, width=width, style=style)]
    if paint is not None:
        out.append(page.sentence("report-map-film", "small", baseline=paint.baseline))
    return out
