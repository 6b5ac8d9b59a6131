"""The second page's foot: who sealed the visit, what is left out, who issued this file.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from bradawl.inspection import cell_values
from bradawl.inspection.said import clock_text
from bradawl.inspection.seals import open_at_lock
from bradawl.language import current, date, language_name, text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, bold, in_rows
from bradawl.report.layout.grids import Grid, Padding
from bradawl.report.layout.style import COLUMN_WIDTH, EDGE, GUTTER
from bradawl.report.pdf.structure import Element
from bradawl.report.sections import drawn_signature
from bradawl.report.signing.keys import Signer

__all__ = ["seal"]


def seal(page: PageContext, signer: Signer | None) -> list[Flowable]:
    """Who sealed the visit, the digests, who issued this file, and room for later signatures."""
    view = page.view
    told: list[Flowable] = []
    if not view.seals:
        told.append(page.sentence("report-unsigned", "strong"))
    else:
        told += _sealed(page)
    if view.left_out:
        told.append(_left_out(page))
    if view.erased:
        told.append(_erased(page))
    if view.unconfirmed:
        told.append(page.sentence("report-unconfirmed", "strong", count=view.unconfirmed))
    if signer is None:
        told.append(page.sentence("report-file-unsigned", "strong"))
    else:
        told.append(
            page.sentence(
                "report-file-signed",
                "row",
                name=bold(page.markup(signer.name)),
                digits=signer.digits,
            )
        )
    whole: list[Flowable] = page.heading("seal", text("report-signatures"))
    if view.seals:
        is_drawn = bool(cell_values.strokes(view.seals[-1].value.get("strokes")))
        shown = [_beside_the_drawing(page, told)] if is_drawn else told
        whole += [*shown, Spacer(0, 2), _digests(page)]
    else:
        whole += told
    if signer is None:
        return [KeptTogether(whole)]
    later = page.say("report-signatures-later")
    how = page.say("report-signatures-later-how")
    whole += [
        Spacer(0, 3),
        page.paragraph(f"{bold(later)}. {how}", "small"),
        Spacer(0, 2),
        SignaturePlaces(),
    ]
    return [KeptTogether(whole)]


def _sealed(page: PageContext) -> list[Flowable]:
    """Who sealed it, and whether the seal holds."""
    last = page.view.seals[-1]
    value = last.value
    when = clock_text(cell_values.moment(value.get("at")), long=True) or text("report-signed-never")
    name = cell_values.words(value.get("name")) or text("report-signed-nobody")
    signed = {"name": bold(page.markup(name)), "when": when}
    if len(page.view.seals) > 1:
        by = page.sentence("report-signed-by-again", "row", number=last.n, **signed)
    else:
        by = page.sentence("report-signed-by", "row", **signed)
    state = (
        page.sentence("report-seal-holds", "row")
        if last.holds
        else page.plain(str(last.problem) or text("report-seal-broken"), "strong")
    )
    left = open_at_lock(value)
    opened = [] if left is None else [page.sentence("report-seal-open", "row", **left)]
    return [by, *_declared(page, value.get("declaration")), *opened, state]


def _declared(page: PageContext, declaration: object) -> list[Flowable]:
    """What was declared by signing, in this report's language, and in which language it was."""
    signed_in = cell_values.text(cell_values.mapping(declaration).get("language"))
    if not signed_in:
        return []
    words = text("seal-declaration")
    if signed_in == current().locale:
        return [page.sentence("report-declared", "row", words=words)]
    language = language_name(signed_in)
    return [page.sentence("report-declared-elsewhere", "row", words=words, language=language)]


def _beside_the_drawing(page: PageContext, told: list[Flowable]) -> Flowable:
    drawn: list[Flowable] = [
        DrawnSignature(page.view.seals[-1].value.get("strokes")),
        page.sentence("report-signature-drawn", "small"),
    ]
    widths = [page.width - COLUMN_WIDTH, COLUMN_WIDTH]
    return Grid([[told, drawn]], widths, (Padding(right=GUTTER), Padding()))


def _digests(page: PageContext) -> Flowable:
    """The digests of what was sealed, two beside each other."""
    last = page.view.seals[-1]
    photos = cell_values.mapping(last.value.get("photos"))
    photo_count = cell_values.whole(photos.get("count"), 0) or 0
    device = page.view.device_name(last.device)
    shown = [
        (page.say("report-seal-entries"), last.value.get("leaves")),
        (page.say("report-seal-key", device=device), last.device),
        (page.say("report-seal-photos", count=photo_count), photos.get("hash")),
        (page.say("report-seal-visit"), page.view.visit),
    ]
    cells: list[list[Flowable]] = [
        [page.paragraph(label, "small"), _digest(page, value)] for label, value in shown
    ]
    return in_rows(cells, columns=2, width=page.width)


def _left_out(page: PageContext) -> Flowable:
    """A sentence on what this edition leaves out, without saying what it is worth."""
    view = page.view
    parts = [
        text("report-left-out-" + why, count=count) for why, count in sorted(view.left_out.items())
    ]
    return page.sentence(
        "report-left-out-sealed" if view.seals else "report-left-out",
        "small",
        count=sum(view.left_out.values()),
        parts=", ".join(parts),
    )


def _erased(page: PageContext) -> Flowable:
    """How many values were erased, and when."""
    days = page.view.erased_by_day()
    parts = [
        text(
            "report-erased-day",
            count=count,
            date=date(day, long=True) or text("report-day-unknown"),
        )
        for day, count in days.items()
    ]
    return page.sentence("report-erased", "small", count=sum(days.values()), days=", ".join(parts))


def _digest(page: PageContext, value: object) -> Flowable:
    digits = value if isinstance(value, str) else ""
    grouped = " ".join(digits[at : at + 8] for at in range(0, len(digits), 8))
    return page.plain(grouped or text("report-seal-none"), "digest")


class DrawnSignature(Flowable):  # type: ignore[misc]
    """The drawn signature over a line; an empty line when nothing was drawn."""

    def __init__(self, strokes: object) -> None:
        super().__init__()
        self._strokes = strokes

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = available_width, 38.0
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setStrokeColor(EDGE)
        self.canv.setLineWidth(0.6)
        self.canv.line(0, 4, self.width, 4)
        element = Element("Figure", alternative=text("report-signature-drawn"))
        with self.canv.figure(element, self.width, self.height):
            drawn_signature.draw(
                self.canv, self._strokes, x=6, y=6, width=self.width - 12, height=self.height - 8
            )


class SignaturePlaces(Flowable):  # type: ignore[misc]
    """Two framed places to sign by hand; a program's signature has a field without a place."""

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = available_width, 36.0
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        width = (self.width - GUTTER) / 2
        canvas.setStrokeColor(EDGE)
        canvas.setDash(3, 2)
        for left in (0, width + GUTTER):
            canvas.rect(left, 0, width, self.height, stroke=1, fill=0)
        canvas.setDash()
