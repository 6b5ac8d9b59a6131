"""Chains that wait for the owner, fences and wrong clocks: told in plain words, decided by buttons.

What a fence and a corrected clock do to the record is the log's README; here it is seen through
the pages and the snapshot.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge import graded
from tests.desk.conftest import DESK, OTHER_PHONE, PHONE, VISIT, Workshop

CHAINS = "/desk/chains"
SILL = "items/rust.sill/grade"
YEARS_MS = 10 * 31_557_600_000


@pytest.fixture
def stranger(workshop: Workshop) -> Workshop:
    """A visit of a known phone in which a phone that was never paired has written too."""
    workshop.begin()
    (seen,) = workshop.write([(SILL, {"grade": "minor"})])
    workshop.strangers.add(OTHER_PHONE)
    workshop.write([(SILL, {"grade": "dangerous"})], device=OTHER_PHONE, over={SILL: [seen]})
    workshop.write([("items/rust.sill/note", "not ours")], device=OTHER_PHONE)
    return workshop


def press(workshop: Workshop, address: str, **data: Any) -> Any:
    answer = workshop.client.post(address, data=data, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer


def sill(workshop: Workshop) -> Any:
    return graded("rust.sill", workshop.snapshot(VISIT).cells)[0]


def test_the_front_page_leads_an_owner_to_what_waits(stranger: Workshop) -> None:
    page = stranger.client.get("/desk/").text
    assert "1 phone recorded something" in page
    stranger.owner = False
    assert CHAINS not in stranger.client.get("/desk/").text
    for place in (CHAINS, f"{CHAINS}/{OTHER_PHONE}"):
        assert stranger.client.get(place).status_code == 403


def test_where_nothing_waits_nothing_is_said(workshop: Workshop) -> None:
    workshop.begin()
    assert CHAINS not in workshop.client.get("/desk/").text
    assert "Nothing to confirm" in workshop.client.get(CHAINS).text
    assert "confirmed" not in workshop.client.get(f"/desk/visits/{VISIT}").text


def test_a_waiting_chain_is_told_by_phone_reason_time_entries_and_inspections(
    stranger: Workshop,
) -> None:
    page = stranger.client.get(CHAINS).text
    assert "Second phone" in page
    assert "This phone was never paired here." in page
    assert "2 entries, the last arrived Nov 25, 2025, 11:26 AM (UTC)" in page
    assert f'<a href="/desk/visits/{VISIT}">Testmobil One (1991)</a>' in page


def test_the_inspection_marks_what_rests_on_unconfirmed_entries(stranger: Workshop) -> None:
    page = stranger.client.get(f"/desk/visits/{VISIT}").text
    assert "2 entries from Second phone" in page
    heading = page.partition('id="item-rust-sill"')[2].partition("</header>")[0]
    assert "not confirmed" in heading
    history = stranger.client.get(f"/desk/visits/{VISIT}/history").text
    assert history.count('<span class="tag">not confirmed</span>') == 2


def test_what_is_confirmed_is_marked_no_more(stranger: Workshop) -> None:
    press(stranger, f"{CHAINS}/{OTHER_PHONE}/confirm")
    assert stranger.log.marked() == {}
    assert "Nothing to confirm" in stranger.client.get(CHAINS).text
    assert "confirmed" not in stranger.client.get(f"/desk/visits/{VISIT}").text
    assert sill(stranger) == "dangerous"
    assert stranger.acts == ["confirmed entries"]


def test_a_fence_sets_a_chain_aside_and_what_it_had_replaced_stands_again(
    stranger: Workshop,
) -> None:
    assert sill(stranger) == "dangerous"
    press(stranger, f"{CHAINS}/{OTHER_PHONE}/fence", seq=1)
    assert sill(stranger) == "minor"
    assert "items/rust.sill/note" not in stranger.snapshot(VISIT).cells
    (event,) = [
        event for event in stranger.log.events_in("shop") if event["put"].startswith("fence/")
    ]
    assert event["put"] == f"fence/{OTHER_PHONE}/1"
    assert stranger.log.stands_for(event["device"]) == DESK
    page = stranger.client.get(CHAINS).text
    assert "1 and later" in page
    assert "All of it is excluded now" in page
    assert "not ours (excluded)" in (stranger.client.get(f"/desk/visits/{VISIT}/history").text)
    press(stranger, f"{CHAINS}/{OTHER_PHONE}/lift", seq=1)
    assert sill(stranger) == "dangerous"
    assert "1 and later" not in stranger.client.get(CHAINS).text
    assert stranger.acts == ["fenced entries", "lifted a fence"]


def test_a_chain_is_fenced_from_an_entry_on(stranger: Workshop) -> None:
    page = stranger.client.get(f"{CHAINS}/{OTHER_PHONE}").text
    assert page.count(">Exclude from here on") == 2
    press(stranger, f"{CHAINS}/{OTHER_PHONE}/fence", seq=2)
    assert sill(stranger) == "dangerous"
    assert "items/rust.sill/note" not in stranger.snapshot(VISIT).cells
    # what it writes later lies behind the fence too
    stranger.write([("items/rust.sill/text", "later")], device=OTHER_PHONE)
    assert "items/rust.sill/text" not in stranger.snapshot(VISIT).cells


def test_one_entry_of_a_known_phone_is_fenced_from_the_history(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([(SILL, {"grade": "dangerous"}), ("items/rust.sill/note", "a slip")])
    history = f"/desk/visits/{VISIT}/history"
    page = workshop.client.get(history).text
    assert page.index("a slip") < page.rindex("Testmobil")  # the newest first
    (event,) = [event for event in workshop.log.events_of(VISIT) if event["put"] == SILL]
    place = press(
        workshop,
        f"{CHAINS}/{PHONE}/fence",
        seq=event["seq"],
        only="true",
        back=f"{history}?page=1",
    ).headers["location"]
    assert place == f"{history}?page=1"
    cells = workshop.snapshot(VISIT).cells
    assert SILL not in cells
    assert cells["items/rust.sill/note"]["value"] == "a slip"
    assert "Include again" in workshop.client.get(history).text
    press(workshop, f"{CHAINS}/{PHONE}/lift", seq=event["seq"])
    assert sill(workshop) == "dangerous"


def test_only_an_owner_decides(stranger: Workshop) -> None:
    stranger.owner = False
    for act, data in (("confirm", {}), ("fence", {"seq": 1}), ("lift", {"seq": 1})):
        answer = stranger.client.post(f"{CHAINS}/{OTHER_PHONE}/{act}", data=data)
        assert answer.status_code == 403
    assert set(stranger.log.marked()) == {OTHER_PHONE}
    assert stranger.log.orders()["fence"] == {}
    page = stranger.client.get(f"/desk/visits/{VISIT}").text
    assert "An owner has to confirm" in page
    assert ">Exclude<" not in stranger.client.get(f"/desk/visits/{VISIT}/history").text


@pytest.mark.parametrize(
    ("address", "data", "status"),
    [
        (f"{CHAINS}/{'e' * 32}/confirm", {}, 404),
        (f"{CHAINS}/{'e' * 32}/fence", {"seq": 1}, 404),
        (f"{CHAINS}/{OTHER_PHONE}/fence", {"seq": 3}, 409),
        (f"{CHAINS}/{OTHER_PHONE}/fence", {"seq": 0}, 422),
        (f"{CHAINS}/{OTHER_PHONE}/fence", {"seq": "x"}, 422),
    ],
)
def test_what_is_not_there_is_not_fenced(
    stranger: Workshop, address: str, data: dict[str, Any], status: int
) -> None:
    assert stranger.client.post(address, data=data).status_code == status
    assert stranger.log.orders()["fence"] == {}


def test_a_form_leads_back_to_a_page_of_the_desk_alone(stranger: Workshop) -> None:
    for place in ("https://elsewhere.example/", "//elsewhere.example/desk/", "/desk/../app/"):
        answer = press(stranger, f"{CHAINS}/{OTHER_PHONE}/fence", seq=1, back=place)
        assert answer.headers["location"] == CHAINS


def test_a_clock_that_ran_ahead_is_listed_with_how_far_and_stops_no_page(
    workshop: Workshop,
) -> None:
    workshop.begin()
    workshop.write([(SILL, {"grade": "major"})], device=OTHER_PHONE, ahead_ms=YEARS_MS)
    page = workshop.client.get(CHAINS).text
    assert "9 years" in page  # received a few hours after it was written
    assert "Nov 25, 2025, 11:26 AM (UTC)" in page
    assert "Excluded entries and clocks" in workshop.client.get("/desk/").text
    history = workshop.client.get(f"/desk/visits/{VISIT}/history").text
    assert "its own clock ran ahead" in history
    assert "2035" not in history


def test_a_stamp_at_the_end_of_time_stops_no_page(workshop: Workshop) -> None:
    """The poison: from then on every page of the visit, and the front page, were broken."""
    workshop.begin()
    end_ms = 899_999_999_999_000 - 1_764_060_100_000
    workshop.write([(SILL, {"grade": "major"})], device=OTHER_PHONE, ahead_ms=end_ms)
    workshop.write([("items/rust.sill/note", "after it")])
    for place in ("/desk/", f"/desk/visits/{VISIT}", f"/desk/visits/{VISIT}/history", CHAINS):
        page = workshop.client.get(place)
        assert page.status_code == 200, place
    assert "28,463 years" in workshop.client.get(CHAINS).text
    assert workshop.client.get(f"/desk/visits/{VISIT}/record.json").status_code == 200
    workshop.log.append(DESK, VISIT, [("items/rust.sill/text", "the desk still writes")])
    assert workshop.snapshot(VISIT).cells["items/rust.sill/text"]["at"] < "0018"
