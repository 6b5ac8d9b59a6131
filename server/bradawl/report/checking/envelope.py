"""Checks the envelope of a signature (CMS, RFC 5652), most of which nobody signs.

A signature covers the file and its own signed attributes. The scaffolding around them, the spare
certificates and the padding are free to whoever hands the file on. So the envelope is written anew
from the parts that are signed or proven, and must come out as it is, to the byte.
"""

from __future__ import annotations

import hashlib
from typing import Any

from bradawl.language import Message, message
from bradawl.report.checking.authorities import belong_to, is_vouched_for, key_problem
from bradawl.report.signing.der import DATA, ONE, SIGNED_DATA, sequence, tagged

__all__ = ["envelope_problem"]

_DIGESTS = ("sha256", "sha384", "sha512")
# What may stand unsigned beside a signature: a time stamp (RFC 3161).
_TIME_STAMP = "signature_time_stamp_token"


def envelope_problem(contents: bytes) -> Message | None:
    """What is wrong with a signature's DER and its padding; None when all is as it should be.

    `contents` is the decoded hexadecimal string of the PDF. Says nothing of whether the signature
    is right: that is the caller's. May raise anything for bytes that are no envelope.
    """
    from asn1crypto import cms  # type: ignore[import-untyped]
    from cryptography import x509

    size = _der_size(contents)
    der, padding = contents[:size], contents[size:]
    if padding.strip(b"\0"):
        return message("report-verify-padding")
    envelope = cms.ContentInfo.load(der, strict=True)
    signed = envelope["content"]
    # as written: once its values were looked at, the library would write it anew, and slowly
    attributes = signed["signer_infos"][0]["signed_attrs"].dump()
    if len(signed["signer_infos"]) != 1:
        return message("report-verify-many-signers")
    signer = signed["signer_infos"][0]
    named = _named_digests(signer)
    digests = {signer["digest_algorithm"]["algorithm"].native, *(how for how, _ in named)}
    if not digests <= set(_DIGESTS):
        return message("report-verify-weak")
    certificates = [choice.chosen for choice in signed["certificates"]]
    own = _own_certificate(signer, certificates, named)
    if own is None:
        return message("report-verify-envelope")
    problem = key_problem(x509.load_der_x509_certificate(own.dump()))
    if problem is not None:
        return problem
    if not belong_to(own.dump(), [certificate.dump() for certificate in certificates]):
        return message("report-verify-spare-certificate")
    if not named and not is_vouched_for(
        own.dump(), [certificate.dump() for certificate in certificates]
    ):
        return message("report-verify-unnamed-certificate")
    if _written_anew(signed, signer, own, attributes) != der:
        return message("report-verify-envelope")
    if not _attributes_are_signed(signer, own, attributes):
        return message("report-verify-not-valid")
    return None


def _der_size(der: bytes) -> int:
    """How many bytes the outermost value has (X.690, 8.1.3)."""
    if der[1] & 0x80:
        head = 2 + (der[1] & 0x7F)
        return head + int.from_bytes(der[2:head], "big")
    return 2 + der[1]


def _named_digests(signer: Any) -> list[tuple[str, bytes]]:
    """The certificate that the signed attributes name, by its digests; each with how it is made."""
    named: list[tuple[str, bytes]] = []
    for attribute in signer["signed_attrs"]:
        kind = attribute["type"].native
        if kind == "signing_certificate_v2":
            first = attribute["values"][0]["certs"][0]
            named.append((first["hash_algorithm"]["algorithm"].native, first["cert_hash"].native))
        elif kind == "signing_certificate":
            named.append(("sha1", attribute["values"][0]["certs"][0]["cert_hash"].native))
    return named


def _own_certificate(signer: Any, certificates: list[Any], named: list[tuple[str, bytes]]) -> Any:
    """The signer's certificate: the one that the signed attributes name, else the identifier."""
    for certificate in certificates:
        der = certificate.dump()
        if named and all(hashlib.new(how, der).digest() == digest for how, digest in named):
            return certificate
    if named:
        return None
    # no attribute names it: then the unsigned identifier must, and the check of the key decides
    sid = signer["sid"].chosen.native
    for certificate in certificates:
        if sid == {"issuer": certificate.issuer.native, "serial_number": certificate.serial_number}:
            return certificate
    return None


