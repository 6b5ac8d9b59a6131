"""Every way to doctor a report, in the strangers' page: none is ever called genuine; in `make test`
one way of each kind and reason.

The table is the one that library, desk and command are held to, with the verdicts of a checker who
has no record of the shop's.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from bradawl.report.signing.keys import Signer
from bradawl.serving.check_page import ShopSigner
from tests.amount import amount
from tests.browsing import opened
from tests.report.check_page.conftest import check, check_flipped
from tests.report.tampering.conftest import genuine, shop_named  # noqa: F401 - fixtures
from tests.report.tampering.signed_by_others import ENVELOPES_OF_OTHERS, envelope_flips, tag_flips
from tests.report.tampering.table import HONEST, TABLE, some
from tests.report.tools import apart

#: Reasons that the page has no sentence of its own for: a strict reader takes none of it, or only
#: the shop's own record knows.
SAID_OTHERWISE = {
    "report-verify-field": "report-verify-something-else",
    "report-verify-visit-ours": "check-unknown-claims",
}


@pytest.fixture(scope="module")
def named_page(
    browser: Browser,
    make_page: Callable[..., str],
    shop_named: Signer,  # noqa: F811 - the fixture
    tmp_path_factory: pytest.TempPathFactory,
) -> Page:
    """The page of the shop whose report is doctored, without a network."""
    file: Path = tmp_path_factory.mktemp("page") / "check.html"
    own = ShopSigner(shop_named.fingerprint, shop_named.name, "own")
    file.write_text(make_page(own), encoding="utf-8")
    opened_page = opened(browser, offline=True).new_page()
    opened_page.goto(file.as_uri())
    opened_page.wait_for_selector("h1")
    return opened_page


def test_no_doctored_report_is_genuine_and_honest_ones_are(
    named_page: Page,
    genuine: bytes,  # noqa: F811 - the fixture
) -> None:
    ways = {one.name: one for one in some(TABLE.values(), each=1, seed=7)}
    honest = some(HONEST, each=6, seed=7)
    doctored = apart(lambda: {one.name: one.make(genuine) for one in (*ways.values(), *honest)})
    found = {name: check(named_page, pdf) for name, pdf in doctored.items()}
    verdicts = {name: one["verdict"] for name, one in found.items()}
    green = {name for name, verdict in verdicts.items() if verdict == "genuine"}
    assert green == {one.name for one in honest}
    expected = {name: one.expected for name, one in ways.items()}
    assert {name: verdicts[name] for name in expected} == expected
    said_otherwise = {
        name: (one.says, said)
        for name, one in ways.items()
        if (said := [sentence["id"] for sentence in found[name]["sentences"]])
        and one.says
        and not {one.says, SAID_OTHERWISE.get(one.says)} & {*said}
    }
    assert said_otherwise == {}


@pytest.mark.parametrize("kind", ENVELOPES_OF_OTHERS)
def test_a_flipped_bit_of_a_signature_of_others_is_a_change(
    kind: str,
    named_page: Page,
    genuine: bytes,  # noqa: F811 - the fixture
) -> None:
    pdf = apart(lambda: ENVELOPES_OF_OTHERS[kind](genuine))
    assert check(named_page, pdf)["verdict"] == "genuine"
    tried = tag_flips(pdf) + envelope_flips(pdf, amount(40_000, short=100))
    verdicts = check_flipped(named_page, pdf, tried)
    assert [one for one, said in zip(tried, verdicts, strict=True) if said != "changed"] == []
