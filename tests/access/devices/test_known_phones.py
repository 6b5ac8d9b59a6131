"""Once somebody has a passphrase, nothing takes a phone's place unless a person says so."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient
from sqlmodel import Session, select

from bradawl.access.core.models import desk_device
from bradawl.access.core.rate_limits import PAIRING
from bradawl.access.core.tables import PairingRow
from bradawl.access.devices import pairing
from bradawl.access.devices.pairing import LIFE_MS, LIVING_MS, WAITING_EACH
from bradawl.access.devices.registry import look_alike
from bradawl.access.web.auth import DEVICE_COOKIE
from bradawl.common.errors import ApiError
from tests.access.conftest import PASSPHRASE, Server
from tests.access.devices.test_device_pages import pair, ticket_of
from tests.access.devices.test_pairing import PHONE, approve, ask
from tests.access.devices.wishes import phone_id, wish
from tests.desk.browse import form

OTHER = phone_id("another phone")
ANSWER = "/desk/devices/answer"


def works(phone: TestClient) -> bool:
    return bool(phone.get("/api/v1/me").status_code == 200)


def poll(client: TestClient, secret: str) -> str:
    state: str = client.post("/api/v1/pairing/poll", json={"secret": secret}).json()["state"]
    return state


def approval(desk: TestClient, code: str) -> str:
    """The page on which the phone that shows a code is approved."""
    answer = desk.post("/desk/devices/add", data={"code": code})
    assert answer.status_code == 200, answer.text
    return answer.text


# pairing at once


def test_no_process_of_this_machine_pairs_once_there_is_a_passphrase(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    before = server.client("127.0.0.1")
    assert ask(before) == {"state": "approved"}
    server.desk()
    process = server.client("127.0.0.1")
    assert ask(process, OTHER)["state"] == "waiting"
    assert DEVICE_COOKIE not in process.cookies
    assert works(before)


def test_an_owner_who_was_shut_out_does_not_open_it_again(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    server.desk()
    server.desk("Bo", "owner")
    server.access.people.shut_out(server.access.first_owner().id)
    assert ask(server.client("127.0.0.1"), OTHER)["state"] == "waiting"


@pytest.mark.parametrize("revoked", [False, True])
@pytest.mark.parametrize("passphrase", [False, True])
def test_nobody_on_this_machine_takes_the_place_of_a_phone_that_is_known(
    make_server: Callable[..., Server], passphrase: bool, revoked: bool
) -> None:
    server = make_server("local")
    phone = server.client("127.0.0.1")
    ask(phone)
    if passphrase:
        server.desk()
    if revoked:
        server.access.devices.revoke(PHONE)
    thief = server.client("127.0.0.1")
    assert ask(thief)["state"] == "waiting"
    assert not works(thief)
    assert works(phone) is not revoked


def test_an_id_whose_entries_are_in_the_log_is_not_paired_at_once(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local", recorded={PHONE}.__contains__)
    assert ask(server.client("127.0.0.1"))["state"] == "waiting"
    assert ask(server.client("127.0.0.1"), OTHER)["state"] == "approved"


def test_an_id_that_is_being_asked_for_is_not_paired_at_once(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    asked = ask(server.client("192.168.1.20"))
    approve(server, asked["code"])
    assert ask(server.client("127.0.0.1"))["state"] == "waiting"
    assert poll(server.client("192.168.1.20"), asked["secret"]) == "approved"


def test_a_passphrase_that_is_set_meanwhile_ends_pairing_at_once_in_the_same_step(
    make_server: Callable[..., Server],
) -> None:
    # Asked within the transaction that pairs: what a request saw before does not count.
    server = make_server("local")
    owner = server.access.first_owner()
    server.desk()
    assert server.access.pairing.pair_new(OTHER, "late", owner.id) is None
    assert server.access.devices.find(OTHER) is None


def test_a_phone_cannot_take_the_id_under_which_the_desk_writes(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    wished = wish() | {"device": desk_device(server.access.first_owner().id)}
    answer = server.client("127.0.0.1").post("/api/v1/pairing", json=wished)
    assert answer.status_code == 422
    assert answer.json()["error"]["code"] == "key"  # whose key the desk's id follows from: nobody's


# what asking under a known id does


def test_a_request_under_a_phones_id_leaves_the_phone_alone_until_its_token_is_fetched(
    server: Server,
) -> None:
    desk, phone, stranger = server.desk(), server.client(), server.client("192.168.1.66")
    pair(desk, phone)
    for decision in ("refuse", "nothing"):
        asked = ask(stranger)
        assert works(phone)
        page = approval(desk, asked["code"])
        if decision == "refuse":
            desk.post(ANSWER, data={"ticket": ticket_of(page), "decision": "refuse"})
            assert poll(stranger, asked["secret"]) == "refused"
        else:
            server.clock.pass_seconds(LIFE_MS / 1000)
            assert poll(stranger, asked["secret"]) == "expired"
        assert works(phone)
    asked = ask(stranger)
    approve(server, asked["code"])
    assert works(phone)
    assert poll(stranger, asked["secret"]) == "approved"
    assert not works(phone)


def test_the_page_says_that_a_phone_is_known_and_what_approving_does(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    pair(desk, phone)
    desk.post(f"/desk/devices/{PHONE}/name", data={"name": "Blue phone"})
    server.clock.pass_seconds(3 * 3600)
    works(phone)
    server.clock.pass_seconds(180)
    desk.post("/desk/confirm", data={"passphrase": PASSPHRASE})
    page = approval(desk, ask(server.client("192.168.1.66"), name="Stranger")["code"])
    for said in (
        "a phone we know",
        "Blue phone",
        "Ada",
        "3 minutes ago",
        "takes the place of",
        "is cut off",
        "stays “Blue phone”",
        "Stranger",
        "192.168.1.66",
    ):
        assert said in page, said
    new = approval(desk, ask(server.client("192.168.1.66"), OTHER, "Green")["code"])
    assert "No, it&#39;s new" in new
    assert "takes the place of" not in new


def test_a_known_phone_is_approved_only_after_its_box_is_ticked(server: Server) -> None:
    desk, phone, again = server.desk(), server.client(), server.client("192.168.1.66")
    pair(desk, phone)
    asked = ask(again)
    page = approval(desk, asked["code"])
    sent = {**form(page, ANSWER), "decision": "approve"}
    answer = desk.post(ANSWER, data=sent)
    assert answer.status_code == 422
    assert "Check what it says" in answer.text
    assert poll(again, asked["secret"]) == "waiting"
    assert works(phone)
    assert desk.post(ANSWER, data={**sent, "understood": "yes"}).status_code == 303
    assert poll(again, asked["secret"]) == "approved"
    assert server.access.audit.lines(count=2)[1].act == "phone approved in the place of a known one"


def test_a_form_drawn_for_a_new_phone_does_not_approve_one_that_became_known(
    server: Server,
) -> None:
    desk, stranger = server.desk(), server.client("192.168.1.66")
    asked = ask(stranger)
    sent = {**form(approval(desk, asked["code"]), ANSWER), "decision": "approve"}
    server.access.pairing.pair_at_once(PHONE, "Blue phone", server.access.first_owner().id)
    answer = desk.post(ANSWER, data=sent)
    assert answer.status_code == 422
    assert "We know this phone" in answer.text
    assert poll(stranger, asked["secret"]) == "waiting"


def test_a_device_of_the_log_is_named_as_such_and_asks_for_its_box(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("lan", recorded={PHONE}.__contains__)
    desk, phone = server.desk(), server.client()
    asked = ask(phone)
    page = approval(desk, asked["code"])
    assert "whose entries are here" in page
    sent = {**form(page, ANSWER), "decision": "approve"}
    assert desk.post(ANSWER, data=sent).status_code == 422
    assert desk.post(ANSWER, data={**sent, "understood": "yes"}).status_code == 303
    assert poll(phone, asked["secret"]) == "approved"


def test_a_known_phone_stays_with_its_person_and_keeps_its_name(server: Server) -> None:
    desk = server.desk()
    bo = server.access.people.add("Bo", "inspector")
    cy = server.access.people.add("Cy", "inspector")
    server.access.pairing.pair_at_once(PHONE, "Blue phone", bo.id)
    phone = server.client()
    asked = ask(phone, name="My phone")
    page = approval(desk, asked["code"])
    sent = {**form(page, ANSWER), "decision": "approve", "understood": "yes"}
    assert sent["person"] == bo.id
    answer = desk.post(ANSWER, data={**sent, "person": cy.id})
    assert answer.status_code == 422
    assert "belongs to Bo" in answer.text
    assert form(answer.text, ANSWER)["person"] == cy.id
    assert desk.post(ANSWER, data=sent).status_code == 303
    assert poll(phone, asked["secret"]) == "approved"
    assert phone.get("/api/v1/me").json() == {"device": PHONE, "name": "Blue phone", "person": "Bo"}

    asked = ask(phone)
    approval(desk, asked["code"])
    ticket = ticket_of(approval(desk, asked["code"]))
    moved = {**sent, "ticket": ticket, "person": cy.id, "moves": "yes"}
    assert desk.post(ANSWER, data=moved).status_code == 303
    assert poll(phone, asked["secret"]) == "approved"
    assert phone.get("/api/v1/me").json()["person"] == "Cy"


# two requests, two answers


def test_approving_one_of_two_requests_for_an_id_ends_the_other(server: Server) -> None:
    desk, honest, stranger = server.desk(), server.client(), server.client("192.168.1.66")
    asked, theirs = ask(honest), ask(stranger)
    for client, request in ((honest, asked), (stranger, theirs)):
        assert poll(client, request["secret"]) == "waiting"
    page = approval(desk, asked["code"])
    assert "192.168.1.66" in page
    assert theirs["words"] not in page
    waiting = ticket_of(approval(desk, theirs["code"]))
    person = server.access.first_owner().id
    sent = {"ticket": ticket_of(page), "person": person, "decision": "approve"}
    assert desk.post(ANSWER, data=sent).status_code == 303
    assert poll(stranger, theirs["secret"]) == "expired"
    late = desk.post(ANSWER, data={**sent, "ticket": waiting, "understood": "yes"})
    assert late.status_code == 409
    assert poll(honest, asked["secret"]) == "approved"
    assert poll(stranger, theirs["secret"]) == "expired"
    assert works(honest)


@pytest.mark.parametrize(
    ("first", "second"),
    [("approve", "approve"), ("approve", "refuse"), ("refuse", "approve"), ("refuse", "refuse")],
)
@pytest.mark.parametrize("fetched", [False, True])
def test_a_request_is_answered_once(server: Server, first: str, second: str, fetched: bool) -> None:
    desk, phone = server.desk(), server.client()
    asked = ask(phone)
    sent = form(approval(desk, asked["code"]), ANSWER)
    assert desk.post(ANSWER, data={**sent, "decision": first}).status_code == 303
    expected = "approved" if first == "approve" else "refused"
    if fetched:
        assert poll(phone, asked["secret"]) == expected
    again = desk.post(ANSWER, data={**sent, "decision": second})
    assert again.status_code == 409
    assert f"just {expected}" in again.text
    if not fetched:
        assert poll(phone, asked["secret"]) == expected
    assert works(phone) is (first == "approve")


def test_a_phone_that_is_revoked_before_it_fetched_its_token_stays_out(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    pair(desk, phone)
    asked = ask(phone)
    approve(server, asked["code"])
    desk.post(f"/desk/devices/{PHONE}/revoke")
    assert poll(phone, asked["secret"]) == "expired"
    assert not works(phone)
    assert server.access.devices.find(PHONE).revoked_ms is not None  # type: ignore[union-attr]


@pytest.mark.parametrize("what", ["shut out", "reader"])
def test_nobody_gets_a_phone_who_may_not_have_one_any_more(server: Server, what: str) -> None:
    server.desk()
    bo = server.access.people.add("Bo", "inspector")
    phone = server.client()
    asked = ask(phone)
    found = server.access.pairing.find(asked["code"])
    assert found is not None
    server.access.pairing.answer(found.ticket, approve_for=bo.id)
    if what == "reader":
        server.access.people.change_role(bo.id, "reader")
    else:
        server.access.people.shut_out(bo.id)
    assert poll(phone, asked["secret"]) == "expired"
    assert server.access.devices.find(PHONE) is None


# names


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("Blue phone", "blue  PHONE", True),
        ("Blue phone", "Bluе phone", True),  # a Cyrillic letter
        ("Blue phone", "B1ue ph0ne", True),
        ("Blue phone", "Blue phone.", True),
        ("Blue phone", "Blüe phone", True),
        ("Blue phone", "Blue\u200bphone", True),
        ("Blue phone", "Green phone", False),
        ("Ada's phone", "Bo's tablet", False),
        ("!!!", "???", False),
    ],
)
def test_names_that_a_person_could_mix_up(one: str, other: str, alike: bool) -> None:
    assert look_alike(one, other) is alike


def test_a_name_like_a_known_phones_is_pointed_out(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    pair(desk, phone)  # as “Test phone”
    page = approval(desk, ask(server.client("192.168.1.66"), OTHER, "Test ph0ne")["code"])
    assert "a name like one we know" in page
    assert "“Test phone”" in page
    assert "a name like one we know" not in approval(
        desk, ask(server.client("192.168.1.66"), phone_id("a third"), "Green tablet")["code"]
    )


def test_a_name_is_kept_without_what_cannot_be_seen(server: Server) -> None:
    asked = ask(server.client(), name=" \u202eBlue\u200b \u00a0phone\u2028")
    found = server.access.pairing.find(asked["code"])
    assert found is not None
    assert found.name == "Blue phone"
    nameless = wish(OTHER, "\u200b\u202e")
    assert server.client().post("/api/v1/pairing", json=nameless).status_code == 422


# who waits


@pytest.fixture
def few_places(monkeypatch: pytest.MonkeyPatch) -> int:
    """As many places in all as six addresses fill, so that a test need not ask 500 times."""
    few = 6 * WAITING_EACH
    monkeypatch.setattr(pairing, "WAITING", few)
    return few


def strangers_fill(server: Server, addresses: list[str]) -> None:
    for number in range(len(addresses) * WAITING_EACH):
        address = addresses[number % len(addresses)]
        server.access.pairing.ask(f"{number:032x}", "stranger", address)


def waiting(server: Server) -> int:
    with Session(server.engine) as session:
        return len(
            session.exec(select(PairingRow.words).where(PairingRow.state == "waiting")).all()
        )


def test_two_addresses_do_not_fill_all_places(server: Server) -> None:
    for address in ("192.168.1.66", "192.168.1.67"):
        stranger = server.client(address)
        for number in range(10):
            wished = wish(phone_id(f"stranger {number}"), "stranger")
            assert stranger.post("/api/v1/pairing", json=wished).status_code == 200
    assert waiting(server) == 2 * WAITING_EACH
    phone = server.client()
    asked = ask(phone)
    assert poll(phone, asked["secret"]) == "waiting"


def test_however_many_strangers_ask_a_phone_gets_a_place_and_keeps_it(
    server: Server, few_places: int
) -> None:
    crowd = [f"192.168.1.{number}" for number in range(40)]
    phone = server.client("192.168.9.9")
    strangers_fill(server, crowd[:6])
    assert waiting(server) == few_places
    asked = ask(phone)
    assert poll(phone, asked["secret"]) == "waiting"
    strangers_fill(server, crowd)
    assert poll(phone, asked["secret"]) == "waiting"
    assert waiting(server) == few_places
    desk = server.desk()
    pair(desk, phone, OTHER)
    assert poll(phone, asked["secret"]) == "waiting"


def test_a_phone_that_came_first_keeps_its_place_though_it_sleeps_while_others_have_more(
    server: Server, few_places: int
) -> None:
    asked = ask(server.client("192.168.9.9"))
    server.clock.pass_seconds(LIVING_MS / 1000 + 1)
    strangers_fill(server, [f"192.168.1.{last}" for last in range(20, 30)])
    assert waiting(server) == few_places
    assert server.access.pairing.find(asked["code"]) is not None


def test_one_network_of_many_addresses_displaces_itself_first(
    server: Server, few_places: int
) -> None:
    # IPv6: whoever has a /64 has more addresses than can be counted (RFC 6177).
    asked = ask(server.client("192.168.9.9"))
    for number in range(few_places + 20):
        server.access.pairing.ask(f"{number:032x}", "stranger", f"2001:db8:0:1::{number:x}")
    assert server.access.pairing.find(asked["code"]) is not None


def test_an_addresses_own_oldest_request_makes_room_unless_its_phone_still_asks(
    server: Server,
) -> None:
    client = server.client()
    asked = []
    for number in range(WAITING_EACH):
        asked.append(ask(client, phone_id(f"phone {number}")))
        server.clock.pass_seconds(1)
    assert poll(client, asked[0]["secret"]) == "waiting"
    ask(client, OTHER)
    assert [server.access.pairing.find(one["code"]) is not None for one in asked[:3]] == [
        True,
        False,
        True,
    ]


def test_when_every_phone_that_waits_still_asks_the_next_is_told_to_try_later(
    server: Server,
) -> None:
    client = server.client()
    for number in range(WAITING_EACH):
        assert poll(client, ask(client, phone_id(f"phone {number}"))["secret"]) == "waiting"
    with pytest.raises(ApiError) as refused:
        server.access.pairing.ask(OTHER, "one more", "192.168.1.20")
    assert refused.value.status == 429
    server.clock.pass_seconds(LIVING_MS / 1000 + 1)
    server.access.pairing.ask(OTHER, "one more", "192.168.1.20")


def test_a_stranger_at_the_same_address_does_not_end_a_phones_request(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    assert poll(phone, asked["secret"]) == "waiting"
    for _ in range(PAIRING.each - 1):
        ask(server.client(), PHONE)
    assert poll(phone, asked["secret"]) == "waiting"


def test_misses_of_others_at_an_address_do_not_stop_a_phone_that_polls(server: Server) -> None:
    phone, guesser = server.client(), server.client()
    asked = ask(phone)
    for number in range(60):
        guesser.post("/api/v1/pairing/poll", json={"secret": f"guess{number}"})
    assert poll(phone, asked["secret"]) == "waiting"
    approve(server, asked["code"])
    assert poll(phone, asked["secret"]) == "approved"
