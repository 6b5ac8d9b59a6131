"""How a reader checks the report, and the shop's letterhead: code, fingerprint, two sentences.

Place `letterhead(page)` at the head of the first page and `check_box(page, signer)` wherever 30 mm
are free; both are empty where there is nothing to print. Import only after `typeface.register()`.
"""

from __future__ import annotations

import base64

from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.platypus import Flowable, Spacer

from bradawl.language import text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether
from bradawl.report.layout.grids import Grid, Padding
from bradawl.report.layout.style import INK, MM
from bradawl.report.signing.certificates import grouped
from bradawl.report.signing.keys import Signer

__all__ = ["check_box", "code_text", "letterhead"]

#: 49 modules at level M: what was read from 200 dpi, blurred and tilted (from memory of a trial).
CODE_MM = 28
GAP = 6


def letterhead(page: PageContext) -> list[Flowable]:
    """The shop's name, address, phone and web in one line."""
    lines = page.identity.letterhead
    return [page.plain(" · ".join(lines), "small")] if lines else []


def check_box(page: PageContext, signer: Signer | None) -> list[Flowable]:
    """Where to check, the key's whole fingerprint, and both with the record's digest as a code."""
    if signer is None:
        return []
    place = page.identity.check_page
    where = (
        page.sentence("report-check-there", "row", place=place)
        if place
        else page.sentence("report-check-shop", "row")
    )
    told = [where, Spacer(0, 2), page.sentence("report-check-compare", "row")]
    size = CODE_MM * MM
    code = QrCode(code_text(place, signer.fingerprint, page.identity.record_sha256), size)
    widths = [size + GAP, page.column - size - GAP]
    return [
        KeptTogether(
            [
                page.plain(text("report-check"), "h2"),
                Grid([[[code], told]], widths, (Padding(right=GAP), Padding())),
                Spacer(0, 2),
                page.sentence("report-check-key", "small", digits=grouped(signer.fingerprint)),
            ]
        )
    ]


def code_text(place: str, fingerprint: str, record_sha256: str) -> str:
    """What the code says: an address whose part after `#` no server is sent, or that part alone.

    Both digests (hex) stand there in base64url, which makes the code smaller.
    """
    told = ".".join(_short(digest) for digest in (fingerprint, record_sha256) if digest)
    return f"{place}#{told}" if place else told


def _short(digest: str) -> str:
    return base64.urlsafe_b64encode(bytes.fromhex(digest)).decode().rstrip("=")


class QrCode(Flowable):  # type: ignore[misc]
    """A QR code (ISO/IEC 18004) of level M, as wide and tall as it is told, in points."""

    def __init__(self, content: str, size: float) -> None:
        super().__init__()
        self._widget = QrCodeWidget(content, barLevel="M", barBorder=4)
        self.width = self.height = size

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        # square by square: the library's own drawing names a font that no report embeds
        left, bottom, right, top = self._widget.getBounds()
        self.canv.saveState()
        self.canv.scale(self.width / (right - left), self.height / (top - bottom))
        self.canv.translate(-left, -bottom)
        self.canv.setFillColor(INK)
        for square in self._widget.draw().contents:
            if square.fillColor is not None:
                self.canv.rect(square.x, square.y, square.width, square.height, stroke=0, fill=1)
        self.canv.restoreState()
