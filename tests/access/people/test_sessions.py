"""Sign-ins are listed for whoever they belong to, and ended one by one or all others at once."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient
from starlette.requests import Request

from bradawl.access.core.client import browser_of
from bradawl.access.people.sessions import CONFIRMED_MS, SESSION_IDLE_MS
from tests.access.conftest import PASSPHRASE, Server

# The form of these follows RFC 9110 section 10.1.5 and what browsers send (from memory).
AGENTS = {
    "Firefox, Linux": "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0",
    "Chrome, Android": "Mozilla/5.0 (Linux; Android 16; K) AppleWebKit/537.36 (KHTML, like Gecko)"
    " Chrome/156.0.0.0 Mobile Safari/537.36",
    "Safari, iPhone": "Mozilla/5.0 (iPhone; CPU iPhone OS 18_6 like Mac OS X) "
    "AppleWebKit/605.1.15 (KHTML, like Gecko) Version/26.0 Mobile/15E148 Safari/604.1",
    "Edge, Windows": "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like "
    "Gecko) Chrome/156.0.0.0 Safari/537.36 Edg/156.0.0.0",
    "": "curl/8.14.1",
}


@pytest.mark.parametrize(("words", "agent"), AGENTS.items())
def test_a_browser_is_named_in_few_words(words: str, agent: str) -> None:
    request = Request({"type": "http", "headers": [(b"user-agent", agent.encode())]})
    assert browser_of(request) == words


def signed_in(server: Server, address: str, agent: str, name: str = "Ada") -> TestClient:
    client = server.client(address)
    client.headers["User-Agent"] = AGENTS[agent]
    answer = client.post("/desk/sign-in", data={"name": name, "passphrase": PASSPHRASE})
    assert answer.status_code == 303, answer.text
    return client


def session_of(page: str, words: str) -> str:
    """The id in the form that ends the sign-in of a browser."""
    row = next(row for row in page.split("<tr>") if words in row)
    found = re.search(r'name="session" value="([0-9a-f]{64})"', row)
    assert found is not None, row
    return found[1]


def test_each_sign_in_shows_its_browser_its_beginning_and_its_last_use(server: Server) -> None:
    desk = server.desk()
    signed_in(server, "192.168.1.30", "Safari, iPhone")
    server.clock.pass_seconds(3600)
    assert desk.get("/desk/").status_code == 200
    page = desk.get("/desk/sessions").text
    rows = page.split("<tr>")[2:]
    assert len(rows) == 2
    assert "this one" in rows[0]  # the last used first
    assert "Safari, iPhone" in rows[1]
    assert "192.168.1.30" in rows[1]
    listed = server.access.sessions.living()
    assert [one.seen_ms - one.since_ms for one in listed] == [3_600_000, 0]


def test_one_sign_in_is_ended_and_the_others_stay(server: Server) -> None:
    desk = server.desk()
    lost = signed_in(server, "192.168.1.30", "Safari, iPhone")
    kept = signed_in(server, "192.168.1.31", "Firefox, Linux")
    form = {"session": session_of(desk.get("/desk/sessions").text, "Safari, iPhone")}
    assert desk.post("/desk/sessions/end", data=form).status_code == 303
    assert lost.get("/desk/").status_code == 303
    assert kept.get("/desk/").status_code == 200
    assert desk.get("/desk/").status_code == 200
    line = server.access.audit.lines()[0]
    assert (line.who, line.act, line.about) == ("Ada", "sign-in ended", "Ada, Safari, iPhone")


def test_all_others_are_ended_at_once_and_other_people_stay(server: Server) -> None:
    desk = server.desk()
    bo = server.desk("Bo", "inspector")
    others = [signed_in(server, f"192.168.1.{one}", "Firefox, Linux") for one in (30, 31)]
    assert desk.post("/desk/sessions/end-others").status_code == 303
    assert [one.get("/desk/").status_code for one in others] == [303, 303]
    assert desk.get("/desk/").status_code == 200
    assert bo.get("/desk/").status_code == 200
    assert server.access.audit.lines()[0].act == "other sign-ins ended"


@pytest.mark.parametrize("path", ["/desk/sessions/end", "/desk/sessions/end-others"])
def test_ending_sign_ins_asks_for_the_passphrase_again(server: Server, path: str) -> None:
    """OWASP ASVS 5.0, 7.5.2: having authenticated again."""
    desk = server.desk()
    other = signed_in(server, "192.168.1.30", "Firefox, Linux")
    form = {"session": session_of(desk.get("/desk/sessions").text, "Firefox, Linux")}
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    before = {"Referer": "https://localhost/desk/sessions"}
    answer = desk.post(path, data=form, headers=before)
    assert answer.headers["location"] == "/desk/confirm?next=/desk/sessions"
    assert other.get("/desk/").status_code == 200
    desk.post("/desk/confirm", data={"passphrase": PASSPHRASE, "next": "/desk/sessions"})
    desk.post(path, data=form)
    assert other.get("/desk/").status_code == 303


@pytest.mark.parametrize("role", ["inspector", "reader"])
def test_only_an_owner_sees_and_ends_what_belongs_to_others(server: Server, role: str) -> None:
    owner = server.desk()
    bo = server.desk("Bo", role, "192.168.1.77")
    page = bo.get("/desk/sessions").text
    assert "192.168.1.77" in page
    assert "192.168.1.5" not in page
    owners = next(one for one in server.access.sessions.living() if one.person == "Ada")
    bo.post("/desk/sessions/end", data={"session": owners.id})
    assert owner.get("/desk/").status_code == 200

    mine = next(one for one in server.access.sessions.living() if one.person == "Bo")
    assert "192.168.1.77" in owner.get("/desk/sessions").text
    owner.post("/desk/sessions/end", data={"session": mine.id})
    assert bo.get("/desk/sessions").status_code == 303


def test_what_the_main_menu_offers_leads_everybody_somewhere(server: Server) -> None:
    server.desk()
    for role in ("inspector", "reader"):
        client = server.desk(f"A {role}", role)
        assert client.get("/desk/devices").headers["location"] == "/desk/sessions"
        page = client.get("/desk/sessions")
        assert page.status_code == 200
        assert "Sign out" in page.text


def test_a_sign_in_that_is_over_is_not_listed_and_ending_it_does_nothing(server: Server) -> None:
    desk = server.desk()
    signed_in(server, "192.168.1.30", "Firefox, Linux")
    form = {"session": session_of(desk.get("/desk/sessions").text, "Firefox, Linux")}
    for _ in range(2):
        server.clock.pass_seconds(SESSION_IDLE_MS / 1500)
        desk.get("/desk/")
    assert [one.person for one in server.access.sessions.living()] == ["Ada"]
    desk.post("/desk/confirm", data={"passphrase": PASSPHRASE, "next": "/desk/sessions"})
    count = len(server.access.audit.lines())
    assert desk.post("/desk/sessions/end", data=form).status_code == 303
    assert len(server.access.audit.lines()) == count


def test_a_session_of_an_older_bradawl_is_listed_without_a_browser(server: Server) -> None:
    desk = server.desk()
    server.access.sessions.begin(server.access.first_owner())
    assert "Unknown browser" in desk.get("/desk/sessions").text
