"""Signs reports (PAdES baseline): the shop's certification and later signatures beside it.

Nothing here asks a network for anything unless a signer names a time-stamp server. The functions
run pyHanko's asynchronous code to its end: call them from a worker thread, never from a running
event loop.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import IO, TYPE_CHECKING, Any

from bradawl.language import Message, message
from bradawl.report.signing.certifying import certified
from bradawl.report.signing.keys import Signer, SigningError

if TYPE_CHECKING:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.signers import SimpleSigner

__all__ = ["LATER_FIELDS", "SHOP_FIELD", "certify", "countersign"]

SHOP_FIELD = "Workshop"
#: Empty fields made before certification, for people who sign later. They have no place on the
#: page: whatever a program draws into a signature's box would be read as the report's.
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


def certify(file: IO[bytes], signer: Signer, *, reason: str) -> list[Message]:
    """Sign the PDF in `file` in place as its author.

    The certification allows nothing but signing the fields that the file has. Returns messages
    about what was not as asked (a time-stamp server that did not answer), empty when all is well.
    """
    if not signer.timestamp_url and certified(file, signer, SHOP_FIELD, reason):
        return []
    from pyhanko.sign.fields import MDPPerm

    return _sign(
        lambda: _writer(file),
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

    def run(stamper: RequestsHTTPTimeStamper | None) -> None:
        PdfSigner(details, _pyhanko_signer(signer), timestamper=stamper).sign_pdf(
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


def countersign(file: IO[bytes], signer: Signer) -> list[Message]:
    """Add the workshop's signature to a report in place, without breaking those before it.

    Its reason is the one that the form has for the workshop. Returns messages as `certify` does.
    Verify the file first. Raises SigningError when it is no report, or has no room left.
    """
    field_name, reason = _free_field(file)
    return _sign(lambda: _writer(file), signer, field_name=field_name, reason=reason)


def _free_field(file: IO[bytes]) -> tuple[str, str]:
    """The next empty signature field of a report, and the workshop's reason in it."""
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.fields import enumerate_sig_fields

    file.seek(0)
    try:
        reader = PdfFileReader(file)
        reasons = {
            name: str(field.get_object()["/SV"]["/Reasons"][-1])
            for name, value, field in enumerate_sig_fields(reader)
            if value is None and name in LATER_FIELDS
        }
    except Exception as problem:  # a stranger's file may break anywhere in the parser
        raise SigningError("report-sign-no-report") from problem
    if not reasons:
        raise SigningError("report-sign-full")
    field_name = min(reasons, key=LATER_FIELDS.index)
    return field_name, reasons[field_name]
