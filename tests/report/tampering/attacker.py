"""Whoever doctors reports: keys of their own under any name, and every tool to rewrite a file.

Nothing here knows the shop's key. A doctored file is built from the bytes of a genuine one.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
import re
from collections.abc import Callable, Mapping
from typing import Any
from unittest import mock

import pikepdf
from asn1crypto import cms, core
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import signers
from pyhanko.sign.fields import SigSeedSubFilter

from bradawl.report.checking.revisions import Document, revisions_of
from tests.report.tampering.keys import signer


class Quiet(IncrementalPdfFileWriter):
    """Appends without touching the version or the metadata, as the shop's writer does."""

    def ensure_output_version(self, version: Any) -> None:
        pass

    def _update_meta(self) -> None:
        pass


def signed(
    pdf: bytes,
    key: signers.SimpleSigner,
    field: str,
    *,
    change: Callable[[IncrementalPdfFileWriter], None] | None = None,
    at: dt.datetime | None = None,
    **metadata: Any,
) -> bytes:
    """A signature in a field, with anything else changed in the same addition."""
    options: dict[str, Any] = {"md_algorithm": "sha256", "subfilter": SigSeedSubFilter.PADES}
    details = signers.PdfSignatureMetadata(field_name=field, **{**options, **metadata})

    class Clock(dt.datetime):
        @classmethod
        def now(cls, tz: Any = None) -> Any:
            return at or dt.datetime.now(tz)

    writer = Quiet(io.BytesIO(pdf), strict=False)
    if change is not None:
        change(writer)
    with mock.patch("pyhanko.sign.signers.pdf_signer.datetime", Clock):
        out = signers.PdfSigner(details, key).sign_pdf(writer)
    return bytes(out.getvalue())


def reissued(
    genuine: bytes,
    key: signers.SimpleSigner | None = None,
    edit: Callable[[pikepdf.Pdf], None] | None = None,
    *,
    record: Callable[[dict[str, Any]], None] | None = None,
    manifest: Callable[[dict[str, Any]], None] | None = None,
    at: dt.datetime | None = None,
    save: Mapping[str, Any] | None = None,
    **metadata: Any,
) -> bytes:
    """The report taken apart, changed, its digests made to fit, and signed by the attacker."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(genuine)) as pdf:
        for entry in ("/AcroForm", "/Perms"):
            if entry in pdf.Root:
                del pdf.Root[entry]
        for page in pdf.pages:
            if "/Annots" in page.obj:
                del page.obj["/Annots"]
        if edit is not None:
            edit(pdf)
        fit(pdf, record, manifest, (at or dt.datetime.now(dt.UTC)).isoformat())
        options = {
            "min_version": "1.7",
            "compress_streams": False,
            "stream_decode_level": pikepdf.StreamDecodeLevel.none,
            "object_stream_mode": pikepdf.ObjectStreamMode.disable,
        }
        pdf.save(out, **{**options, **(save or {})})
    return signed(out.getvalue(), key or signer(), "Workshop", at=at, **metadata)


def fit(
    pdf: pikepdf.Pdf,
    record: Callable[[dict[str, Any]], None] | None,
    manifest: Callable[[dict[str, Any]], None] | None,
    made: str,
) -> None:
    """Write the digests anew, as whoever knows the format does."""
    files = {str(entry.UF): entry.EF.F for entry in pdf.Root.get("/AF", [])}
    if "record.json" not in files or "manifest.json" not in files:
        return
    if record is not None:
        recorded = json.loads(files["record.json"].read_bytes())
        record(recorded)
        files["record.json"].write(json.dumps(recorded).encode())
    listing = json.loads(files["manifest.json"].read_bytes())
    listing["record_sha256"] = hashlib.sha256(files["record.json"].read_bytes()).hexdigest()
    listing["pages"] = [
        hashlib.sha256(page.obj.Contents.read_raw_bytes()).hexdigest() for page in pdf.pages
    ]
    listing["made"] = made
    if manifest is not None:
        manifest(listing)
    files["manifest.json"].write(json.dumps(listing).encode())


def added(pdf: bytes, change: Callable[[IncrementalPdfFileWriter], None]) -> bytes:
    """An addition behind the end that nobody signs."""
    writer = Quiet(io.BytesIO(pdf))
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def raw_addition(pdf: bytes, objects: Mapping[int, bytes], trailer: bytes = b"") -> bytes:
    """An addition written by hand: whole objects by number, and what else the trailer says."""
    document = Document(pdf, revisions_of(pdf))
    out = bytearray(pdf if pdf.endswith(b"\n") else pdf + b"\n")
    offsets = {}
    for number, body in objects.items():
        offsets[number] = len(out)
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = len(out)
    out += b"xref\n"
    for number, offset in offsets.items():
        out += b"%d 1\n%010d 00000 n \n" % (number, offset)
    if not offsets:
        out += b"0 0\n"
    root, size = document.trailer["Root"].number, document.trailer["Size"]
    out += b"trailer\n<< /Root %d 0 R /Size %d /Prev %d %s >>\nstartxref\n%d\n%%%%EOF\n" % (
        root,
        max(size, *(number + 1 for number in objects), 0),
        document.revisions[-1].table,
        trailer,
        table,
    )
    return bytes(out)


def hole(pdf: bytes) -> tuple[int, int]:
    """Where the last signature's hexadecimal string begins, and the place behind it."""
    found = re.findall(rb"/ByteRange\s*\[\s*0 (\d+) (\d+) \d+", pdf)[-1]
    return int(found[0]), int(found[1])


def rewritten(pdf: bytes, old: bytes, new: bytes, key: signers.SimpleSigner) -> bytes:
    """The last addition with some bytes in the place of as many, signed anew by whoever added it.

    What a library would not write is written so.
    """
    begin, end = hole(pdf)
    at = pdf.rindex(old)
    assert len(old) == len(new)
    assert at > end or at + len(old) <= begin
    changed = pdf[:at] + new + pdf[at + len(old) :]
    content = cms.ContentInfo.load(envelope(changed))
    info = content["content"]["signer_infos"][0]
    digest = hashlib.sha256(changed[:begin] + changed[end:]).digest()
    for attribute in info["signed_attrs"]:
        if attribute["type"].native == "message_digest":
            attribute["values"] = [core.OctetString(digest)]
    info["signature"] = key.sign_raw(b"\x31" + info["signed_attrs"].dump(force=True)[1:], "sha256")
    return with_envelope(changed, content.dump(force=True))


def envelope(pdf: bytes) -> bytes:
    """The last signature's DER, without its padding."""
    begin, end = hole(pdf)
    content = bytes.fromhex(pdf[begin + 1 : end - 1].decode())
    return content[: 4 + int.from_bytes(content[2:4], "big")]


def with_envelope(pdf: bytes, der: bytes) -> bytes:
    """The same file with another envelope in the hole."""
    begin, end = hole(pdf)
    digits = der.hex().upper().encode()
    assert len(digits) <= end - begin - 2
    return pdf[: begin + 1] + digits.ljust(end - begin - 2, b"0") + pdf[end - 1 :]
