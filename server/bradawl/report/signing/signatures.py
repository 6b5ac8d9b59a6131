"""The shop's key and certificate, and signatures on reports (PAdES baseline).

A key lives in one file that only its owner may read, outside the database and its backup. It is
made at first use. Nothing here asks a network for anything unless a time-stamp server is named.

The functions run pyHanko's asynchronous code to its end: call them from a worker thread, never
from a running event loop.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import re
import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bradawl.report.layout.drawn_signature import SignatureBox

SHOP_FIELD = "Workshop"
#: Empty fields made before certification, for people who sign later.
LATER_FIELDS = ("Second-signature", "Third-signature")
NO_TIME_STAMP = (
    "The time-stamp server did not answer, so the signature carries only the time of this "
    "computer’s own clock."
)
SHOP_FILE = "report-signing.pem"
_YEARS = 10


class SigningError(Exception):
    """Why something could not be signed, as a sentence."""


@dataclass(frozen=True)
class Signer:
    """A person's or shop's key with its certificate.

    `fingerprint` is the SHA-256 of the DER certificate, lower hex. With `timestamp_url` (an
    RFC 3161 server) a signature also carries a time stamp.
    """

    name: str
    fingerprint: str
    certificate_pem: bytes
    timestamp_url: str = ""
    _key_der: bytes = field(default=b"", repr=False)

    @property
    def short_fingerprint(self) -> str:
        """The fingerprint's first 16 hex digits in groups of four, to compare by eye."""
        return " ".join(self.fingerprint[at : at + 4] for at in range(0, 16, 4)).upper()


