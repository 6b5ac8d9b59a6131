"""The owner approves at the desk what the phone shows, and takes it back at once."""

from __future__ import annotations

import re

from fastapi.testclient import TestClient

from bradawl.access.core import rate_limits
from bradawl.access.web.auth import DEVICE_COOKIE
from tests.access.conftest import Server
from tests.access.devices.test_pairing import PHONE, ask


def ticket_of(page: str) -> str:
    found = re.search(r'name="ticket" value="([0-9a-f]{64})"', page)
    assert found is not None
    return found[1]


def person_of(page: str) -> str:
    found = re.search(r'<option value="([0-9a-f]{32})"', page)
    assert found is not None
    return found[1]


def pair(desk: TestClient, phone: TestClient, device: str = PHONE) -> None:
    asked = ask(phone, device)
    page = desk.post("/desk/devices/add", data={"code": asked["code"]}).text
    assert asked["words"] in page
    decision = {"ticket": ticket_of(page), "person": person_of(page), "decision": "approve"}
    if 'name="understood"' in page:
        decision["understood"] = "yes"
    assert desk.post("/desk/devices/answer", data=decision).status_code == 303
    answer = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert answer.json() == {"state": "approved"}


def test_the_words_on_both_screens_are_the_same_and_approval_pairs(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    pair(desk, phone)
    assert phone.get("/api/v1/me").json()["person"] == "Ada"
    page = desk.get("/desk/devices").text
    assert "Test phone" in page
    assert PHONE[:8] in page
    acts = [line.act for line in server.access.audit.lines()]
    assert acts[:3] == ["phone paired", "phone approved", "phone asked to be paired"]


def test_refusing_leaves_the_phone_outside(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    asked = ask(phone)
    page = desk.post("/desk/devices/add", data={"code": asked["code"]}).text
    desk.post("/desk/devices/answer", data={"ticket": ticket_of(page), "decision": "refuse"})
    answer = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert answer.json() == {"state": "refused"}


def test_an_answer_that_says_neither_changes_nothing(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    asked = ask(phone)
    page = desk.post("/desk/devices/add", data={"code": asked["code"]}).text
    assert desk.post("/desk/devices/answer", data={"ticket": ticket_of(page)}).status_code == 422
    answer = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert answer.json() == {"state": "waiting"}


def test_a_revoked_phone_is_stopped_at_once_and_told_that_nothing_is_lost(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    pair(desk, phone)
    assert phone.get("/api/v1/whose").status_code == 200
    desk.post(f"/desk/devices/{PHONE}/revoke")
    answer = phone.get("/api/v1/whose")
    assert answer.status_code == 401
    assert answer.json()["error"]["code"] == "pair_again"
    assert "Blocked" in desk.get("/desk/devices").text
    pair(desk, phone)
    assert phone.get("/api/v1/whose").json()["device"] == PHONE


def test_a_phone_is_renamed_and_a_bad_name_is_not_taken(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    pair(desk, phone)
    desk.post(f"/desk/devices/{PHONE}/name", data={"name": "Blue one"})
    assert phone.get("/api/v1/me").json()["name"] == "Blue one"
    assert desk.post(f"/desk/devices/{PHONE}/name", data={"name": ""}).status_code == 422
    assert server.access.name_of_device(PHONE) == "Blue one"


def test_five_wrong_codes_turn_every_waiting_phone_away(server: Server) -> None:
    desk, phone = server.desk(), server.client()
    asked = ask(phone)
    for _ in range(rate_limits.CODE_MISS.each):
        answer = desk.post("/desk/devices/add", data={"code": "0000-0000"})
        assert answer.status_code == 422
    assert "turned away" in answer.text
    poll = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert poll.json() == {"state": "expired"}
    late = desk.post("/desk/devices/add", data={"code": asked["code"]})
    assert late.status_code == 429


def test_shutting_a_person_out_stops_their_phones_and_sessions(server: Server) -> None:
    owner = server.desk()
    inspector = server.desk("Bo", "inspector")
    phone = server.client()
    asked = ask(phone)
    page = owner.post("/desk/devices/add", data={"code": asked["code"]}).text
    bo = next(one for one in server.access.people.everybody() if one.name == "Bo")
    decision = {"ticket": ticket_of(page), "person": bo.id, "decision": "approve"}
    owner.post("/desk/devices/answer", data=decision)
    phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert phone.get("/api/v1/me").json()["person"] == "Bo"
    assert inspector.get("/desk/").status_code == 200
    owner.post(f"/desk/people/{bo.id}/shut-out")
    assert phone.get("/api/v1/me").status_code == 401
    assert inspector.get("/desk/").status_code == 303


def test_a_phone_whose_person_becomes_a_reader_is_stopped(server: Server) -> None:
    server.desk()
    bo = server.access.people.add("Bo", "inspector")
    token = server.access.pairing.pair_at_once(PHONE, "Bo's phone", bo.id)
    phone = server.client(cookies={DEVICE_COOKIE: token})
    assert phone.get("/api/v1/me").status_code == 200
    server.access.people.change_role(bo.id, "reader")
    assert phone.get("/api/v1/me").status_code == 401
