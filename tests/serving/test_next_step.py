"""No page of the desk ends in nothing: where there is nothing to show, something leads on."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from tests.nasty.site import Site, pages_of

#: Whoever reads these can do nothing but ask somebody: their sentence says whom.
SAID = {"/desk/shared"}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    one = Site(tmp_path_factory.mktemp("site"))
    yield one
    one.close()


def ways_on(page: str) -> list[str]:
    """Links, forms and buttons of a page's own part, without its menus, doors and sign-out."""
    main = re.search(r"<main.*?>(.*)</main>", page, re.DOTALL)
    assert main is not None
    own = re.sub(r"<nav.*?</nav>|<form[^>]*sign-out.*?</form>", "", main[1], flags=re.DOTALL)
    own = re.sub(r'<p class="doors"><a[^>]*/shelf">.*?</p>', "", own, flags=re.DOTALL)
    return re.findall(r"<(?:a [^>]*href=|form\b|button\b)", own)


def test_a_page_without_anything_to_show_leads_on(site: Site) -> None:
    shop = [address for address in site.addresses() if re.fullmatch(r"/desk/[a-z/-]*", address)]
    assert "/desk/compare" in shop
    asked = {address: site.ask(address) for address in shop}
    visit = site.record([("about/place", "a barn")])
    asked |= {address: site.ask(address) for address in pages_of(visit)}
    pages = {
        address: answer.text
        for address, answer in asked.items()
        if answer.status_code == 200 and "text/html" in answer.headers["content-type"]
    }
    assert len(pages) > 40
    nothing = {address for address, page in pages.items() if 'class="empty"' in page}
    assert {"/desk/compare", "/desk/board", f"/desk/visits/{visit}/photos"} <= nothing
    assert {address for address in nothing if not ways_on(pages[address])} == SAID & nothing
    dead = {address for address, page in pages.items() if not ways_on(page)}
    # a list that is never empty, and what has a sentence instead
    assert dead - SAID <= {"/desk/audit"}
