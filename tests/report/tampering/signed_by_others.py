"""What programs of others sign a report with: kinds of keys, digests, envelopes, authorities.

Kinds are those of PAdES and ISO 32000-1 (`ETSI.CAdES.detached`, `adbe.pkcs7.detached`), RFC 5754
and RFC 8017; what is weak is said by NIST SP 800-131A. pyHanko signs, as the outside tool. Each
honest one must stay genuine, each other be refused, by library and check page alike.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any
from unittest import mock

from asn1crypto import algos, cms, core, parser, tsp
from pyhanko.sign import signers
from pyhanko.sign.fields import SigSeedSubFilter

from tests.report.tampering.attacker import envelope, hole, signed, with_envelope
from tests.report.tampering.keys import (
    DAY,
    NOW,
    STRANGER,
    chained,
    signer,
    without_naming_its_certificate,
)
from tests.report.tampering.tampering import Tampering, tampering
from tests.report.tampering.with_an_own_key import RECEIVED

__all__ = ["BY_OTHERS", "ENVELOPES_OF_OTHERS", "HONEST_OTHERS", "envelope_flips", "tag_flips"]

HONEST_OTHERS: list[Tampering] = []
BY_OTHERS: list[Tampering] = []

_bad = partial(tampering, BY_OTHERS)
_PKCS7 = SigSeedSubFilter.ADOBE_PKCS7_DETACHED
_PADES = SigSeedSubFilter.PADES
_KEYS = ("RSA-2048", "RSA-3072", "RSA-4096", "P-256", "P-384", "P-521")
_RSA = partial(signer, kind="RSA-2048")
_LONG = ("RSA-3072", "RSA-4096")
_DIGESTS = ("sha256", "sha384", "sha512")


def by(pdf: bytes, key: signers.SimpleSigner, digest: str = "sha256", **more: Any) -> bytes:
    """Signed later, by somebody's own program, without regard to what it would refuse itself."""
    options = {"reason": RECEIVED, "md_algorithm": digest, "subfilter": _PKCS7, **more}
    spec = "pyhanko.sign.signers.pdf_signer.PdfSigner._retrieve_seed_value_spec"
    with mock.patch(spec, return_value=None):
        return signed(pdf, key, "Second-signature", **options)


def _honest(name: str, make: Callable[[bytes], bytes]) -> None:
    HONEST_OTHERS.append(Tampering(f"signed later {name}", make, "genuine", "genuine"))


def _kinds() -> Iterator[tuple[str, Callable[[bytes], bytes]]]:
    for at, kind in enumerate(_KEYS):
        # long keys take long to sign with: each digest with a short one
        for more, digest in enumerate(_DIGESTS if kind not in _LONG else _DIGESTS[-1:]):
            form, method = [("PAdES", _PADES), ("PKCS 7", _PKCS7)][(at + more) % 2]
            yield (
                f"with {kind} and {digest} as {form}",
                partial(_by, kind=kind, digest=digest, method=method),
            )
        if kind.startswith("RSA-"):
            digest = _DIGESTS[at]
            yield (
                f"with {kind} and {digest}, PSS",
                partial(_by, kind=kind, digest=digest, method=_PKCS7, pss=True),
            )


def _by(
    pdf: bytes, *, kind: str, digest: str, method: SigSeedSubFilter, pss: bool = False
) -> bytes:
    return by(pdf, signer(kind=kind, pss=pss), digest, subfilter=method)


for _name, _make in _kinds():
    _honest(_name, _make)


def of_an_authority(pdf: bytes, kind: str = "RSA-2048", **more: Any) -> bytes:
    return by(pdf, chained(kind, **more))


