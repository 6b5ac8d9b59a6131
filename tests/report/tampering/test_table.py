"""Every way to doctor a report is refused, by the library in a stranger's hands and at the shop;
in `make test` two ways of each kind and reason.

The ways are of our own making, after PDF (ISO 32000-1), CMS (RFC 5652) and UTS 39.
"""

from __future__ import annotations

import random
from typing import Any
from unittest import mock

import pytest
from pyhanko.pdf_utils import generic

from bradawl.report.checking.verification import verify
from bradawl.report.signing.keys import Signer
from bradawl.report.signing.trust_store import KnownKey, TrustStore
from tests.amount import amount
from tests.proof.flips import taken_for_good
from tests.report.tampering.attacker import signed
from tests.report.tampering.keys import signer
from tests.report.tampering.signed_by_others import ENVELOPES_OF_OTHERS, envelope_flips, tag_flips
from tests.report.tampering.table import HONEST, TABLE, Tampering, some
from tests.report.tampering.with_an_own_key import RECEIVED
from tests.report.visits import snapshot


@pytest.mark.parametrize(
    "one",
    [*some(TABLE.values(), each=2, seed=5), *some(HONEST, each=9, seed=5)],
    ids=lambda one: one.name,
)
def test_each_gets_the_verdict_that_it_should(
    one: Tampering, genuine: bytes, shop_named: Signer
) -> None:
    known = {shop_named.fingerprint: KnownKey(shop_named.name, own=True)}
    doctored = one.make(genuine)
    verdict = verify(doctored, TrustStore(known))
    assert verdict.kind == one.expected, verdict.lines
    said = {message.id for message in (*verdict.problems, *verdict.notes)}
    if one.expected == "unknown":
        at_the_shop = verify(doctored, TrustStore(known, seals=_seals))
        said |= {message.id for message in at_the_shop.problems}
        assert at_the_shop.kind == one.at_the_shop
        assert verify(doctored).kind == "unknown"
    assert one.says in {*said, ""}, verdict.lines
    assert all(line.rstrip()[-1:] in ".:" for line in verdict.lines), verdict.lines


def _seals(visit: str) -> frozenset[str] | None:
    own = snapshot()
    return frozenset({str(own.seals[0].value["leaves"])}) if visit == own.visit else None


def test_a_reason_of_the_form_counts_however_a_program_writes_its_letters(
    genuine: bytes, shop_named: Signer
) -> None:
    """Text strings may be UTF-16 with its mark, whatever letters they have (ISO 32000, 7.9.2)."""
    known = {shop_named.fingerprint: KnownKey(shop_named.name, own=True)}

    def wide(text: str) -> Any:
        return generic.ByteStringObject(b"\xfe\xff" + text.encode("utf-16-be"))

    for reason, kind in ((RECEIVED, "genuine"), ("I have repaired this car.", "changed")):
        spec = "pyhanko.sign.signers.pdf_signer.PdfSigner._retrieve_seed_value_spec"
        written = "pyhanko.sign.signers.pdf_byterange.pdf_string"
        with mock.patch(spec, return_value=None), mock.patch(written, wide):
            pdf = signed(genuine, signer(), "Second-signature", reason=reason)
        assert b"\xfe\xff\x00I\x00 " in pdf or "I".encode("utf-16-be").hex().encode() in pdf.lower()
        verdict = verify(pdf, TrustStore(known))
        assert verdict.kind == kind, verdict.lines


@pytest.mark.parametrize("kind", ENVELOPES_OF_OTHERS)
def test_a_flipped_bit_of_a_signature_of_others_is_a_change(
    kind: str, genuine: bytes, shop_named: Signer
) -> None:
    trust = TrustStore({shop_named.fingerprint: KnownKey(shop_named.name, own=True)})
    pdf = ENVELOPES_OF_OTHERS[kind](genuine)
    assert verify(pdf, trust).kind == "genuine"
    tags = tag_flips(pdf)
    tried = envelope_flips(pdf, amount(40_000, short=16))
    tried += random.Random(5).sample(tags, min(amount(len(tags), short=8), len(tags)))
    assert taken_for_good(tried, pdf, shop_named.fingerprint) == []
