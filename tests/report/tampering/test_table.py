"""Every way to doctor a report is refused, by the library in a stranger's hands and at the shop.

The ways are of our own making, after PDF (ISO 32000-1), CMS (RFC 5652) and UTS 39.
"""

from __future__ import annotations

import pytest

from bradawl.report.checking.verification import verify
from bradawl.report.signing.keys import Signer
from bradawl.report.signing.trust_store import KnownKey, TrustStore
from tests.report.tampering.table import HONEST, TABLE, Tampering
from tests.report.visits import snapshot


@pytest.mark.parametrize("one", [*TABLE.values(), *HONEST], ids=lambda one: one.name)
def test_each_gets_the_verdict_that_it_should(
    one: Tampering, genuine: bytes, shop_named: Signer
) -> None:
    known = {shop_named.fingerprint: KnownKey(shop_named.name, own=True)}
    doctored = one.make(genuine)
    verdict = verify(doctored, TrustStore(known))
    assert verdict.kind == one.expected, verdict.lines
    if one.says:
        at_the_shop = verify(doctored, TrustStore(known, seals=_seals))
        said = {
            message.id for message in (*verdict.problems, *verdict.notes, *at_the_shop.problems)
        }
        assert one.says in said, verdict.lines
    if one.expected == "unknown":
        assert verify(doctored, TrustStore(known, seals=_seals)).kind == one.at_the_shop
    assert all(line.rstrip()[-1:] in ".:" for line in verdict.lines), verdict.lines
    if one.expected != "genuine":
        assert verify(doctored).kind != "genuine"


def _seals(visit: str) -> frozenset[str] | None:
    own = snapshot()
    return frozenset({str(own.seals[0].value["leaves"])}) if visit == own.visit else None