_honest("with a certificate of an authority", of_an_authority)
_honest(
    "with a certificate of an authority with a curve",
    lambda pdf: of_an_authority(pdf, "P-384", authority="P-521"),
)
_honest(
    "with a certificate whose authority is not there",
    lambda pdf: of_an_authority(pdf, carried=()),
)
_honest(
    "with an authority whose own certificate is old",
    lambda pdf: of_an_authority(pdf, root_with="sha1"),
)
_honest(
    "by a program that names no certificate",
    lambda pdf: by(pdf, without_naming_its_certificate(signer(kind="RSA-2048"))),
)
_honest(
    "by a program that names no certificate, of an authority",
    lambda pdf: by(pdf, without_naming_its_certificate(chained("P-384"))),
)


#: Envelopes of each kind, most of which nothing covers: what is not signed must not be changed.
ENVELOPES_OF_OTHERS: dict[str, Callable[[bytes], bytes]] = {
    "RSA": lambda pdf: by(pdf, without_naming_its_certificate(_RSA())),
    "PSS": lambda pdf: by(pdf, _RSA(pss=True), subfilter=_PADES),
    "P-384": lambda pdf: by(pdf, without_naming_its_certificate(chained("P-384"))),
}


def envelope_flips(pdf: bytes, most: int) -> list[tuple[int, int]]:
    """Places and bits of the last signature's digits, spread over all that is no padding."""
    begin, _ = hole(pdf)
    everything = [
        (begin + 1 + at, bit) for at in range(2 * len(envelope(pdf)) + 8) for bit in range(8)
    ]
    return random.Random(17).sample(everything, min(most, len(everything)))


def tag_flips(pdf: bytes) -> list[tuple[int, int]]:
    """A bit of each tag in the last signature's envelope (X.690, 8.1.2): what a value is."""
    begin, _ = hole(pdf)
    return [(begin + 2 + 2 * at, at % 4) for at in sorted(set(_tags(envelope(pdf), 0)))]


def _tags(der: bytes, offset: int) -> Iterator[int]:
    at = 0
    while at < len(der):
        _, constructed, _, head, content, _ = parser.parse(der[at:])
        yield offset + at
        if constructed:
            yield from _tags(content, offset + at + len(head))
        at += len(head) + len(content)


def _small_digits(pdf: bytes) -> bytes:
    twice = by(pdf, signer(kind="RSA-2048"))
    begin, end = hole(twice)
    return twice[:begin] + twice[begin:end].lower() + twice[end:]


_honest("in small digits", _small_digits)


def _resigned(
    pdf: bytes,
    key: signers.SimpleSigner,
    attributes: Callable[[list[Any]], None] | None = None,
    *,
    outside: Callable[[Any], None] | None = None,
    signed_with: str = "sha256",
    **more: Any,
) -> bytes:
    """Signed later, its signed attributes changed and signed anew; then what is outside changed."""
    twice = by(pdf, key, **more)
    content = cms.ContentInfo.load(envelope(twice))
    info = content["content"]["signer_infos"][0]
    if attributes is not None:
        listed = list(info["signed_attrs"])
        attributes(listed)
        info["signed_attrs"] = cms.CMSAttributes(listed)
        message = b"\x31" + info["signed_attrs"].dump(force=True)[1:]
        info["signature"] = key.sign_raw(message, signed_with)
    if outside is not None:
        outside(content["content"])
    return with_envelope(twice, content.dump(force=True))


def _attribute(kind: str, value: Any) -> cms.CMSAttribute:
    return cms.CMSAttribute({"type": kind, "values": [value]})


def _set(kind: str, value: Any) -> Callable[[list[Any]], None]:
    """Put an attribute in the place of the one of its kind."""

    def change(listed: list[Any]) -> None:
        listed[:] = [one for one in listed if one["type"].native != kind]
        listed.append(_attribute(kind, value))

    return change


# ---- weak ----


@_bad("changed", "report-verify-weak")
def signed_later_with_sha_1(pdf: bytes) -> bytes:
    return by(pdf, _RSA(), "sha1")


@_bad("changed", "report-verify-weak")
def signed_later_with_sha_224(pdf: bytes) -> bytes:
    return by(pdf, _RSA(), "sha224")


@_bad("changed", "report-verify-weak")
def signed_later_with_md_5(pdf: bytes) -> bytes:
    return by(pdf, _RSA(), "md5")


