"""Certifies a report that was just written here: its signature is appended, nothing is read over.

A file of ours has one form, so the few objects that change are found by their place and the rest
is only hashed. What has another form, another kind of key or a time stamp is pyHanko's
(`signatures.py`), which takes ten times as long; both say the same, and the tests hold them to it.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import re
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING

from bradawl.report.signing.der import DATA, ONE, SIGNED_DATA, sequence, tagged

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec

    from bradawl.report.signing.keys import Signer

__all__ = ["certified"]

#: As `pdf/assembly.py` writes the end of a file and the head of its table.
_END = re.compile(
    rb"trailer << /Info (?P<info>\d+ 0 R) /Root (?P<root>\d+) 0 R /Size (?P<size>\d+)"
    rb" /ID \[<(?P<id>[0-9a-f]{32})><[0-9a-f]{32}>\] >>\nstartxref\n(?P<table>\d+)\n%%EOF\n\Z"
)
_END_SIZE, _ROW_SIZE, _BLOCK = 300, 20, 1 << 20
_OBJECT = re.compile(rb"(\d+ 0 obj\n<< [^\n]*) >>\nendobj\n")  # on one line: qpdf escapes others
_FORM = re.compile(rb"/AcroForm << /Fields \[ (\d+) 0 R (?:\d+ 0 R )*\] >>")
_MOST_OBJECT_BYTES = 16_384
#: Two extensions of PDF that a reader of 1.7 learns of: this signature's kind, digests.
_EXTENSIONS = (
    b"/Extensions << /ESIC << /Type /DeveloperExtensions /BaseVersion /1.7 /ExtensionLevel 1 >>"
    b" /ISO_ [ << /Type /DeveloperExtensions /BaseVersion /2.0 /ExtensionLevel 32002"
    b" /URL (https://www.iso.org/standard/45875.html) /ExtensionRevision (:2022) >> ] >>"
)
_SPARE = 600  # bytes behind the envelope, zeros: a signature's numbers vary in size
_UNKNOWN_RANGE = b"[0 %s]" % (b"?" * 56)  # known last

# Object identifiers in DER: SHA-256 (RFC 5754), ECDSA with it (RFC 5758), and the attributes that
# RFC 5652, 11, and RFC 5035, 3, name.
_SHA256 = sequence(bytes.fromhex("0609608648016503040201"), b"\x05\x00")
_ECDSA = sequence(bytes.fromhex("06082a8648ce3d040302"))
_CONTENT_TYPE = bytes.fromhex("06092a864886f70d010903")
_MESSAGE_DIGEST = bytes.fromhex("06092a864886f70d010904")
_SIGNING_CERTIFICATE = bytes.fromhex("060b2a864886f70d010910022f")


def certified(file: IO[bytes], signer: Signer, field: str, reason: str) -> bool:
    """Append the certification in `field`, which allows nothing but signing what is empty.

    False, and the file as it was, where the file or the key is of another kind than ours.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    key = serialization.load_der_private_key(signer.key_der, password=None)
    if not isinstance(key, ec.EllipticCurvePrivateKey) or not isinstance(key.curve, ec.SECP256R1):
        return False
    certificate = x509.load_pem_x509_certificate(signer.certificate_pem)
    room = len(_envelope(key, certificate, bytes(32))) + _SPARE
    added = _addition(file, field, signer.name, reason, room)
    if added is None:
        return False
    begin = file.seek(0, os.SEEK_END)
    hole = added.index(b"/Contents <") + len(b"/Contents ")
    end = hole + 2 * room + 2
    ranges = b"[0 %d %d %d]" % (begin + hole, begin + end, len(added) - end)
    added = added.replace(_UNKNOWN_RANGE, ranges.ljust(len(_UNKNOWN_RANGE)), 1)
    digest = _digest_of(file)
    digest.update(added[:hole])
    digest.update(added[end:])
    envelope = _envelope(key, certificate, digest.digest()).hex().upper().encode()
    file.seek(begin)
    file.write(added[: hole + 1] + envelope.ljust(2 * room, b"0") + added[end - 1 :])
    return True


@dataclass(frozen=True)
class _OwnFile:
    """A file as `pdf/assembly.py` writes it: how it ends, and where its table's rows begin."""

    file: IO[bytes]
    size: int
    ending: re.Match[bytes]

    @classmethod
    def of(cls, file: IO[bytes]) -> _OwnFile | None:
        size = file.seek(0, os.SEEK_END)
        file.seek(max(size - _END_SIZE, 0))
        ending = _END.search(file.read())
        return cls(file, size, ending) if ending else None

    @property
    def count(self) -> int:
        """How many objects it has: the number of the next one."""
        return int(self.ending["size"])

    def object(self, number: int) -> bytes:
        """An object without what closes it; nothing for one of another form."""
        rows = int(self.ending["table"]) + len(b"xref\n0 %d\n" % self.count)
        self.file.seek(rows + _ROW_SIZE * number)
        row = self.file.read(_ROW_SIZE)
        if row[17:18] != b"n":
            return b""
        self.file.seek(int(row[:10]))
        found = _OBJECT.match(self.file.read(_MOST_OBJECT_BYTES))
        return found[1] if found and found[1].startswith(b"%d 0 obj\n" % number) else b""


