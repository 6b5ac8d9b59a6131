"""The first page and the areas, as flowables in reading order.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from reportlab.platypus import CondPageBreak, Spacer

from bradawl.report import charts
from bradawl.report.bodymap import BodyMap, Mark, spots
from bradawl.report.cells import stacked
from bradawl.report.contents import FIRST_AREAS, Area, Contents, Finding, Photo
from bradawl.report.figures import Compression, FuelPressure, Paint, Tread, panel_marks
from bradawl.report.flowables import (
    GUTTER,
    Anchor,
    Framed,
    Gap,
    GradeHeading,
    Picture,
    SummaryRow,
    beside,
    fitted,
    grid,
    pair_rows,
    table,
    together,
)
from bradawl.report.photos import Shelf
from bradawl.report.prose import prose
from bradawl.report.sharing import Shared
from bradawl.report.style import ACCENT, GRADE_COLOUR, GRADE_WORD, GRAVITY, MM
from bradawl.report.typeface import SANS, Ink
from bradawl.report.work import done

_ANSWER = {
    "drive": ("It may be driven home", "none"),
    "limits": ("It may be driven home only within limits", "minor"),
    "trailer": ("Trailer: do not drive it home", "dangerous"),
    "not_cleared": ("Not cleared to drive home", "uninspected"),
}
_REASONS = 5
_PHOTO_WIDTH = {"dangerous": 56 * MM, "major": 48 * MM}
_SMALL_PHOTO_WIDTH = 38 * MM
_SLIGHT_PHOTO_WIDTH = 36 * MM


@dataclass(frozen=True)
class Issue:
    """What identifies one printing of a report; `replaces` is empty or names an earlier one."""

    number: str
    made: str
    today: str
    replaces: str = ""


class Desk:
    """What every section needs: the shared visit, its contents, the ink, the photos, the width."""

    def __init__(
        self,
        shared: Shared,
        contents: Contents,
        shelf: Shelf,
        ink: Ink,
        issue: Issue,
        *,
        width: float,
        height: float,
    ) -> None:
        self.shared, self.contents, self.shelf = shared, contents, shelf
        self.ink, self.issue = ink, issue
        self.width, self.height = width, height
        self._titles = {
            str(item["id"]): str(item["title"]) for item in shared.bundle.get("items", [])
        }

    def p(self, markup: str, style: str = "body") -> Any:
        """A paragraph of markup; recorded text must have gone through the ink."""
        return prose(markup, style)

    def heading(self, key: str, title: str) -> list[Any]:
        return [
            CondPageBreak(46 * MM),
            Anchor(key, self.ink.text(title)),
            self.p(self.ink.markup(title), "h1"),
        ]

    def title_of(self, item: str) -> str:
        """An item's title, or its id when the checklist does not know it."""
        return self._titles.get(item, item)

    def subheading(self, title: str) -> list[Any]:
        """A small heading over something that may break across pages."""
        return [CondPageBreak(30 * MM), self.p(self.ink.markup(title), "h2-loose")]

    def columns(self, *shares: float) -> list[float]:
        return [self.width * share for share in shares]