@_bad("changed", "report-verify-weak")
def signed_later_with_a_short_key(pdf: bytes) -> bytes:
    return by(pdf, signer(kind="RSA-1024"))


@_bad("changed", "report-verify-weak")
def signed_later_with_a_key_almost_long_enough(pdf: bytes) -> bytes:
    return by(pdf, signer(kind="RSA-2047"))


@_bad("changed", "report-verify-rare-key")
def signed_later_with_a_small_curve(pdf: bytes) -> bytes:
    return by(pdf, signer(kind="P-224"))


@_bad("changed", "report-verify-rare-key")
def signed_later_with_a_curve_that_browsers_do_not_have(pdf: bytes) -> bytes:
    return by(pdf, signer(kind="brainpoolP256r1"))


@_bad("changed", "report-verify-rare-key")
def signed_later_with_the_curve_of_coins(pdf: bytes) -> bytes:
    return by(pdf, signer(kind="secp256k1"))


@_bad("changed", "report-verify-rare-key")
def signed_later_with_another_kind_of_key(pdf: bytes) -> bytes:
    return by(pdf, signer(kind="Ed25519"), "sha512")


@_bad("changed", "report-verify-weak")
def signed_later_with_a_certificate_named_by_sha_1(pdf: bytes) -> bytes:
    key = _RSA()
    sha1 = tsp.SigningCertificate({"certs": [{"cert_hash": key.signing_cert.sha1}]})

    def change(listed: list[Any]) -> None:
        listed[:] = [one for one in listed if one["type"].native != "signing_certificate_v2"]
        listed.append(_attribute("signing_certificate", sha1))

    return _resigned(pdf, key, change)


# ---- wrong ----


@_bad("changed", "report-verify-not-intact")
def signed_later_over_other_bytes(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), _set("message_digest", core.OctetString(bytes(32))))


@_bad("changed", "report-verify-not-intact")
def signed_later_with_a_digest_of_another_length(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), _set("message_digest", core.OctetString(bytes(48))))


def _bit(place: int) -> Callable[[Any], None]:
    def change(content: Any) -> None:
        info = content["signer_infos"][0]
        raw = bytearray(info["signature"].native)
        raw[place] ^= 1
        info["signature"] = bytes(raw)

    return change


@_bad("changed", "report-verify-not-valid")
def signed_later_with_rsa_and_a_bit_flipped(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), outside=_bit(100))


@_bad("changed", "report-verify-not-valid")
def signed_later_with_pss_and_a_bit_flipped(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(pss=True), outside=_bit(100))


@_bad("changed", "report-verify-not-valid")
def signed_later_with_p_384_and_a_bit_flipped(pdf: bytes) -> bytes:
    return _resigned(pdf, signer(kind="P-384"), outside=_bit(-1))


def _wider(content: Any) -> None:
    info = content["signer_infos"][0]
    info["signature"] = b"\0" + info["signature"].native


@_bad("changed", "report-verify-not-valid")
def signed_later_with_a_nought_before_the_signature(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), outside=_wider)


def _named(algorithm: Any) -> Callable[[Any], None]:
    def change(content: Any) -> None:
        content["signer_infos"][0]["signature_algorithm"] = algorithm

    return change


@_bad("changed")
def signed_later_with_another_algorithm_named_outside(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), subfilter=_PADES, outside=_named({"algorithm": "sha512_rsa"}))


@_bad("changed")
def signed_later_with_a_curves_algorithm_named_for_rsa(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), subfilter=_PADES, outside=_named({"algorithm": "sha256_ecdsa"}))


@_bad("changed", "report-verify-not-valid")
def signed_later_over_attributes_with_another_digest(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), lambda listed: None, signed_with="sha512")


def _pss(digest: str, mask: str, salt: int) -> algos.SignedDigestAlgorithm:
    parameters = algos.RSASSAPSSParams(
        {
            "hash_algorithm": {"algorithm": digest},
            "mask_gen_algorithm": {"algorithm": "mgf1", "parameters": {"algorithm": mask}},
            "salt_length": salt,
        }
    )
    return algos.SignedDigestAlgorithm({"algorithm": "rsassa_pss", "parameters": parameters})