def _written_anew(signed: Any, signer: Any, own: Any, attributes: bytes) -> bytes:
    """The same envelope from certificates, signed attributes and the signature's numbers."""
    digest = _plain_algorithm(signer["digest_algorithm"], _DIGESTS)
    issuer_and_serial = sequence(own.issuer.dump(), own["tbs_certificate"]["serial_number"].dump())
    signer_info = sequence(
        ONE,
        issuer_and_serial,
        digest,
        attributes,
        _signature_algorithm(signer, own),
        tagged(0x04, _signature(signer, own)),
        _unsigned(signer),
    )
    certificates = b"".join(choice.dump() for choice in signed["certificates"])
    body = sequence(
        ONE,
        tagged(0x31, digest),
        sequence(DATA),
        tagged(0xA0, certificates),
        tagged(0x31, signer_info),
    )
    return sequence(SIGNED_DATA, tagged(0xA0, body))


#: RFC 8017, appendix C.
_PSS = bytes.fromhex("06092a864886f70d01010a")
_MGF1 = bytes.fromhex("06092a864886f70d010108")


def _plain_algorithm(algorithm: Any, names: tuple[str, ...]) -> bytes:
    """An algorithm without parameters: NULL, or nothing there (RFC 5754, section 2)."""
    identifier = algorithm["algorithm"]
    if identifier.native not in names:
        raise ValueError("Another algorithm than there should be.")
    name = type(identifier)(identifier.native).dump()
    bare, null = sequence(name), sequence(name, b"\x05\x00")
    written = algorithm.dump()
    return bare if written == bare else null


def _signature_algorithm(signer: Any, own: Any) -> bytes:
    """As it must read for that key and digest."""
    algorithm, digest = (
        signer["signature_algorithm"],
        signer["digest_algorithm"]["algorithm"].native,
    )
    if own.public_key.algorithm == "ec":
        return _plain_algorithm(algorithm, (f"{digest}_ecdsa",))
    if algorithm["algorithm"].native == "rsassa_pss":
        return _pss_algorithm(algorithm, digest)
    return _plain_algorithm(algorithm, ("rsassa_pkcs1v15", f"{digest}_rsa"))


def _pss_algorithm(algorithm: Any, digest: str) -> bytes:
    """RSASSA-PSS with that digest for everything and a salt of any length (RFC 4055, 3.1)."""
    from asn1crypto.algos import DigestAlgorithm  # type: ignore[import-untyped]

    name = DigestAlgorithm({"algorithm": digest})["algorithm"].dump()
    plain = [sequence(name), sequence(name, b"\x05\x00")]
    salt: int = algorithm["parameters"]["salt_length"].native
    if salt < 0:
        raise ValueError("A salt of less than nothing.")
    size = tagged(0x02, salt.to_bytes(salt.bit_length() // 8 + 1, "big"))
    forms = [
        sequence(
            _PSS,
            sequence(tagged(0xA0, outer), tagged(0xA1, sequence(_MGF1, inner)), tagged(0xA2, size)),
        )
        for outer in plain
        for inner in plain
    ]
    written: bytes = algorithm.dump()
    return written if written in forms else forms[0]


def _signature(signer: Any, own: Any) -> bytes:
    raw = bytes(signer["signature"].native)
    if own.public_key.algorithm != "ec":
        return raw
    from cryptography.hazmat.primitives.asymmetric.utils import (
        decode_dss_signature,
        encode_dss_signature,
    )

    return encode_dss_signature(*decode_dss_signature(raw))


def _unsigned(signer: Any) -> bytes:
    """The attributes that nobody signs, which may be a time stamp and nothing else."""
    unsigned = signer["unsigned_attrs"]
    if not unsigned.native:
        return b""
    if [attribute["type"].native for attribute in unsigned] != [_TIME_STAMP]:
        raise ValueError("An attribute that nobody signs.")
    written: bytes = unsigned.dump()
    return written


def _attributes_are_signed(signer: Any, own: Any, attributes: bytes) -> bool:
    """Whether the signature is over the attributes as they are written, not only as they are read.

    RFC 5652, 5.4: they are hashed as a SET.
    """
    from cryptography import x509
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec, padding, rsa

    written = b"\x31" + attributes[1:]
    digest = getattr(hashes, signer["digest_algorithm"]["algorithm"].native.upper())()
    algorithm, raw = signer["signature_algorithm"], bytes(signer["signature"].native)
    key = x509.load_der_x509_certificate(own.dump()).public_key()
    try:
        if isinstance(key, ec.EllipticCurvePublicKey):
            key.verify(raw, written, ec.ECDSA(digest))
        elif isinstance(key, rsa.RSAPublicKey):
            pads: padding.AsymmetricPadding = padding.PKCS1v15()
            if algorithm["algorithm"].native == "rsassa_pss":
                salt = algorithm["parameters"]["salt_length"].native
                pads = padding.PSS(padding.MGF1(digest), salt)
            key.verify(raw, written, pads, digest)
    except InvalidSignature:
        return False
    return True
