"""The last page: who sealed the visit, what the record leaves out, who issued this file.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from bradawl.inspection import cell_values
from bradawl.report.layout import drawn_signature
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, table
from bradawl.report.layout.style import EDGE, MM
from bradawl.report.model.edition import EditionView
from bradawl.report.model.texts import counted
from bradawl.report.signing.keys import Signer

__all__ = ["seal"]


def seal(page: PageContext, signer: Signer | None) -> list[Flowable]:
    """Who sealed the visit, the digests, who issued this file, and room for later signatures."""
    view = page.view
    out: list[Flowable] = [CondPageBreak(125 * MM), *page.heading("seal", "Signature and seal")[1:]]
    out += _sealed(page) if view.seals else [page.paragraph(_UNSEALED, "strong")]
    if view.left_out:
        out.append(page.paragraph(_left_out(view), "small"))
    if view.erased:
        out.append(page.paragraph(_erased(view), "small"))
    if view.unconfirmed:
        entries = counted(view.unconfirmed, "1 entry was", "entries were")
        out.append(
            page.paragraph(
                f"{entries} written by a phone that the workshop’s owner has not confirmed.",
                "strong",
            )
        )
    if signer is None:
        return [*out, page.paragraph("This file carries no electronic signature.", "strong")]
    issued = page.paragraph(
        f"This file is signed electronically by <b>{page.markup(signer.name)}</b>, "
        f"certificate {signer.short_fingerprint}. Any later change to it can be found: open "
        "it in a PDF reader that checks signatures, or run “bradawl verify” on it. Compare "
        "the certificate’s digits with its owner before you trust the name."
    )
    later = [
        page.paragraph("Signatures added later", "h2"),
        page.paragraph(
            "The buyer or a partner can sign here without breaking the first signature.", "small"
        ),
        Spacer(0, 4),
        SignatureFields(),
    ]
    return [*out, Spacer(0, 4), issued, KeptTogether(later)]


_UNSEALED = (
    "This visit was not sealed: nobody has signed what was recorded, and it may still change."
)
_HOLDS = (
    "The seal holds: the phone signed it, and the workshop’s whole record matched it when this "
    "file was made."
)


def _sealed(page: PageContext) -> list[Flowable]:
    """Who sealed it, the drawn signature, whether the seal holds, and its digests."""
    last = page.view.seals[-1]
    value = last.value
    when = str(cell_values.moment(value.get("at"))) or "an unknown date"
    name = cell_values.words(value.get("name")) or "a person without a name"
    which = f" (seal {last.n} of this visit)." if len(page.view.seals) > 1 else "."
    state = (
        page.paragraph(_HOLDS, "small")
        if last.holds
        else page.plain(last.problem or "The seal does not hold.", "strong")
    )
    photos = cell_values.mapping(value.get("photos"))
    photo_count = cell_values.whole(photos.get("count"), 0) or 0
    key = page.markup(page.view.device_name(last.device))
    rows = [
        ["Digest of the sealed entries (SHA-256)", _digest(page, value.get("leaves"))],
        [f"Key of {key} (its fingerprint)", _digest(page, last.device)],
        [f"Digest of {photo_count} photos (SHA-256)", _digest(page, photos.get("hash"))],
        ["Visit", _digest(page, page.view.visit)],
    ]
    return [
        page.paragraph(f"Sealed by <b>{page.markup(name)}</b> on {page.markup(when)}{which}"),
        DrawnSignature(value.get("strokes")),
        page.paragraph(
            "The drawn signature is shown for the eye. The proofs are two electronic signatures: "
            "that of the phone on the seal, and that of the workshop on this file.",
            "small",
        ),
        state,
        table([], rows, page.columns(0.30, 0.70)),
    ]


_LEFT_OUT = {
    "money": "of the buyer’s own reckoning",
    "amount": "in whose text a sum was blanked",
    "choice": "not to be passed on",
    "erased": "erased on request",
    "fenced": "that the owner set aside",
}


def _left_out(view: EditionView) -> str:
    """A sentence on what this edition leaves out, without saying what it is worth."""
    listed = ", ".join(
        f"{count} {_LEFT_OUT.get(why, why)}" for why, count in sorted(view.left_out.items())
    )
    entries = counted(sum(view.left_out.values()), "1 entry", "entries")
    text = f"The attached record leaves out {entries}: {listed}."
    if not view.seals:
        return text
    return (
        f"{text} The seal covers them too: each stands in the record as a hash that tells nothing "
        "of it. Everything that is shown can be held against the seal by anyone (“bradawl verify”)."
    )


def _erased(view: EditionView) -> str:
    """How many values were erased, and when."""
    days = view.erased_by_day()
    listed = ", ".join(f"{count} on {day}" for day, count in days.items())
    each = "it" if sum(days.values()) == 1 else "each value"
    return (
        f"Personal data was erased from this inspection on request: {listed}. What stood there "
        f"exists no longer; the hash of {each} remains, so that the seal can still be checked."
    )


def _digest(page: PageContext, value: object) -> Flowable:
    text = value if isinstance(value, str) else ""
    grouped = " ".join(text[at : at + 8] for at in range(0, len(text), 8))
    return page.plain(grouped or "none", "digest")


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