@_bad("changed")
def signed_later_with_another_mask_named_for_pss(pdf: bytes) -> bytes:
    return _resigned(
        pdf, _RSA(pss=True), subfilter=_PADES, outside=_named(_pss("sha256", "sha512", 32))
    )


@_bad("changed")
def signed_later_with_another_digest_named_for_pss(pdf: bytes) -> bytes:
    return _resigned(
        pdf, _RSA(pss=True), subfilter=_PADES, outside=_named(_pss("sha512", "sha256", 32))
    )


@_bad("changed")
def signed_later_with_another_salt_named_for_pss(pdf: bytes) -> bytes:
    return _resigned(
        pdf, _RSA(pss=True), subfilter=_PADES, outside=_named(_pss("sha256", "sha256", 31))
    )


@_bad("changed")
def signed_later_with_nothing_named_for_pss(pdf: bytes) -> bytes:
    """Then SHA-1 is meant (RFC 4055, 3.1)."""
    return _resigned(
        pdf, _RSA(pss=True), subfilter=_PADES, outside=_named({"algorithm": "rsassa_pss"})
    )


@_bad("changed")
def signed_later_with_pss_named_for_another_padding(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), subfilter=_PADES, outside=_named(_pss("sha256", "sha256", 32)))


@_bad("changed")
def signed_later_with_other_algorithms_protected(pdf: bytes) -> bytes:
    """The signed attribute that names the algorithms (RFC 6211) names others."""
    protected = cms.CMSAlgorithmProtection(
        {
            "digest_algorithm": {"algorithm": "sha512"},
            "signature_algorithm": {"algorithm": "sha512_rsa"},
        }
    )
    return _resigned(pdf, _RSA(), _set("cms_algorithm_protection", protected))


@_bad("changed")
def signed_later_with_two_digests(pdf: bytes) -> bytes:
    def change(listed: list[Any]) -> None:
        listed.append(_attribute("message_digest", core.OctetString(bytes(32))))

    return _resigned(pdf, _RSA(), change)


@_bad("changed", "report-verify-outside-validity")
def signed_later_before_its_certificate_was_made(pdf: bytes) -> bytes:
    """The signed attribute says when, whatever stands beside it."""
    when = cms.Time("utc_time", core.UTCTime(NOW - 30 * DAY))
    return _resigned(pdf, _RSA(), _set("signing_time", when))


@_bad("changed", "report-verify-implausible")
def signed_later_next_year(pdf: bytes) -> bytes:
    when = cms.Time("utc_time", core.UTCTime(NOW + 365 * DAY))
    return _resigned(pdf, _RSA(), _set("signing_time", when))


# ---- certificates ----


def _in_the_bag(pdf: bytes, change: Callable[[list[bytes]], None], key: Any) -> bytes:
    twice = by(pdf, key)
    content = cms.ContentInfo.load(envelope(twice))
    bag = [*dict.fromkeys(one.chosen.dump() for one in content["content"]["certificates"])]
    change(bag)
    content["content"]["certificates"] = cms.CertificateSet(
        [cms.CertificateChoices.load(der) for der in bag]
    )
    return with_envelope(twice, content.dump(force=True))


def _another_name(bag: list[bytes]) -> None:
    """The signer's certificate, whose owner is called otherwise, the rest as it was."""
    at = next(at for at, one in enumerate(bag) if STRANGER.encode() in one)
    head, _, tail = bag[at].rpartition(STRANGER.encode())
    bag[at] = head + STRANGER.replace("t", "k").encode() + tail


@_bad("changed", "report-verify-unnamed-certificate")
def signed_later_with_another_name_in_a_certificate_that_nothing_names(pdf: bytes) -> bytes:
    return _in_the_bag(pdf, _another_name, without_naming_its_certificate(_RSA()))


