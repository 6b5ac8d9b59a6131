"""The list's lines over a restart: nothing is judged twice, and nothing outdated is believed."""

from __future__ import annotations

import re
import sqlite3
import threading
import time
from collections.abc import Collection
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bradawl.desk.model.visits import summary_cache
from bradawl.desk.model.visits.board import MOST_SHOWN
from bradawl.desk.model.visits.summaries import ON_A_PAGE
from bradawl.desk.model.visits.summary import summarize
from bradawl.desk.model.visits.summary_queue import SummaryQueue
from tests.desk.conftest import DESK, PHONE, VISIT, Workshop

OTHER = "b" * 32
KEY = ("stamp", 3, "", "2026-11-25")


@pytest.fixture
def shop(workshop: Workshop, tmp_path: Path) -> Workshop:
    workshop.cache = tmp_path / "prepared" / "lines.sqlite3"
    for visit in (VISIT, OTHER):
        workshop.begin(visit)
        workshop.write([("items/brakes.pads/grade", {"grade": "major"})], visit=visit)
    return workshop


def started(shop: Workshop) -> TestClient:
    """A server begun anew over the same data."""
    return TestClient(shop.site())


def judged(shop: Workshop, client: TestClient) -> int:
    """How many visits the list had to judge."""
    before = shop.gathered
    page = client.get("/desk/")
    assert page.text.count('scope="row"') == 2
    return shop.gathered - before


def test_a_restart_judges_nothing_anew_and_shows_the_same(shop: Workshop) -> None:
    client = started(shop)
    assert judged(shop, client) == 2
    page = client.get("/desk/").text
    again = started(shop)
    assert judged(shop, again) == 0
    assert again.get("/desk/").text == page
    assert again.get("/desk/", params={"words": "TEST 1"}).text.count('scope="row"') == 2


def test_only_a_visit_that_changed_is_judged_again(shop: Workshop) -> None:
    judged(shop, started(shop))
    shop.write([("items/brakes.pads/grade", {"grade": "dangerous"})], visit=OTHER)
    client = started(shop)
    assert judged(shop, client) == 1
    assert "dangerous" in client.get("/desk/").text


def test_what_the_shop_orders_later_is_not_passed_over_on_the_disk(shop: Workshop) -> None:
    judged(shop, started(shop))
    order = (f"fence/{PHONE}/2", {"to_seq": 2, "why": "x"})
    shop.log.append_in(DESK, [("shop", *order)])
    assert set(shop.log.ordered()) == {VISIT, OTHER}
    assert judged(shop, started(shop)) == 2
    assert judged(shop, started(shop)) == 0


def test_what_is_erased_is_not_in_the_file_of_lines_any_more(shop: Workshop) -> None:
    shop.write([("about/inspector", "Zephyrine")])
    judged(shop, started(shop))
    assert shop.cache is not None
    assert b"Zephyrine" in shop.cache.read_bytes()
    event = next(event for event in shop.log.events_of(VISIT) if event["value"] == "Zephyrine")
    shop.log.erasures.erase(DESK, VISIT, [(event["device"], event["seq"])])
    kept = summary_cache.SummaryCache(shop.cache, summary_cache.code_hash)
    kept.forget(VISIT)
    kept.close()
    assert b"Zephyrine" not in shop.cache.read_bytes()


def test_the_code_that_judges_is_part_of_the_name(shop: Workshop) -> None:
    judged(shop, started(shop))
    shop.code_hash = lambda: "another version"
    assert judged(shop, started(shop)) == 2
    assert len(summary_cache.code_hash()) == 32


def test_yesterday_s_line_stands_until_today_s_is_made(shop: Workshop) -> None:
    judged(shop, started(shop))
    shop.today = "2026-11-26"
    shop.patience_s = 0
    client = started(shop)
    page = client.get("/desk/").text
    assert "Still being read" not in page
    assert "Testmobil One" in page
    until = time.monotonic() + 90
    before = shop.gathered
    while judged(shop, client) or shop.gathered < before:
        assert time.monotonic() < until
    client = started(shop)
    while judged(shop, client):
        assert time.monotonic() < until


def test_a_visit_judged_by_another_checklist_than_its_own_is_not_kept(shop: Workshop) -> None:
    shop.write([("about/bundle", "0" * 64)], visit=OTHER)
    judged(shop, started(shop))
    assert judged(shop, started(shop)) == 1