def open_signer(folder: Path, *, name: str = "", timestamp_url: str = "") -> Signer:
    """The shop's signer (no `name`) or a named person's, its key made on first use.

    The key file has mode 0600 in a folder of mode 0700. Two processes that start at once end up
    with the same key. Raises SigningError when the file is there but unusable.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    file = folder / (SHOP_FILE if not name else _person_file(name))
    if not file.exists():
        make_key(file, name or f"Bradawl workshop {secrets.token_hex(3)}")
    return _load(file, timestamp_url)


def known_certificates(folder: Path) -> dict[str, str]:
    """Names by certificate fingerprint of everyone who ever got a key in `folder`."""
    found = {}
    for file in sorted(folder.glob("*.pem")) if folder.is_dir() else []:
        try:
            signer = _load(file, "")
        except (SigningError, OSError):
            continue
        found[signer.fingerprint] = signer.name
    return found


def _person_file(name: str) -> str:
    import hashlib

    # The name decides the file, whatever letters it has; the readable part helps who looks.
    readable = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:24]
    return f"person-{readable}-{hashlib.sha256(name.encode()).hexdigest()[:12]}.pem"


def make_key(file: Path, name: str) -> None:
    """A new key with its certificate in `file`, mode 0600; a file that is there already stays."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    # X.520 bounds a common name to 64 characters.
    who = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name.strip()[:64] or "Unnamed")])
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(who)
        .issuer_name(who)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(hours=1))  # other clocks may lag a little
        .not_valid_after(now + dt.timedelta(days=365 * _YEARS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=False,
                crl_sign=False,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    pem = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    ) + certificate.public_bytes(serialization.Encoding.PEM)
    draft = file.with_name(f".{file.name}.{secrets.token_hex(6)}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(pem)
            out.flush()
            os.fsync(out.fileno())
        with contextlib.suppress(FileExistsError):  # another process was first: its key stays
            os.link(draft, file)
    finally:
        draft.unlink()


def _load(file: Path, timestamp_url: str) -> Signer:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.x509.oid import NameOID

    pem = file.read_bytes()
    try:
        key = serialization.load_pem_private_key(pem, password=None)
        certificate = x509.load_pem_x509_certificate(pem)
    except ValueError as problem:
        raise SigningError(
            f"The signing key {file.name} is damaged. Put it back from a copy, or remove it: a new "
            "key is made then, and reports signed so far will be by a key of its own name."
        ) from problem
    if key.public_key() != certificate.public_key():
        raise SigningError(f"Key and certificate in {file.name} do not belong together.")
    names = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return Signer(
        name=str(names[0].value) if names else "Unnamed",
        fingerprint=certificate.fingerprint(hashes.SHA256()).hex(),
        certificate_pem=certificate.public_bytes(serialization.Encoding.PEM),
        timestamp_url=timestamp_url,
        _key_der=key.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ),
    )


def _pyhanko_signer(signer: Signer) -> Any:
    from asn1crypto import keys, pem, x509  # type: ignore[import-untyped]
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    _, _, der = pem.unarmor(signer.certificate_pem)
    certificate = x509.Certificate.load(der)
    store = SimpleCertificateStore()  # type: ignore[no-untyped-call]
    store.register(certificate)
    return SimpleSigner(
        signing_cert=certificate,
        signing_key=keys.PrivateKeyInfo.load(signer._key_der),
        cert_registry=store,
    )


def certify(
    file: IO[bytes], signer: Signer, *, reason: str, later: Sequence[SignatureBox]
) -> list[str]:
    """Sign the PDF in `file` in place as its author, and leave empty fields for `later` people.

    The certification allows nothing but signing those fields. Returns sentences about what was
    not as asked (a time-stamp server that did not answer), empty when all is well.
    """
    from pyhanko.sign.fields import MDPPerm, SigFieldSpec, append_signature_field

    def prepare() -> Any:
        writer = _writer(file)
        for name, box in zip(LATER_FIELDS, later, strict=False):
            append_signature_field(
                writer,
                SigFieldSpec(
                    name,
                    on_page=box.page,
                    box=tuple(round(edge) for edge in box.corners),  # type: ignore[arg-type]
                    readable_field_name="Signature of a second person, such as the buyer",
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


def _writer(file: IO[bytes]) -> Any:
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


def _sign(prepare: Any, signer: Signer, **metadata: Any) -> list[str]:
    from pyhanko.sign.fields import SigSeedSubFilter
    from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner
    from pyhanko.sign.timestamps.common_utils import TimestampRequestError

    style = metadata.pop("stamp_style", None)
    details = PdfSignatureMetadata(
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        name=signer.name,
        **metadata,
    )

    def run(stamper: Any) -> None:
        PdfSigner(
            details,
            _pyhanko_signer(signer),
            timestamper=stamper,
            **({"stamp_style": style} if style is not None else {}),
        ).sign_pdf(prepare(), in_place=True)

    if not signer.timestamp_url:
        run(None)
        return []
    from pyhanko.sign.timestamps.requests_client import RequestsHTTPTimeStamper

    try:
        run(RequestsHTTPTimeStamper(signer.timestamp_url, timeout=10))  # type: ignore[no-untyped-call]
        return []
    except (TimestampRequestError, OSError):
        run(None)
        return [NO_TIME_STAMP]


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
        raise SigningError("This file is not a report that can be signed.") from problem
    names = [name for name in LATER_FIELDS if name in empty]
    if not names:
        raise SigningError(
            "This file has no free place for another signature. Issue the report anew and let "
            "everyone sign that one."
        )
    left, bottom, right, top = (float(edge) for edge in empty[names[0]].get_object()["/Rect"])
    return names[0], (left, bottom, right, top)


def countersign(
    file: IO[bytes], signer: Signer, *, reason: str, strokes: Sequence[Sequence[float]] = ()
) -> list[str]:
    """Add a second (or third) person's signature in place, without breaking those before it.

    `strokes` are a drawn signature's polylines [x, y, x, y, …] in any unit. Returns sentences as
    `certify` does. Raises SigningError as `free_place` does.
    """
    from pyhanko.pdf_utils.layout import AxisAlignment, SimpleBoxLayoutRule
    from pyhanko.stamp import StaticStampStyle

    from bradawl.report.layout.drawn_signature import appearance

    field_name, (left, bottom, right, top) = free_place(file)
    drawn = appearance(signer.name, strokes, width=right - left, height=top - bottom)
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


def _imported(pdf: bytes) -> Any:
    """The only page of `pdf` as content for a signature's appearance."""
    import io

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