@_bad("changed", "report-verify-spare-certificate")
def another_name_in_a_certificate_of_an_authority_that_nothing_names(pdf: bytes) -> bytes:
    return _in_the_bag(pdf, _another_name, without_naming_its_certificate(chained("P-384")))


@_bad("changed", "report-verify-unnamed-certificate")
def signed_later_with_a_certificate_that_nobody_vouches_for(pdf: bytes) -> bytes:
    """Any byte of it could be another: nothing names it, and its authority is not there."""
    return by(pdf, without_naming_its_certificate(chained("RSA-2048", carried=())))


@_bad("changed", "report-verify-spare-certificate")
def signed_later_with_a_strangers_certificate_beside(pdf: bytes) -> bytes:
    other = signer("Rolf Farnwell").signing_cert.dump()
    return _in_the_bag(pdf, lambda bag: bag.append(other), chained())


@_bad("changed", "report-verify-spare-certificate")
def signed_later_with_an_authority_that_signs_with_sha_1(pdf: bytes) -> bytes:
    return of_an_authority(pdf, issuing_with="sha1")


@_bad("changed", "report-verify-spare-certificate")
def signed_later_with_an_authority_whose_key_is_short(pdf: bytes) -> bytes:
    return of_an_authority(pdf, authority="RSA-1024")


@_bad("changed", "report-verify-spare-certificate")
def signed_later_with_an_authority_in_the_middle_alone(pdf: bytes) -> bytes:
    """Nobody who is there vouches for it."""
    return of_an_authority(pdf, carried=("Marrow Issuing",))


@_bad("changed", "report-verify-spare-certificate")
def signed_later_with_a_bit_of_an_authority_flipped(pdf: bytes) -> bytes:
    def change(bag: list[bytes]) -> None:
        at = next(at for at, one in enumerate(bag) if one.count(b"Marrow Root") == 2)
        bag[at] = bag[at].replace(b"Marrow Root", b"Marrow Roof")

    return _in_the_bag(pdf, change, chained())


@_bad("changed")
def signed_later_without_its_certificate(pdf: bytes) -> bytes:
    return _in_the_bag(pdf, list.clear, _RSA())


# ---- envelopes ----


def _unsigned(content: Any) -> None:
    content["signer_infos"][0]["unsigned_attrs"] = cms.CMSAttributes(
        [{"type": "1.2.3.4.5", "values": [core.OctetString(b"all repaired")]}]
    )


@_bad("changed")
def signed_later_with_words_that_nobody_signs(pdf: bytes) -> bytes:
    return _resigned(pdf, _RSA(), outside=_unsigned)


@_bad("changed")
def signed_later_without_a_stated_length(pdf: bytes) -> bytes:
    twice = by(pdf, _RSA())
    return with_envelope(twice, b"\x30\x80" + envelope(twice)[4:] + b"\0\0")


@_bad("changed")
def signed_later_with_a_length_longer_than_need_be(pdf: bytes) -> bytes:
    twice = by(pdf, _RSA())
    return with_envelope(twice, b"\x30\x83\x00" + envelope(twice)[2:])


@_bad("changed", "report-verify-padding")
def signed_later_with_words_behind_the_signature(pdf: bytes) -> bytes:
    twice = by(pdf, _RSA())
    return with_envelope(twice, envelope(twice) + bytes(8) + b"all repaired")


@_bad("changed", "report-verify-hex")
def signed_later_in_digits_great_and_small(pdf: bytes) -> bytes:
    twice = by(pdf, _RSA())
    begin, end = hole(twice)
    middle = (begin + end) // 2
    assert twice[begin:middle] != twice[begin:middle].lower()
    return twice[:begin] + twice[begin : begin + 200].lower() + twice[begin + 200 :]


@_bad("changed")
def signed_later_by_a_method_that_is_no_more(pdf: bytes) -> bytes:
    twice = by(pdf, _RSA())
    at = twice.rindex(b"/adbe.pkcs7.detached")
    return twice[:at] + b"/adbe.pkcs7.detacheD" + twice[at + 20 :]
