"""A report from the first page to the seal, as flowables in reading order.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Spacer

from bradawl.report import autograph
from bradawl.report.contents import FIRST_AREAS, Area, Contents, Finding, Photo
from bradawl.report.flowables import (
    Anchor,
    Framed,
    Gap,
    GradeHeading,
    Picture,
    SummaryRow,
    beside,
    grid,
    table,
    together,
)
from bradawl.report.photos import Shelf
from bradawl.report.sharing import Shared
from bradawl.report.signing import Box, Signer
from bradawl.report.style import ACCENT, EDGE, GRADE_COLOUR, MM, styles
from bradawl.report.typeface import Ink

_ANSWER = {
    "drive": ("It may be driven home", "none"),
    "limits": ("It may be driven home only within limits", "minor"),
    "trailer": ("Trailer: do not drive it home", "dangerous"),
    "not_cleared": ("Not cleared to drive home", "uninspected"),
}
_PHOTO_WIDTH = 62 * MM


@dataclass(frozen=True)
class Issue:
    """What identifies one printing of a report."""

    number: str
    made: str
    today: str
    replaces: str = ""


class Story:
    """Builds the flowables; `width` and `height` are the text area's, in points."""

    def __init__(
        self,
        shared: Shared,
        contents: Contents,
        shelf: Shelf,
        ink: Ink,
        issue: Issue,
        signer: Signer | None,
        *,
        width: float,
        height: float,
    ) -> None:
        self._shared, self._contents, self._shelf = shared, contents, shelf
        self._ink, self._issue, self._signer = ink, issue, signer
        self._width, self._height = width, height

    def flowables(self) -> list[Any]:
        """Every page's content, in order."""
        first = [area for area in self._contents.areas if area.order <= FIRST_AREAS]
        others = [area for area in self._contents.areas if area.order > FIRST_AREAS]
        out = self._first_page()
        for area in (*first, *others):
            out += self._area(area)
        out += self._not_inspected()
        out += self._amendments()
        out += self._cautions()
        out += self._method()
        out += self._seal()
        return out

    def p(self, markup: str, style: str = "body") -> Any:
        return Paragraph(markup, styles()[style])

    def heading(self, key: str, title: str) -> list[Any]:
        return [Anchor(key, title), self.p(self._ink.markup(title), "h1")]

    # Page one

    def _first_page(self) -> list[Any]:
        ink, shared = self._ink, self._shared
        kind = "Condition report" if shared.edition == "condition" else "Partner report"
        out: list[Any] = [
            Anchor("summary", "Summary"),
            self.p(ink.markup(self._contents.car), "title"),
            self.p(
                f"{kind} {ink.markup(self._issue.number)}, {ink.markup(self._issue.today)}",
                "subtitle",
            ),
        ]
        if self._issue.replaces:
            out.append(
                self.p(f"This report replaces {ink.markup(self._issue.replaces)}.", "strong")
            )
        out.append(self._facts())
        out += self._drive_home()
        for grade, title in (("dangerous", "Dangerous"), ("major", "Major")):
            found = self._contents.of_grade(grade)
            if found:
                out.append(self.p(f"{title}: {len(found)}", "h2"))
                out += [self._summary_row(finding) for finding in found]
            else:
                out.append(self.p(f"{title}: nothing was found in what was looked at.", "strong"))
        minor = len(self._contents.of_grade("minor"))
        out.append(Spacer(0, 3))
        out.append(self.p(f"Minor: {minor}. They stand in their areas below."))
        out += self._seen()
        return out

    def _facts(self) -> Any:
        def column(rows: Sequence[tuple[str, str]]) -> Any:
            return table(
                [],
                [
                    [
                        f'<font color="#333B45">{self._ink.markup(label)}</font>',
                        self._ink.markup(text),
                    ]
                    for label, text in rows
                ],
                [32 * MM, self._width / 2 - 32 * MM - 6],
                ruled=False,
            )

        return grid(
            [column(self._contents.identity), column(self._contents.visit_facts)],
            columns=2,
            width=self._width,
        )

    def _drive_home(self) -> list[Any]:
        judged = self._shared.assessment.get("drive_home") or {}
        answer = str(judged.get("answer") or "not_cleared")
        title, grade = _ANSWER.get(answer, _ANSWER["not_cleared"])
        inside: list[Any] = [self.p(title, "answer")]
        text = str(judged.get("text") or "")
        if text and text.rstrip(".") != title:
            inside.append(self.p(self._ink.markup(text)))
        for reason in list(judged.get("reasons") or [])[:12]:
            inside.append(self.p("• " + self._ink.markup(reason.get("text") or "")))
        caution = str(judged.get("caution") or "")
        if caution:
            inside.append(self.p(self._ink.markup(caution), "small"))
        return [
            Anchor("drive-home", "May it be driven home?"),
            Framed(inside, colour=GRADE_COLOUR[grade], dashed=answer == "not_cleared"),
            Spacer(0, 4),
        ]

    def _summary_row(self, finding: Finding) -> Any:
        reason = finding.first_reason
        markup = f"<b>{self._ink.markup(finding.title)}</b>"
        if reason:
            markup += f": {self._ink.markup(_short(reason, 220))}"
        return SummaryRow(finding.key, finding.grade, markup)

    def _seen(self) -> list[Any]:
        coverage = self._shared.assessment.get("coverage") or {}
        share = coverage.get("share_percent")
        unseen = sum(len(area.unseen) for area in self._contents.areas)
        total = sum(area.total for area in self._contents.areas)
        said = f"{total - unseen} of {total} items were inspected"
        if isinstance(share, int):
            said += f"; weighed by what matters for the intended use, that is {share} %"
        out = [self.p("How much of the car was seen", "h2"), self.p(said + ".")]
        if unseen:
            names = [name for area in self._contents.areas for name, _ in area.unseen]
            listed = self._ink.markup(_short(", ".join(names), 420))
            out.append(
                self.p(
                    f'Not inspected: {listed}. <a href="#not-inspected" color="{ACCENT}">'
                    "The whole list with its reasons</a> is below."
                )
            )
        return out

    # Areas

    def _area(self, area: Area) -> list[Any]:
        counts = [
            f"{sum(1 for one in area.findings if one.grade == grade)} {grade}"
            for grade in ("dangerous", "major", "minor")
            if any(one.grade == grade for one in area.findings)
        ]
        sound = sum(1 for one in area.sound if one.grade == "none")
        counts += [f"{sound} without fault"] if sound else []
        counts += [f"{len(area.unseen)} not inspected"] if area.unseen else []
        out = [
            CondPageBreak(45 * MM),
            *self.heading(f"area-{area.id}", area.title),
            self.p(", ".join(counts) + ".", "small"),
        ]
        for finding in area.findings:
            out += self._finding(finding)
        detailed = [
            one for one in area.sound if one.photos or one.note or one.others or one.amended
        ]
        plain = [one for one in area.sound if one not in detailed]
        for finding in detailed:
            out += self._finding(finding)
        if plain:
            out.append(self.p("Without fault", "h2"))
            rows = []
            for one in plain:
                said = [f"{r.title}: {r.measured}" for r in one.readings] + list(one.facts)
                said = said or [one.choice]
                rows.append([self._ink.markup(one.title), self._ink.markup("; ".join(said))])
            out.append(table(["Item", "Recorded"], rows, [self._width * 0.42, self._width * 0.58]))
        return out

    def _finding(self, finding: Finding) -> list[Any]:
        ink = self._ink
        serious = finding.grade in ("dangerous", "major")
        heading = GradeHeading(
            finding.key,
            finding.grade,
            ink.markup(finding.title),
            outline=ink.text(finding.title) if serious else "",
        )
        text: list[Any] = []
        if finding.where:
            text.append(self.p(ink.markup(finding.where), "small"))
        if finding.amended:
            text.append(self.p("Changed after the seal; see the amendments.", "quiet"))
        for reason in finding.reasons:
            text.append(self.p(ink.markup(reason)))
        if finding.overruled:
            text.append(self.p(ink.markup(finding.overruled), "quiet"))
        if finding.choice:
            text.append(self.p(f"Answer: {ink.markup(finding.choice)}"))
        for line in (*finding.facts, *finding.problems):
            text.append(self.p(ink.markup(line)))
        if finding.note:
            text.append(self.p(f"Note: {ink.lines(finding.note)}"))
        for other in finding.others:
            text.append(self.p(ink.markup(other), "quiet"))
        pictures = [self._picture(photo, _PHOTO_WIDTH) for photo in finding.photos]
        out: list[Any] = [Spacer(0, 5), heading]
        if pictures:
            out += beside(
                text,
                pictures[:1],
                width=self._width,
                right_width=_PHOTO_WIDTH,
                page_height=self._height,
            )
        else:
            out += text
        if finding.readings:
            out.append(self._readings(finding))
        whole = [together(out)]
        if len(pictures) > 1:
            whole.append(grid(self._small(finding.photos[1:]), columns=3, width=self._width))
        return whole

    def _small(self, photos: Sequence[Photo]) -> list[Any]:
        return [self._picture(photo, self._width / 3 - 8) for photo in photos]

    def _picture(self, photo: Photo, width: float) -> Any:
        caption = self._ink.markup(_short(photo.caption, 300))
        placed = self._shelf.put(photo.sha256)
        if placed is None:
            why = self._shelf.gaps[photo.sha256]
            said = f": {caption}" if caption else ""
            return Gap(
                f"A photo belongs here and cannot be shown, because {why}{said}", width=width
            )
        return Picture(photo.sha256, placed, caption, width=width, tallest=72 * MM)

    def _readings(self, finding: Finding) -> Any:
        ink = self._ink
        return table(
            ["Reading", "Measured", "Limit", "Source of the limit"],
            [
                [
                    ink.markup(text)
                    for text in (one.title, one.measured, one.limit or "none set", one.source)
                ]
                for one in finding.readings
            ],
            [self._width * share for share in (0.22, 0.30, 0.24, 0.24)],
        )  # fmt: skip

    # After the areas

    def _not_inspected(self) -> list[Any]:
        out = self.heading("not-inspected", "Not inspected, and why")
        rows = [
            [self._ink.markup(area.title), self._ink.markup(name), self._ink.markup(why)]
            for area in self._contents.areas
            for name, why in area.unseen
        ]
        if not rows:
            return [*out, self.p("Every item that applies to this car was inspected.")]
        out.append(self.p("What nobody looked at is unknown. It is not “fine”."))
        out.append(
            table(
                ["Area", "Item", "Why"],
                rows,
                [self._width * share for share in (0.22, 0.40, 0.38)],
            )
        )
        return out

    def _amendments(self) -> list[Any]:
        return []

    def _cautions(self) -> list[Any]:
        out = self.heading("cautions", "Cautions and scope")
        out.append(
            self.p(
                "This report says what one person saw, measured and was told at one place on one "
                "day, with simple tools and without taking things apart. It is no roadworthiness "
                "certificate and replaces no licensed inspection. Local law decides whether a car "
                "may be on the road. A claim without a document is not evidence that work was done."
            )
        )
        for title, text in self._contents.cautions:
            out.append(self.p(f"<b>{self._ink.markup(title)}.</b> {self._ink.markup(text)}"))
        return out

    def _method(self) -> list[Any]:
        out = self.heading("method", "Method and sources")
        out.append(
            self.p(
                "Grades: <b>no fault</b>; <b>minor</b>, no notable effect on safety; "
                "<b>major</b>, may impair safety, or needs work before regular use; "
                "<b>dangerous</b>, a direct and immediate risk. A grade that follows from a "
                "reading names its limit and the limit’s source; a person may overrule it with a "
                "reason, and then both stand here."
            )
        )
        if self._contents.sources:
            out.append(
                table(
                    ["Source", "How far it was checked"],
                    [
                        [self._ink.markup(title), self._ink.markup(status)]
                        for title, status in self._contents.sources
                    ],
                    [self._width * 0.62, self._width * 0.38],
                )
            )
        return out

    # Signature and seal

    def _seal(self) -> list[Any]:
        ink = self._ink
        out: list[Any] = [CondPageBreak(150 * MM), *self.heading("seal", "Signature and seal")]
        seals = self._shared.seals
        if seals:
            seal = seals[-1]
            value = seal.value
            at = _mapping(value.get("at"))
            when = " ".join(str(at.get(part) or "") for part in ("date", "time", "zone")).strip()
            where = str(value.get("place") or "") if self._shared.choice.place else ""
            place = f" at {where}" if where else ""
            out.append(
                self.p(
                    f"Sealed by <b>{ink.markup(value.get('name') or 'a person without a name')}</b>"
                    f"{ink.markup(place)} on {ink.markup(when or 'an unknown date')}."
                )
            )
            out.append(Autograph(value.get("strokes")))
            out.append(
                self.p(
                    "The drawn signature is shown for the eye. The proof is the electronic "
                    "signature of this file and the digests below.",
                    "small",
                )
            )
            if not seal.holds:
                out.append(self.p(ink.markup(seal.problem or "The seal does not hold."), "strong"))
            photos = _mapping(value.get("photos"))
            out.append(
                table(
                    [],
                    [
                        ["Digest of the record (SHA-256)", self._digest(value.get("record"))],
                        [f"Digest of {ink.markup(photos.get('count', 0))} photos (SHA-256)",
                         self._digest(photos.get("hash"))],
                        ["Visit", self._digest(self._shared.visit)],
                    ],
                    [self._width * 0.30, self._width * 0.70],
                )
            )  # fmt: skip
        else:
            out.append(
                self.p(
                    "This visit was not sealed: nobody has signed what was recorded, and it may "
                    "still change.",
                    "strong",
                )
            )
        if self._signer is not None:
            out.append(
                self.p(
                    "This file is signed electronically by "
                    f"<b>{ink.markup(self._signer.name)}</b>, certificate "
                    f"{self._signer.short_fingerprint}. Any later change to it can be "
                    "found: open it in a PDF reader that checks signatures, or run "
                    "“bradawl verify” on it. The record itself is attached as a file."
                )
            )
            out.append(
                together(
                    [
                        self.p("Signatures added later", "h2"),
                        self.p(
                            "The buyer or a partner can add a signature here without breaking the "
                            "first.",
                            "small",
                        ),
                        Spacer(0, 4),
                        SignatureBoxes(),
                    ]
                )
            )
        else:
            out.append(self.p("This file carries no electronic signature.", "strong"))
        return out

    def _digest(self, value: object) -> Any:
        text = value if isinstance(value, str) else ""
        grouped = " ".join(text[at : at + 8] for at in range(0, len(text), 8))
        return self.p(self._ink.markup(grouped or "none"), "digest")