def _addition(file: IO[bytes], field: str, name: str, reason: str, room: int) -> bytes | None:
    """The objects that are added and their table, with a hole; None for a file of another form."""
    own = _OwnFile.of(file)
    if own is None:
        return None
    root, number = int(own.ending["root"]), own.count
    catalog = own.object(root)
    form = _FORM.search(catalog)
    if form is None or b"/Perms" in catalog or b"/Extensions" in catalog:
        return None
    widget = own.object(int(form[1]))
    if b"/T (%s)" % field.encode() not in widget or b"/V " in widget:
        return None
    open_form = form.end() - len(b" >>")
    catalog = catalog[:open_form] + b" /SigFlags 3" + catalog[open_form:]
    objects = {
        root: b"%s %s /Perms << /DocMDP %d 0 R >> >>" % (catalog, _EXTENSIONS, number),
        int(form[1]): b"%s /V %d 0 R >>" % (widget, number),
        number: _signature(number, name, reason, room),
    }
    out, rows = b"", b"0 1\n0000000000 65535 f \n"
    for at, written in sorted(objects.items()):
        rows += b"%d 1\n%010d 00000 n \n" % (at, own.size + len(out))
        out += written + b"\nendobj\n"
    trailer = b"<< /Info %s /Root %d 0 R /Size %d /ID [<%s><%s>] /Prev %s >>" % (
        *(own.ending["info"], root, number + 1, own.ending["id"], os.urandom(16).hex().encode()),
        own.ending["table"],
    )
    end = b"startxref\n%d\n%%%%EOF\n" % (own.size + len(out))
    return out + b"xref\n" + rows + b"trailer " + trailer + b"\n" + end


def _signature(number: int, name: str, reason: str, room: int) -> bytes:
    """The signature's dictionary (ISO 32000-1, 12.8.1) with a hole for its envelope."""
    now = dt.datetime.now(dt.UTC).strftime("D:%Y%m%d%H%M%SZ").encode()
    return (
        b"%d 0 obj\n<< /Type /Sig /Filter /Adobe.PPKLite /SubFilter /ETSI.CAdES.detached"
        b" /ByteRange %s /Contents <%s> /M (%s) /Name %s /Reason %s"
        b" /Reference [ << /Type /SigRef /TransformMethod /DocMDP"
        b" /TransformParams << /Type /TransformParams /V /1.2 /P 2 >> >> ] >>"
    ) % (number, _UNKNOWN_RANGE, b"0" * (2 * room), now, _text(name), _text(reason))


def _text(said: str) -> bytes:
    """A text string (ISO 32000-1, 7.9.2.2), in hexadecimal digits: nothing in it ends it."""
    return b"<%s>" % (b"\xfe\xff" + said.encode("utf-16-be", "replace")).hex().encode()


def _digest_of(file: IO[bytes]) -> hashlib._Hash:
    """SHA-256 of a whole file, to be gone on with."""
    digest = hashlib.sha256()
    file.seek(0)
    while block := file.read(_BLOCK):
        digest.update(block)
    return digest


def _envelope(
    key: ec.EllipticCurvePrivateKey, certificate: x509.Certificate, digest: bytes
) -> bytes:
    """The CMS of a PAdES baseline signature (RFC 5652; ETSI EN 319 142-1) over that digest."""
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    der = certificate.public_bytes(serialization.Encoding.DER)
    issuer = certificate.issuer.public_bytes()
    serial = certificate.serial_number
    number = tagged(0x02, serial.to_bytes(serial.bit_length() // 8 + 1, "big"))
    named = sequence(
        tagged(0x04, hashlib.sha256(der).digest()),
        sequence(sequence(tagged(0xA4, issuer)), number),
    )
    attributes = b"".join(
        sorted(  # as DER wants a SET (X.690, 11.6)
            sequence(kind, tagged(0x31, value))
            for kind, value in (
                (_CONTENT_TYPE, DATA),
                (_MESSAGE_DIGEST, tagged(0x04, digest)),
                (_SIGNING_CERTIFICATE, sequence(sequence(named))),
            )
        )
    )
    signature = key.sign(tagged(0x31, attributes), ec.ECDSA(hashes.SHA256()))
    who = sequence(
        *(ONE, sequence(issuer, number), _SHA256, tagged(0xA0, attributes), _ECDSA),
        tagged(0x04, signature),
    )
    signed = sequence(
        *(ONE, tagged(0x31, _SHA256), sequence(DATA), tagged(0xA0, der), tagged(0x31, who))
    )
    return sequence(SIGNED_DATA, tagged(0xA0, signed))
