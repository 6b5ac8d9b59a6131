"""Only who knows the passphrase is let in; it is asked for again where it matters; out is out."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient
from sqlmodel import Session, select

from bradawl.access.core import rate_limits
from bradawl.access.core.tables import InvitationRow, PersonRow, SessionRow
from bradawl.access.people import passphrases
from bradawl.access.people.directory import INVITATION_LIFE_MS
from bradawl.access.people.sessions import CONFIRMED_MS, SESSION_IDLE_MS, SESSION_LIFE_MS
from bradawl.access.web.auth import DESK_COOKIE
from bradawl.access.web.rendering import safe_next
from bradawl.common.errors import ApiError
from tests.access.conftest import PASSPHRASE, Server

NEW = {"name": "Ada", "passphrase": PASSPHRASE, "again": PASSPHRASE}


def sign_in(
    client: TestClient, name: str = "Ada", passphrase: str = PASSPHRASE, **more: str
) -> object:
    return client.post("/desk/sign-in", data={"name": name, "passphrase": passphrase, **more})


def test_a_stranger_is_led_to_the_sign_in_page_and_back(server: Server) -> None:
    server.desk()
    client = server.client()
    answer = client.get("/desk/visits/x?y=1")
    assert answer.status_code == 303
    place = answer.headers["location"]
    assert place == "/desk/sign-in?next=/desk/visits/x%3Fy%3D1"
    page = client.get(place)
    assert 'name="next" value="/desk/visits/x?y=1"' in page.text
    answer = client.post(
        "/desk/sign-in",
        data={"name": "ada", "passphrase": PASSPHRASE, "next": "/desk/visits/x?y=1"},
    )
    assert answer.headers["location"] == "/desk/visits/x?y=1"
    assert client.get("/desk/visits/x").status_code == 200


def test_the_session_cookie_is_host_bound_and_out_of_reach_of_scripts(server: Server) -> None:
    server.desk()
    answer = server.client().post("/desk/sign-in", data={"name": "Ada", "passphrase": PASSPHRASE})
    cookie = answer.headers["set-cookie"]
    assert cookie.startswith(f"{DESK_COOKIE}=")
    for part in ("Secure", "HttpOnly", "SameSite=strict", "Path=/"):
        assert part in cookie
    assert "Domain" not in cookie


@pytest.mark.parametrize(
    ("name", "passphrase"),
    [("Ada", "wrong"), ("Nobody", PASSPHRASE), ("", ""), ("Ada", ""), ("Ada", "x" * 300)],
)
def test_a_wrong_name_or_passphrase_gives_one_and_the_same_answer(
    server: Server, name: str, passphrase: str
) -> None:
    server.desk()
    answer = server.client().post("/desk/sign-in", data={"name": name, "passphrase": passphrase})
    assert answer.status_code == 401
    assert "Name and passphrase don&#39;t match" in answer.text
    assert "set-cookie" not in answer.headers


def test_a_session_ends_when_it_is_not_used_and_in_any_case_after_a_week(server: Server) -> None:
    desk = server.desk()
    server.clock.pass_seconds(SESSION_IDLE_MS / 1000 - 1)
    assert desk.get("/desk/").status_code == 200
    server.clock.pass_seconds(SESSION_IDLE_MS / 1000)
    assert desk.get("/desk/").status_code == 303

    other = server.client()
    sign_in(other)
    for _ in range(int(SESSION_LIFE_MS / SESSION_IDLE_MS) * 2 - 1):
        server.clock.pass_seconds(SESSION_IDLE_MS / 2000)
        assert other.get("/desk/").status_code == 200
    server.clock.pass_seconds(SESSION_IDLE_MS / 2000)
    assert other.get("/desk/").status_code == 303


def test_signing_out_ends_the_session_on_the_server(server: Server) -> None:
    desk = server.desk()
    thief = server.client(cookies={DESK_COOKIE: desk.cookies[DESK_COOKIE]})
    assert thief.get("/desk/").status_code == 200
    assert desk.post("/desk/sign-out").status_code == 303
    assert thief.get("/desk/").status_code == 303


def test_a_person_can_sign_out_everywhere_else(server: Server) -> None:
    desk, other = server.desk(), server.client()
    sign_in(other)
    assert other.get("/desk/").status_code == 200
    desk.post("/desk/sessions/end-others")
    assert desk.get("/desk/").status_code == 200
    assert other.get("/desk/").status_code == 303


def test_a_new_session_is_made_at_every_sign_in(server: Server) -> None:
    client = server.desk()
    before = client.cookies[DESK_COOKIE]
    sign_in(client)
    assert client.cookies[DESK_COOKIE] != before


def test_the_database_keeps_argon2_and_hashes_only(server: Server) -> None:
    desk = server.desk()
    invitation = server.access.people.invite(server.access.people.add("Bo", "inspector").id)
    with Session(server.engine) as session:
        kept = session.exec(select(PersonRow.passphrase).where(PersonRow.name == "Ada")).one()
        assert kept.startswith("$argon2id$")
        hashes = [*session.exec(select(SessionRow.token_hash))]
        hashes += session.exec(select(InvitationRow.token_hash)).all()
    assert all(re.fullmatch(r"[0-9a-f]{64}", one) for one in hashes)
    raw = b"".join(path.read_bytes() for path in server.data.glob("bradawl.sqlite3*"))
    for secret in (PASSPHRASE, desk.cookies[DESK_COOKIE], invitation):
        assert secret.encode() not in raw


def test_a_one_time_code_works_once(server: Server) -> None:
    code = server.access.people.invite(server.access.first_owner().id)
    assert server.client().post("/desk/first", data={"token": code, **NEW}).status_code == 303
    again = server.client().post("/desk/first", data={"token": code, **NEW})
    assert again.status_code == 403
    assert "bradawl invite" in again.text


def test_a_one_time_code_lives_a_day_and_a_newer_one_ends_it(server: Server) -> None:
    owner = server.access.first_owner().id
    code = server.access.people.invite(owner)
    server.clock.pass_seconds(INVITATION_LIFE_MS / 1000)
    assert server.client().post("/desk/first", data={"token": code, **NEW}).status_code == 403
    older, newer = server.access.people.invite(owner), server.access.people.invite(owner)
    assert server.client().post("/desk/first", data={"token": older, **NEW}).status_code == 403
    assert server.client().post("/desk/first", data={"token": newer, **NEW}).status_code == 303


def test_guessing_one_time_codes_is_limited(server: Server) -> None:
    client = server.client()
    for number in range(rate_limits.INVITATION_MISS.each):
        client.post("/desk/first", data={"token": f"guess{number}", **NEW})
    assert client.post("/desk/first", data={"token": "x", **NEW}).status_code == 429


def test_a_poor_passphrase_is_refused_and_the_code_stays_usable(server: Server) -> None:
    code = server.access.people.invite(server.access.first_owner().id)
    client = server.client()
    poor = client.post(
        "/desk/first", data={"token": code, "name": "Ada", "passphrase": "short", "again": "short"}
    )
    assert poor.status_code == 422
    assert "at least 12" in poor.text
    assert client.post("/desk/first", data={"token": code, **NEW}).status_code == 303


@pytest.mark.parametrize(
    ("passphrase", "again", "part"),
    [
        ("nine rusty hinges", "nine rusty hinge", "don't match"),
        ("elevenchars", "elevenchars", "at least 12"),
        ("x" * 257, "x" * 257, "at most 256"),
        ("aaaaaaaaaaaaaaaa", "aaaaaaaaaaaaaaaa", "first anybody"),
        ("abcdefghijklmnop", "abcdefghijklmnop", "first anybody"),
        ("bradawlbradawl", "bradawlbradawl", "little more than a name"),
    ],
)
def test_what_is_wrong_with_a_passphrase_is_said(passphrase: str, again: str, part: str) -> None:
    with pytest.raises(ApiError, match=part):
        passphrases.require_good(passphrase, again, ("bradawl", "Ada"))


def test_a_passphrase_is_the_same_in_every_unicode_composition() -> None:
    kept = passphrases.hash_of("d\u00e9j\u00e0 vu au garage")
    assert passphrases.matches("de\u0301ja\u0300 vu au garage", kept)
    assert not passphrases.matches("deja vu au garage", kept)
    assert not passphrases.matches("anything", "")


def test_the_real_hash_is_as_costly_as_rfc_9106_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    # RFC 9106 section 4, second recommended option: argon2id, t=3, 64 MiB, 4 lanes.
    monkeypatch.undo()
    assert "$argon2id$v=19$m=65536,t=3,p=4$" in passphrases.hash_of("nine rusty hinges")


def test_phones_people_and_the_like_ask_for_the_passphrase_again(server: Server) -> None:
    desk = server.desk()
    assert desk.get("/desk/devices/add").status_code == 200
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    answer = desk.get("/desk/devices/add")
    assert answer.headers["location"] == "/desk/confirm?next=/desk/devices/add"
    answer = desk.post(
        "/desk/people",
        data={"name": "Eve", "role": "owner"},
        headers={"Referer": "https://localhost/desk/people"},
    )
    assert answer.headers["location"] == "/desk/confirm?next=/desk/people"
    assert "Eve" not in {one.name for one in server.access.people.everybody()}

    wrong = desk.post("/desk/confirm", data={"passphrase": "no", "next": "/desk/people"})
    assert wrong.status_code == 401
    right = desk.post("/desk/confirm", data={"passphrase": PASSPHRASE, "next": "/desk/people"})
    assert right.headers["location"] == "/desk/people"
    assert desk.get("/desk/devices/add").status_code == 200


CONFIRMED_WRITES = [
    "/desk/devices/add",
    "/desk/devices/answer",
    "/desk/devices/x/name",
    "/desk/devices/x/revoke",
    "/desk/people",
    "/desk/people/x/invite",
    "/desk/people/x/role",
    "/desk/people/x/shut-out",
]


@pytest.mark.parametrize("path", CONFIRMED_WRITES)
def test_no_grave_write_goes_through_unconfirmed_or_by_others(server: Server, path: str) -> None:
    desk = server.desk()
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    assert desk.post(path).headers["location"].startswith("/desk/confirm?next=")
    assert server.client().post(path).status_code == 401
    for role in ("inspector", "reader"):
        assert server.desk(f"A {role}", role).post(path).status_code == 403


@pytest.mark.parametrize(
    "place",
    [
        "https://elsewhere.example/",
        "//elsewhere.example/desk/",
        "/desk//elsewhere.example",
        "/\\elsewhere.example",
        "/desk/\\..",
        "javascript:alert(1)",
        "/api/v1/me",
        "/desktop",
        "/desk/\n",
        "",
    ],
)
def test_sign_in_never_leads_elsewhere(place: str) -> None:
    assert safe_next(place) == "/desk/"
    assert safe_next("/desk/visits/x?y=1") == "/desk/visits/x?y=1"


def test_this_machine_alone_needs_no_sign_in_until_a_passphrase_is_set(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    browser = server.client("127.0.0.1")
    assert browser.get("/desk/").status_code == 200
    assert browser.get("/desk/devices/add").status_code == 200
    assert server.client("192.168.1.9").get("/desk/").status_code == 303
    forwarded = browser.get("/desk/", headers={"X-Forwarded-For": "1.2.3.4"})
    assert forwarded.status_code == 303
    server.desk()
    assert server.client("127.0.0.1").get("/desk/").status_code == 303


@pytest.mark.parametrize("mode", ["lan", "proxy"])
def test_in_a_network_the_desk_is_shut_from_the_first_second(
    make_server: Callable[..., Server], mode: str
) -> None:
    assert make_server(mode).client("127.0.0.1").get("/desk/").status_code == 303


def test_no_page_needs_an_inline_script_or_style(server: Server) -> None:
    desk = server.desk()
    for path in ("/desk/sign-in", "/desk/first", "/desk/confirm", "/desk/devices", "/desk/people"):
        page = desk.get(path).text
        assert not re.search(r"<script(?![^>]*src=)|<style|\sstyle=|\son\w+=", page), path


def test_what_somebody_types_never_becomes_markup(server: Server) -> None:
    hostile = '"><script>alert(1)</script>'
    page = server.client().post("/desk/sign-in", data={"name": hostile, "passphrase": "x"}).text
    assert "<script>alert" not in page
    desk = server.desk(name="<b>Ada</b>")
    assert "<b>Ada</b>" not in desk.get("/desk/people").text