def first_page(desk: Desk, price: Sequence[Any] = ()) -> list[Any]:
    """Which car, who looked, may it be driven home, what is dangerous, how much was seen.

    `price` is what a partner's first page says of money.
    """
    ink, contents, issue = desk.ink, desk.contents, desk.issue
    kind = "Condition report" if desk.shared.edition == "condition" else "Partner report"
    out: list[Any] = [
        Anchor("summary", "Summary"),
        desk.p(ink.markup(contents.car), "title"),
        desk.p(f"{kind} {ink.markup(issue.number)} of {ink.markup(issue.today)}", "subtitle"),
    ]
    if issue.replaces:
        out.append(desk.p(f"This report replaces {ink.markup(issue.replaces)}.", "strong"))
    if not desk.shared.seals:
        out.append(
            desk.p("This visit is not sealed: what was recorded may still change.", "strong")
        )
    elif desk.shared.amendments:
        count = len(desk.shared.amendments)
        said = "One entry was" if count == 1 else f"{count} entries were"
        out.append(
            desk.p(
                f"{said} changed or added after the seal; they are marked and listed under "
                f'<a href="#amendments" color="{ACCENT}">Amendments</a>.',
                "strong",
            )
        )
    jobs = len(done(desk.shared))
    if jobs:
        said = "One job was" if jobs == 1 else f"{jobs} jobs were"
        out.append(
            desk.p(
                f"{said} done since the inspection: see "
                f'<a href="#work-done" color="{ACCENT}">Work done since</a>.',
                "strong",
            )
        )
    out.append(_facts(desk))
    out += _drive_home(desk)
    out += price
    for grade in ("dangerous", "major"):
        found = contents.of_grade(grade)
        if found:
            out.append(desk.p(f"{grade.capitalize()}: {len(found)}", "h2"))
            out += _summary(desk, found)
        else:
            out.append(
                desk.p(f"{grade.capitalize()}: nothing was found in what was looked at.", "strong")
            )
    minor = len(contents.of_grade("minor"))
    out.append(Spacer(0, 3))
    out.append(desk.p(f"Minor: {minor}, in the areas below." if minor else "Minor: none found."))
    return out + _seen(desk)


def _summary(desk: Desk, found: Sequence[Finding]) -> list[Any]:
    """The findings as linked rows; in two columns when they are many, so that a page holds them."""
    if len(found) <= 6:
        return [_summary_row(desk, finding, 2) for finding in found]
    rows = [_summary_row(desk, finding, 1) for finding in found]
    half = (len(rows) + 1) // 2
    pairs = [[[one] for one in rows[at::half][:2]] for at in range(half)]
    return [pair_rows(pairs, width=desk.width)]


def _facts(desk: Desk) -> Any:
    half = desk.width / 2

    def column(rows: Sequence[tuple[str, str]]) -> Any:
        ready = [
            [f'<font color="#333B45">{desk.ink.markup(label)}</font>', desk.ink.markup(text)]
            for label, text in rows
        ]
        return table([], ready, [30 * MM, half - 30 * MM - 6], ruled=False)

    return grid(
        [column(desk.contents.identity), column(desk.contents.visit_facts)],
        columns=2,
        width=desk.width,
    )


def _drive_home(desk: Desk) -> list[Any]:
    judged = desk.shared.assessment.get("drive_home") or {}
    answer = str(judged.get("answer") or "not_cleared")
    title, grade = _ANSWER.get(answer, _ANSWER["not_cleared"])
    inside: list[Any] = [desk.p(title, "answer")]
    text = str(judged.get("text") or "")
    if text and text.rstrip(".") != title:
        inside.append(desk.p(desk.ink.markup(text)))
    reasons = _reasons_home(desk)
    room = _REASONS if desk.shared.money is None else 2
    for reason in reasons[:room]:
        said = desk.ink.text(reason.get("text") or "")
        inside.append(
            desk.p("• " + escape(fitted(said, SANS, 9, desk.width - 14 * MM), quote=False))
        )
    if len(reasons) > room:
        inside.append(
            desk.p(
                f'{len(reasons) - room} more reasons stand under <a href="#drive-home-reasons" '
                f'color="{ACCENT}">The way home</a>.'
            )
        )
    caution = str(judged.get("caution") or "")
    if caution:
        inside.append(desk.p(desk.ink.markup(caution), "small"))
    return [
        Anchor("drive-home", "May it be driven home?"),
        Framed(inside, colour=GRADE_COLOUR[grade], dashed=answer == "not_cleared"),
        Spacer(0, 4),
    ]


