"""Signs reports (PAdES baseline): the shop's certification and later signatures beside it.

Nothing here asks a network for anything unless a signer names a time-stamp server. The functions
run pyHanko's asynchronous code to its end: call them from a worker thread, never from a running
event loop.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import IO, TYPE_CHECKING, Any

from bradawl.language import Message, message, text
from bradawl.report.layout.drawn_signature import signature_appearance
from bradawl.report.signing.keys import Signer, SigningError

if TYPE_CHECKING:
    from pyhanko.pdf_utils.content import PdfContent
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko.stamp import BaseStampStyle

    from bradawl.report.layout.drawn_signature import SignatureBox

__all__ = ["LATER_FIELDS", "SHOP_FIELD", "certify", "countersign", "free_place"]

SHOP_FIELD = "Workshop"
#: Empty fields made before certification, for people who sign later.
LATER_FIELDS = ("Second-signature", "Third-signature")


def _pyhanko_signer(signer: Signer) -> SimpleSigner:
    from asn1crypto import keys, pem, x509  # type: ignore[import-untyped]
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    _, _, der = pem.unarmor(signer.certificate_pem)
    certificate = x509.Certificate.load(der)
    store = SimpleCertificateStore()  # type: ignore[no-untyped-call]
    store.register(certificate)
    return SimpleSigner(
        signing_cert=certificate,
        signing_key=keys.PrivateKeyInfo.load(signer.key_der),
        cert_registry=store,
    )


def certify(
    file: IO[bytes], signer: Signer, *, reason: str, later: Sequence[SignatureBox] = ()
) -> list[Message]:
    """Sign the PDF in `file` in place as its author, and add empty fields for `later` people where
    the file has none yet.

    The certification allows nothing but signing those fields. Returns messages about what was
    not as asked (a time-stamp server that did not answer), empty when all is well.
    """
    from pyhanko.sign.fields import MDPPerm, SigFieldSpec, append_signature_field

    def prepare() -> IncrementalPdfFileWriter:
        writer = _writer(file)
        for name, box in zip(LATER_FIELDS, later, strict=False):
            append_signature_field(
                writer,
                SigFieldSpec(
                    name,
                    on_page=box.page,
                    box=tuple(round(edge) for edge in box.corners),  # type: ignore[arg-type]
                    readable_field_name=text("report-file-field"),
                ),
            )
        return writer

    return _sign(
        prepare,
        signer,
        field_name=SHOP_FIELD,
        reason=reason,
        certify=True,
        docmdp_permissions=MDPPerm.FILL_FORMS,
    )


def _writer(file: IO[bytes]) -> IncrementalPdfFileWriter:
    """A writer that appends to `file` and leaves the version and metadata of the file alone.

    ISO 19005-3 wants PDF 1.x, and the information dictionary to say what the XMP says.
    """
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    class Appending(IncrementalPdfFileWriter):
        def ensure_output_version(self, version: tuple[int, int]) -> None:
            pass

        def _update_meta(self) -> None:
            pass

    file.seek(0)
    return Appending(file)


def _sign(
    prepare: Callable[[], IncrementalPdfFileWriter],
    signer: Signer,
    *,
    stamp_style: BaseStampStyle | None = None,
    **metadata: Any,
) -> list[Message]:
    """Sign what `prepare` opens, once more without a time stamp where its server fails."""
    from pyhanko.sign.fields import SigSeedSubFilter
    from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner
    from pyhanko.sign.timestamps.common_utils import TimestampRequestError
    from pyhanko.sign.timestamps.requests_client import RequestsHTTPTimeStamper

    details = PdfSignatureMetadata(
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        name=signer.name,
        **metadata,
    )

    style: dict[str, Any] = {} if stamp_style is None else {"stamp_style": stamp_style}

    def run(stamper: RequestsHTTPTimeStamper | None) -> None:
        PdfSigner(details, _pyhanko_signer(signer), timestamper=stamper, **style).sign_pdf(
            prepare(), in_place=True
        )

    if not signer.timestamp_url:
        run(None)
        return []
    try:
        run(RequestsHTTPTimeStamper(signer.timestamp_url, timeout=10))  # type: ignore[no-untyped-call]
        return []
    except (TimestampRequestError, OSError):
        run(None)
        return [message("report-no-time-stamp")]


def free_place(file: IO[bytes]) -> tuple[str, tuple[float, float, float, float]]:
    """The next empty signature field of a report: its name and corners in points.

    Raises SigningError when the file is no report, or has no room left.
    """
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.fields import enumerate_sig_fields

    file.seek(0)
    try:
        reader = PdfFileReader(file)
        empty = {name: ref for name, value, ref in enumerate_sig_fields(reader) if value is None}
    except Exception as problem:  # a stranger's file may break anywhere in the parser
        raise SigningError("report-sign-no-report") from problem
    names = [name for name in LATER_FIELDS if name in empty]
    if not names:
        raise SigningError("report-sign-full")
    left, bottom, right, top = (float(edge) for edge in empty[names[0]].get_object()["/Rect"])
    return names[0], (left, bottom, right, top)


def countersign(
    file: IO[bytes], signer: Signer, *, reason: str, strokes: Sequence[Sequence[float]] = ()
) -> list[Message]:
    """Add a second (or third) person's signature in place, without breaking those before it.

    `strokes` are a drawn signature's polylines [x, y, x, y, …] in any unit. Returns messages as
    `certify` does. Raises SigningError as `free_place` does.
    """
    from pyhanko.pdf_utils.layout import AxisAlignment, SimpleBoxLayoutRule
    from pyhanko.stamp import StaticStampStyle

    field_name, (left, bottom, right, top) = free_place(file)
    drawn = signature_appearance(signer.name, strokes, width=right - left, height=top - bottom)
    style = StaticStampStyle(
        background=_imported(drawn),
        background_layout=SimpleBoxLayoutRule(
            x_align=AxisAlignment.ALIGN_MID, y_align=AxisAlignment.ALIGN_MID
        ),
        border_width=0,
        background_opacity=1.0,
    )

    return _sign(
        lambda: _writer(file), signer, field_name=field_name, reason=reason, stamp_style=style
    )


def _imported(pdf: bytes) -> PdfContent:
    """The only page of `pdf` as content for a signature's appearance."""
    from pyhanko.pdf_utils.content import PdfContent
    from pyhanko.pdf_utils.layout import BoxConstraints
    from pyhanko.pdf_utils.reader import PdfFileReader

    class Drawn(PdfContent):
        def render(self) -> bytes:
            page = self._ensure_writer.import_page_as_xobject(PdfFileReader(io.BytesIO(pdf)))
            self.resources.xobject["/Drawn"] = page
            left, bottom, right, top = page.get_object()["/BBox"]
            self.box = BoxConstraints(width=right - left, height=top - bottom)
            return b"/Drawn Do"

    return Drawn()
