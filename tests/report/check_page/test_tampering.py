"""Every way to doctor a report, in the strangers' page: none is ever called genuine.

The table is the one that library, desk and command are held to. The page has no pyHanko beside it
and no record of the shop's: where its verdict is another one, the way is named in OTHERWISE.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from bradawl.report.signing.keys import Signer
from bradawl.serving.check_page import ShopSigner
from tests.browsing import opened
from tests.report.check_page.conftest import check
from tests.report.tampering.conftest import genuine, shop_named  # noqa: F401 - fixtures
from tests.report.tampering.table import HONEST, TABLE
from tests.report.tools import apart

#: Ways that the page calls otherwise than the library, none of them genuine.
OTHERWISE = {
    "a key twice in the list": "unknown",
    "an envelope of the attackers own": "unknown",
    "made another day than it was signed": "unknown",
    "signed next month": "unknown",
    "signed years ago": "unknown",
    "under a name read backwards": "unknown",
    "under a name that writes a verdict of its own": "unknown",
    "under the name with a word more": "changed",
    "under the name with another letter": "changed",
    "with a certificate that has run out": "unknown",
    "with a certificate that is not valid yet": "unknown",
    "with a note over a page": "unknown",
    "with a script on a page": "unknown",
    "with an attachment in the list of names alone": "unknown",
    "with another record for other readers": "unknown",
    "with one more attachment": "unknown",
    "with the shops name beside a strangers certificate": "unknown",
    "with the shops name beside the certificate": "unknown",
    "without a number": "unknown",
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
    doctored = apart(lambda: {one.name: one.make(genuine) for one in (*TABLE.values(), *HONEST)})
    verdicts = {name: check(named_page, pdf)["verdict"] for name, pdf in doctored.items()}
    green = {name for name, verdict in verdicts.items() if verdict == "genuine"}
    assert green == {one.name for one in HONEST}
    expected = {name: one.expected for name, one in TABLE.items()}
    others = {name: verdicts[name] for name in expected if verdicts[name] != expected[name]}
    assert others == OTHERWISE