def _reasons_home(desk: Desk) -> list[Any]:
    """The reasons of the drive-home answer, the gravest items first."""
    items = desk.shared.assessment.get("items") or {}

    def gravity(reason: Any) -> int:
        grade = (items.get(reason.get("item")) or {}).get("grade")
        return GRAVITY.index(grade) if grade in GRAVITY else len(GRAVITY)

    reasons = (desk.shared.assessment.get("drive_home") or {}).get("reasons") or []
    return sorted(reasons, key=gravity)


def way_home(desk: Desk) -> list[Any]:
    """Every reason of the drive-home answer, when the first page had no room for all."""
    reasons = _reasons_home(desk)
    if len(reasons) <= (_REASONS if desk.shared.money is None else 2):
        return []
    said, unseen = [], dict[str, list[str]]()
    for reason in reasons:
        text = str(reason.get("text") or "")
        if reason.get("seen") is False:
            title = desk.title_of(str(reason.get("item") or ""))
            unseen.setdefault(text.removeprefix(f"{title}: "), []).append(title)
        else:
            said.append(desk.p("• " + desk.ink.markup(text), "row"))
    half = (len(said) + 1) // 2
    pairs = [[[one] for one in said[at::half][:2]] for at in range(half)]
    return [
        *desk.heading("drive-home-reasons", "The way home: every reason"),
        desk.p("The gravest first.", "small"),
        *([pair_rows(pairs, width=desk.width)] if pairs else []),
        *(
            desk.p(
                f"• <b>{desk.ink.markup(why[:1].upper() + why[1:].rstrip('.'))}:</b> "
                f"{desk.ink.markup(', '.join(items))}.",
                "row",
            )
            for why, items in unseen.items()
        ),
    ]


def _summary_row(desk: Desk, finding: Finding, lines: int) -> Any:
    title = desk.ink.text(finding.title)
    reason = desk.ink.text(finding.first_reason).removeprefix("Answer: ").removeprefix(title)
    return SummaryRow(finding.key, finding.grade, title, reason.lstrip(":, "), lines=lines)


def _seen(desk: Desk) -> list[Any]:
    areas = desk.contents.areas
    share = (desk.shared.assessment.get("coverage") or {}).get("share_percent")
    unseen = sum(len(area.unseen) for area in areas)
    total = sum(area.total for area in areas)
    said = f"{total - unseen} of {total} items were inspected"
    if isinstance(share, int):
        said += f"; weighed by what matters for the intended use, {share} %"
    rows = [(desk.ink.text(a.title), a.total - len(a.unseen), a.total) for a in areas]
    out: list[Any] = [
        desk.p("How much of the car was seen", "h2"),
        desk.p(said + "."),
        Spacer(0, 3),
        charts.coverage(rows, desk.width),
    ]
    if unseen:
        by_why: dict[str, list[str]] = {}
        for area in areas:
            for name, why in area.unseen:
                by_why.setdefault(why, []).append(name)
        why_first = sorted(by_why.items(), key=lambda one: (-len(one[1]), one[0]))
        room = 100 if desk.shared.money is None else 36  # the price stands on that page too
        parts = [f"{_listed(names, room)} ({why.rstrip('.')})" for why, names in why_first[:3]]
        out.append(
            desk.p(
                f"Not inspected: {desk.ink.markup('; '.join(parts))}. "
                f'<a href="#not-inspected" color="{ACCENT}">All {unseen}, with their reasons</a>.',
                "small",
            )
        )
    return [together(out[:4]), *out[4:]]


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
    caption = desk.ink.markup(_short(photo.caption, 300))
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


def _listed(names: Sequence[str], room: int) -> str:
    """As many of the names as fit `room` letters, the first at least, and how many more."""
    count, length = 1, len(names[0])
    while count < len(names) and length + 2 + len(names[count]) <= room:
        length += 2 + len(names[count])
        count += 1
    rest = len(names) - count
    return ", ".join(names[:count]) + (f" and {rest} more" if rest else "")


def _short(text: str, limit: int) -> str:
    """The text, cut at a word's end when it is longer than `limit`."""
    if len(text) <= limit:
        return text
    return text[:limit].rsplit(" ", 1)[0] + " …"
