"""The last page: who sealed the visit, what the record leaves out, who issued this file.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from bradawl.inspection import cell_values
from bradawl.inspection.said import clock_text
from bradawl.language import date, text
from bradawl.report.layout import drawn_signature
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, bold, table
from bradawl.report.layout.style import EDGE, MM
from bradawl.report.signing.keys import Signer

__all__ = ["seal"]


def seal(page: PageContext, signer: Signer | None) -> list[Flowable]:
    """Who sealed the visit, the digests, who issued this file, and room for later signatures."""
    view = page.view
    out: list[Flowable] = [
        CondPageBreak(125 * MM),
        *page.heading("seal", text("report-signatures"))[1:],
    ]
    out += _sealed(page) if view.seals else [page.sentence("report-unsigned", "strong")]
    if view.left_out:
        out.append(_left_out(page))
    if view.erased:
        out.append(_erased(page))
    if view.unconfirmed:
        out.append(page.sentence("report-unconfirmed", "strong", count=view.unconfirmed))
    if signer is None:
        return [*out, page.sentence("report-file-unsigned", "strong")]
    issued = page.sentence(
        "report-file-signed",
        name=bold(page.markup(signer.name)),
        digits=signer.short_fingerprint,
    )
    later = [
        page.sentence("report-signatures-later", "h2"),
        page.sentence("report-signatures-later-how", "small"),
        Spacer(0, 4),
        SignatureFields(),
    ]
    return [*out, Spacer(0, 4), issued, KeptTogether(later)]


def _sealed(page: PageContext) -> list[Flowable]:
    """Who sealed it, the drawn signature, whether the seal holds, and its digests."""
    last = page.view.seals[-1]
    value = last.value
    when = clock_text(cell_values.moment(value.get("at")), long=True) or text("report-signed-never")
    name = cell_values.words(value.get("name")) or text("report-signed-nobody")
    signed = {"name": bold(page.markup(name)), "when": when}
    if len(page.view.seals) > 1:
        by = page.sentence("report-signed-by-again", number=last.n, **signed)
    else:
        by = page.sentence("report-signed-by", **signed)
    state = (
        page.sentence("report-seal-holds", "small")
        if last.holds
        else page.plain(str(last.problem) or text("report-seal-broken"), "strong")
    )
    photos = cell_values.mapping(value.get("photos"))
    photo_count = cell_values.whole(photos.get("count"), 0) or 0
    device = page.view.device_name(last.device)
    rows = [
        [page.say("report-seal-entries"), _digest(page, value.get("leaves"))],
        [page.say("report-seal-key", device=device), _digest(page, last.device)],
        [page.say("report-seal-photos", count=photo_count), _digest(page, photos.get("hash"))],
        [page.say("report-seal-visit"), _digest(page, page.view.visit)],
    ]
    return [
        by,
        DrawnSignature(value.get("strokes")),
        page.sentence("report-signature-drawn", "small"),
        state,
        table([], rows, page.columns(0.30, 0.70)),
    ]


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
        self.width, self.height = min(available_width, 80 * MM), 26 * MM
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setStrokeColor(EDGE)
        self.canv.setLineWidth(0.6)
        self.canv.line(0, 4, self.width, 4)
        drawn_signature.draw(
            self.canv, self._strokes, x=6, y=6, width=self.width - 12, height=self.height - 8
        )


class SignatureFields(Flowable):  # type: ignore[misc]
    """Two framed places; the canvas remembers their corners for the signature fields."""

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        self.width, self.height = available_width, 24 * MM
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        width = (self.width - 8 * MM) / 2
        canvas.setStrokeColor(EDGE)
        canvas.setDash(3, 2)
        for left in (0, width + 8 * MM):
            canvas.rect(left, 0, width, self.height, stroke=1, fill=0)
            x, y = canvas.absolutePosition(left + 1, 1)
            corners = (x, y, x + width - 2, y + self.height - 2)
            canvas.boxes.append(drawn_signature.SignatureBox(canvas.getPageNumber() - 1, corners))
        canvas.setDash()
