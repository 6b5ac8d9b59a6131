"""The genuine report that is doctored, issued once for all."""

from __future__ import annotations

import pytest

from bradawl.report.issue import write_report
from bradawl.report.signing.keys import Signer, open_signer
from tests.report.tampering.table import SHOP
from tests.report.visits import TODAY, jpeg, snapshot


@pytest.fixture(scope="session")
def shop_named(tmp_path_factory: pytest.TempPathFactory) -> Signer:
    """A shop under a name that others would like to have."""
    return open_signer(tmp_path_factory.mktemp("shop-keys"), name=SHOP)


@pytest.fixture(scope="session")
def genuine(tmp_path_factory: pytest.TempPathFactory, shop_named: Signer) -> bytes:
    out = tmp_path_factory.mktemp("genuine") / "report.pdf"
    write_report(snapshot(photos=[jpeg(1)]), out, "condition", shop_named, today=TODAY)
    return out.read_bytes()