@pytest.mark.parametrize("content", [b"not a database", b"SQLite format 3\x00" + b"\xff" * 500])
def test_a_damaged_file_is_begun_again(shop: Workshop, content: bytes) -> None:
    assert shop.cache is not None
    shop.cache.parent.mkdir()
    shop.cache.write_bytes(content)
    assert judged(shop, started(shop)) == 2
    assert judged(shop, started(shop)) == 0


def test_a_folder_that_cannot_be_written_costs_time_and_no_page(shop: Workshop) -> None:
    assert shop.cache is not None
    shop.cache.parent.write_bytes(b"a file where a folder should be")
    assert judged(shop, started(shop)) == 2
    assert judged(shop, started(shop)) == 2


def test_a_line_comes_back_as_it_was_kept(shop: Workshop, tmp_path: Path) -> None:
    made = summarize(shop.snapshot(VISIT), "stamp")
    kept = summary_cache.SummaryCache(tmp_path / "l.sqlite3", lambda: "me")
    kept.keep(VISIT, KEY, made)
    assert kept.read([VISIT, OTHER]) == {VISIT: (KEY, made)}
    kept.close()
    again = summary_cache.SummaryCache(tmp_path / "l.sqlite3", lambda: "me")
    assert again.read([VISIT])[VISIT][1] == made
    assert summary_cache.SummaryCache(tmp_path / "l.sqlite3", lambda: "other").read([VISIT]) == {}


def test_a_forgotten_value_does_not_stay_in_the_file(shop: Workshop, tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    kept = summary_cache.SummaryCache(path, lambda: "me")
    shop.write([("about/inspector", "Someone Nameable")])
    kept.keep(VISIT, KEY, summarize(shop.snapshot(VISIT), "stamp"))
    assert b"Someone Nameable" in path.read_bytes()
    shop.write([("about/inspector", None)])
    kept.keep(VISIT, KEY, summarize(shop.snapshot(VISIT), "stamp"))
    assert b"Someone Nameable" not in path.read_bytes()


def test_a_restart_reads_from_the_file_only_what_a_page_shows(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(MOST_SHOWN + 10):
        shop.begin(f"{number:032x}")
    started(shop).get("/desk/board")
    read: list[str] = []
    through = summary_cache.SummaryCache.read

    def watched(self: Any, visits: Collection[str]) -> Any:
        read.extend(visits)
        return through(self, visits)

    monkeypatch.setattr(summary_cache.SummaryCache, "read", watched)
    again = started(shop)
    for address, most in (
        ("/desk/board", MOST_SHOWN),
        ("/desk/?words=nobody", 0),
        ("/desk/money", 0),
        ("/desk/estimates", 0),
    ):
        read.clear()
        page = again.get(address)
        assert page.status_code == 200
        assert 'data-left="0"' in page.text
        assert len(read) <= most, address


def test_a_file_that_is_lost_while_it_is_used_is_made_anew(shop: Workshop) -> None:
    client = started(shop)
    assert judged(shop, client) == 2
    assert shop.cache is not None
    with sqlite3.connect(shop.cache) as other:
        other.execute("delete from summary")
    assert judged(shop, client) == 2
    assert judged(shop, client) == 0


def test_a_search_has_pages(shop: Workshop) -> None:
    for number in range(ON_A_PAGE + 5):
        shop.begin(f"{number:032x}")
    client = started(shop)
    for page in (1, 2):
        client.get(f"/desk/?page={page}")  # waits until they are read
    found: list[str] = []
    address: str | None = "/desk/?words=testmobil"
    while address:
        page = client.get(address).text
        found += re.findall(r'<tr data-fill="([0-9a-f]{32})"', page)
        older = re.search(r'<a href="(/desk/\?page=\d+&amp;words=testmobil)">Older', page)
        address = unescape(older[1]) if older else None
    assert len(found) == len(set(found)) == ON_A_PAGE + 7


def test_a_database_that_fails_once_leaves_no_visit_unmade_for_ever() -> None:
    made = threading.Event()
    failures = iter([OSError("disk"), None])

    def make(_visit: str, _key: object) -> None:
        failure = next(failures)
        if failure is not None:
            raise failure
        made.set()

    queue = SummaryQueue(make, lambda _visit, _key: not made.is_set(), patience_s=60)
    key = ("one", "two")
    queue.ask_for({"a": key}, ahead=False)  # type: ignore[dict-item]
    queue.ask_for({"b": key}, ahead=False)  # type: ignore[dict-item]
    assert made.wait(60)
