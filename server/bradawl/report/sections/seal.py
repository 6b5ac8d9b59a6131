"""The last page: who sealed the visit, what the record leaves out, who issued this file.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from bradawl.inspection import cell_values
from bradawl.report.layout import drawn_signature
from bradawl.report.layout.context import Desk
from bradawl.report.layout.flowables import table, together
from bradawl.report.layout.style import EDGE, MM
from bradawl.report.signing.signatures import Signer


def seal(desk: Desk, signer: Signer | None) -> list[Any]:
    """Who sealed the visit, the digests, who issued this file, and room for later signatures."""
    out: list[Any] = [CondPageBreak(125 * MM), *desk.heading("seal", "Signature and seal")[1:]]
    out += _sealed(desk) if desk.shared.seals else [desk.p(_UNSEALED, "strong")]
    if desk.shared.left_out:
        out.append(desk.p(_left_out(desk), "small"))
    if desk.shared.erased:
        out.append(desk.p(_erased(desk), "small"))
    if desk.shared.unconfirmed:
        out.append(desk.p(_unconfirmed(desk.shared.unconfirmed), "strong"))
    if signer is None:
        return [*out, desk.p("This file carries no electronic signature.", "strong")]
    out.append(Spacer(0, 4))
    out.append(
        desk.p(
            f"This file is signed electronically by <b>{desk.ink.markup(signer.name)}</b>, "
            f"certificate {signer.short_fingerprint}. Any later change to it can be found: open "
            "it in a PDF reader that checks signatures, or run “bradawl verify” on it. Compare "
            "the certificate’s digits with its owner before you trust the name."
        )
    )
    out.append(
        together(
            [
                desk.p("Signatures added later", "h2"),
                desk.p(
                    "The buyer or a partner can sign here without breaking the first signature.",
                    "small",
                ),
                Spacer(0, 4),
                SignatureBoxes(),
            ]
        )
    )
    return out


_UNSEALED = (
    "This visit was not sealed: nobody has signed what was recorded, and it may still change."
)


def _sealed(desk: Desk) -> list[Any]:
    ink, last = desk.ink, desk.shared.seals[-1]
    value = last.value
    when = str(cell_values.moment(value.get("at")))
    who = cell_values.words(value.get("name")) or "a person without a name"
    out = [
        desk.p(
            f"Sealed by <b>{ink.markup(who)}</b>"
            f" on {ink.markup(when or 'an unknown date')}"
            + (f" (seal {last.n} of this visit)." if len(desk.shared.seals) > 1 else ".")
        ),
        Autograph(value.get("strokes")),
        desk.p(
            "The drawn signature is shown for the eye. The proofs are two electronic signatures: "
            "that of the phone on the seal, and that of the workshop on this file.",
            "small",
        ),
    ]
    if not last.holds:
        problem = last.problem or "The seal does not hold."
        out.append(desk.p(ink.markup(problem), "strong"))
    else:
        said = (
            "The seal holds: the phone signed it, and the workshop’s whole record matched it when "
            "this file was made."
        )
        out.append(desk.p(said, "small"))
    photos = cell_values.mapping(value.get("photos"))
    rows = [
        ["Digest of the sealed entries (SHA-256)", _digest(desk, value.get("leaves"))],
        [
            f"Key of {ink.markup(desk.shared.device_name(last.device))} (its fingerprint)",
            _digest(desk, last.device),
        ],
        [
            f"Digest of {cell_values.whole(photos.get('count'), 0) or 0} photos (SHA-256)",
            _digest(desk, photos.get("hash")),
        ],
        ["Visit", _digest(desk, desk.shared.visit)],
    ]
    out.append(table([], rows, desk.columns(0.30, 0.70)))
    return out


_LEFT_OUT = {
    "money": "of the buyer’s own reckoning",
    "amount": "in whose text a sum was blanked",
    "choice": "not to be passed on",
    "erased": "erased on request",
    "fenced": "that the owner set aside",
}


def _left_out(desk: Desk) -> str:
    """A sentence on what this edition leaves out, without saying what it is worth."""
    counts = desk.shared.left_out
    listed = ", ".join(
        f"{count} {_LEFT_OUT.get(why, why)}" for why, count in sorted(counts.items())
    )
    total = sum(counts.values())
    said = (
        f"The attached record leaves out {total} {'entry' if total == 1 else 'entries'}: {listed}."
    )
    if not desk.shared.seals:
        return said
    return (
        f"{said} The seal covers them too: each stands in the record as a hash that tells nothing "
        "of it. Everything that is shown can be held against the seal by anyone (“bradawl verify”)."
    )


def _erased(desk: Desk) -> str:
    """How many values were erased, and when."""
    days = desk.shared.erased_by_day()
    listed = ", ".join(f"{count} on {day}" for day, count in days.items())
    one = sum(days.values()) == 1
    return (
        f"Personal data was erased from this inspection on request: {listed}. What stood there "
        f"exists no longer; the hash of {'it' if one else 'each value'} remains, so that the seal "
        "can still be checked."
    )


def _unconfirmed(count: int) -> str:
    return (
        f"{count} {'entry was' if count == 1 else 'entries were'} written by a phone that the "
        "workshop’s owner has not confirmed."
    )


def _digest(desk: Desk, value: object) -> Any:
    text = value if isinstance(value, str) else ""
    grouped = " ".join(text[at : at + 8] for at in range(0, len(text), 8))
    return desk.p(desk.ink.markup(grouped or "none"), "digest")


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
        drawn_signature.draw(
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
            canvas.boxes.append(
                drawn_signature.SignatureBox(
                    canvas.getPageNumber() - 1, (x, y, x + each - 2, y + self.height - 2)
                )
            )
        canvas.setDash()