class Autograph(Flowable):  # type: ignore[misc]
    """The drawn signature over a line; an empty line when nothing was drawn."""

    def __init__(self, strokes: object) -> None:
        super().__init__()
        self._strokes = strokes

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = min(available_width, 80 * MM), 26 * MM
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setStrokeColor(EDGE)
        self.canv.setLineWidth(0.6)
        self.canv.line(0, 4, self.width, 4)
        autograph.draw(
            self.canv, self._strokes, x=6, y=6, width=self.width - 12, height=self.height - 8
        )


class SignatureBoxes(Flowable):  # type: ignore[misc]
    """Two framed places whose corners the paper remembers for the signature fields."""

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = available_width, 24 * MM
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        each = (self.width - 8 * MM) / 2
        canvas.setStrokeColor(EDGE)
        canvas.setDash(3, 2)
        for at in (0, 1):
            left = at * (each + 8 * MM)
            canvas.rect(left, 0, each, self.height, stroke=1, fill=0)
            x, y = canvas.absolutePosition(left + 1, 1)
            canvas.bradawl_paper.boxes.append(
                Box(canvas.getPageNumber() - 1, (x, y, x + each - 2, y + self.height - 2))
            )
        canvas.setDash()


def _mapping(value: object) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}


def _short(text: str, limit: int) -> str:
    """The text, cut at a word's end when it is longer than `limit`."""
    if len(text) <= limit:
        return text
    return text[:limit].rsplit(" ", 1)[0] + " …"
