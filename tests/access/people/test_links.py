"""A link opens one report for whoever has all of it, until it ends; the key is in no address."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient
from sqlmodel import Session, select

from bradawl.access.core import rate_limits
from bradawl.access.core.tables import LinkRow
from bradawl.access.people.report_links import DAY_MS
from tests.access.conftest import VISIT, Server

FORM = {"edition": "condition", "label": "The buyer", "days": "7"}


def make(desk: TestClient, **changes: str) -> tuple[str, str]:
    page = desk.post(f"/desk/visits/{VISIT}/links", data={**FORM, **changes}).text
    found = re.search(r"https://localhost(/r/[0-9a-f]{32})#([\w-]{43})", page)
    assert found is not None, page
    return found[1], found[2]


def test_the_link_opens_the_one_report_without_a_login(server: Server) -> None:
    path, key = make(server.desk())
    stranger = server.client("203.0.113.9")
    page = stranger.get(path)
    assert page.status_code == 200
    assert "Testa" not in page.text
    answer = stranger.post(path, data={"key": key})
    assert answer.status_code == 200
    assert answer.content == b"%PDF-condition"
    assert answer.headers["content-disposition"].startswith("attachment;")
    assert answer.headers["cache-control"] == "no-store"
    assert stranger.get("/desk/").status_code == 303


def test_the_partner_edition_needs_its_own_link(server: Server) -> None:
    path, key = make(server.desk(), edition="partner")
    assert server.client().post(path, data={"key": key}).content == b"%PDF-partner"


def test_a_link_ends_by_time(server: Server) -> None:
    path, key = make(server.desk())
    server.clock.pass_seconds(7 * DAY_MS / 1000)
    assert server.client().post(path, data={"key": key}).status_code == 404


def test_a_closed_link_is_dead_at_once(server: Server) -> None:
    desk = server.desk()
    path, key = make(desk)
    desk.post(f"/desk/links/{path.removeprefix('/r/')}/revoke")
    assert server.client().post(path, data={"key": key}).status_code == 404
    assert "closed" in desk.get(f"/desk/visits/{VISIT}/share").text


@pytest.mark.parametrize("wrong", ["", "x", "x" * 43, "x" * 5000])
def test_a_wrong_key_and_an_unknown_link_look_the_same(server: Server, wrong: str) -> None:
    path, _ = make(server.desk())
    known = server.client("10.0.0.1").post(path, data={"key": wrong})
    unknown = server.client("10.0.0.2").post(f"/r/{'0' * 32}", data={"key": wrong})
    assert known.status_code == unknown.status_code == 404
    assert known.text == unknown.text


def test_guessing_keys_is_limited_and_the_right_one_opens_all_the_same(server: Server) -> None:
    path, key = make(server.desk())
    guesser = server.client("10.0.0.66")
    for number in range(rate_limits.LINK_MISS.each):
        assert guesser.post(path, data={"key": f"guess{number}"}).status_code == 404
    assert guesser.post(path, data={"key": "another guess"}).status_code == 429
    # A key has 256 bits: whoever has it did not guess it, whatever others tried from there.
    assert guesser.post(path, data={"key": key}).status_code == 200


def test_no_number_of_readers_of_one_link_shuts_out_those_of_another(server: Server) -> None:
    desk = server.desk()
    (path, key), (other, other_key) = make(desk), make(desk)
    for last in range(4):
        for _ in range(rate_limits.LINK_OPEN.each):
            opened = server.client(f"10.0.0.{last}").post(path, data={"key": key})
            assert opened.status_code == 200
    assert server.client("10.0.0.9").post(other, data={"key": other_key}).status_code == 200
    assert server.client("10.0.0.1").post(other, data={"key": other_key}).status_code == 200


def test_opening_is_limited_because_each_makes_a_file(server: Server) -> None:
    path, key = make(server.desk())
    client = server.client("10.0.0.66")
    for _ in range(rate_limits.LINK_OPEN.each):
        assert client.post(path, data={"key": key}).status_code == 200
    assert client.post(path, data={"key": key}).status_code == 429


def test_the_database_keeps_only_the_hash_of_a_key(server: Server) -> None:
    _, key = make(server.desk())
    with Session(server.engine) as session:
        assert len(session.exec(select(LinkRow.token_hash)).one()) == 64
    raw = b"".join(path.read_bytes() for path in server.data.glob("bradawl.sqlite3*"))
    assert key.encode() not in raw


def test_opening_is_counted_and_in_the_trail(server: Server) -> None:
    desk = server.desk()
    path, key = make(desk)
    server.client().post(path, data={"key": key})
    assert "1 time" in desk.get(f"/desk/visits/{VISIT}/share").text
    assert server.access.audit.lines()[0].act == "report fetched by link"


@pytest.mark.parametrize(
    "change", [{"edition": "other"}, {"days": "9999"}, {"days": "x"}, {"label": " "}]
)
def test_a_link_that_cannot_be_made_is_explained(server: Server, change: dict[str, str]) -> None:
    answer = server.desk().post(f"/desk/visits/{VISIT}/links", data={**FORM, **change})
    assert answer.status_code == 422
    assert 'class="problem"' in answer.text


def test_an_unknown_visit_gives_no_link(server: Server) -> None:
    assert server.desk().post(f"/desk/visits/{'c3' * 16}/links", data=FORM).status_code == 404
