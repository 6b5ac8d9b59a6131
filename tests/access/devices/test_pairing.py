"""A phone gets its token once, after somebody approved, and never otherwise."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session, select

from bradawl.access.core.tables import DeviceRow, PairingRow
from bradawl.access.core.tokens import (
    CODE_ALPHABET,
    CODE_LENGTH,
    WORDS,
    digest,
    new_code,
    plain_code,
    words_for,
)
from bradawl.access.devices.pairing import LIFE_MS
from bradawl.access.web.auth import DEVICE_COOKIE
from tests.access.conftest import Server
from tests.access.devices.wishes import PHONE, phone_id, wish


def ask(client: TestClient, device: str = PHONE, name: str = "Test phone") -> dict[str, str]:
    answer = client.post("/api/v1/pairing", json=wish(device, name))
    assert answer.status_code == 200, answer.text
    body: dict[str, str] = answer.json()
    return body


def approve(server: Server, code: str) -> None:
    found = server.access.pairing.find(code)
    assert found is not None
    owner = server.access.first_owner()
    assert server.access.pairing.answer(found.ticket, approve_for=owner.id)


def test_a_phone_waits_until_it_is_approved_and_gets_its_cookie_once(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    assert asked["state"] == "waiting"
    secret = {"secret": asked["secret"]}
    assert phone.post("/api/v1/pairing/poll", json=secret).json() == {"state": "waiting"}
    assert phone.get("/api/v1/me").status_code == 401

    approve(server, asked["code"])
    answer = phone.post("/api/v1/pairing/poll", json=secret)
    assert answer.json() == {"state": "approved"}
    cookie = answer.headers["set-cookie"]
    assert cookie.startswith(f"{DEVICE_COOKIE}=")
    for part in ("Secure", "HttpOnly", "SameSite=strict", "Path=/"):
        assert part in cookie
    assert "Domain" not in cookie  # the `__Host-` prefix forbids it (RFC 6265bis 4.1.3.2)

    assert phone.get("/api/v1/me").json() == {
        "device": PHONE,
        "name": "Test phone",
        "person": "Owner",
    }
    again = server.client().post("/api/v1/pairing/poll", json=secret)
    assert again.json() == {"state": "expired"}
    assert "set-cookie" not in again.headers


def test_a_refused_phone_is_told_so(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    found = server.access.pairing.find(asked["code"])
    assert found is not None
    server.access.pairing.answer(found.ticket, approve_for=None)
    answer = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert answer.json() == {"state": "refused"}


def test_a_request_that_is_older_than_its_minutes_cannot_be_approved(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    found = server.access.pairing.find(asked["code"])
    assert found is not None
    server.clock.pass_seconds(LIFE_MS / 1000)
    assert server.access.pairing.find(asked["code"]) is None
    owner = server.access.first_owner()
    assert not server.access.pairing.answer(found.ticket, approve_for=owner.id)
    answer = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert answer.json() == {"state": "expired"}


def test_an_approval_that_is_never_fetched_dies_with_the_request(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    approve(server, asked["code"])
    server.clock.pass_seconds(LIFE_MS / 1000)
    answer = phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert answer.json() == {"state": "expired"}


def test_the_code_alone_gives_nothing(server: Server) -> None:
    asked = ask(server.client())
    approve(server, asked["code"])
    for guess in (asked["code"], asked["code"].replace("-", ""), asked["words"].replace(" ", "-")):
        answer = server.client("10.0.0.9").post("/api/v1/pairing/poll", json={"secret": guess})
        assert answer.json() == {"state": "expired"}
        assert "set-cookie" not in answer.headers


def test_the_database_keeps_hashes_and_no_token_code_or_secret(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    approve(server, asked["code"])
    phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    token = phone.cookies[DEVICE_COOKIE]
    with Session(server.engine) as session:
        assert session.exec(select(DeviceRow.token_hash)).one() == digest(token)
        assert session.exec(select(PairingRow.secret_hash)).one() == digest(asked["secret"])
    raw = b"".join(path.read_bytes() for path in server.data.glob("bradawl.sqlite3*"))
    for secret in (token, asked["secret"], asked["code"], asked["code"].replace("-", "")):
        assert secret.encode() not in raw


def test_pairing_again_replaces_the_token_and_keeps_the_device(server: Server) -> None:
    phone, again = server.client(), server.client("192.168.1.21")
    for client in (phone, again):
        asked = ask(client)
        approve(server, asked["code"])
        client.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    assert again.get("/api/v1/me").json()["device"] == PHONE
    assert phone.get("/api/v1/me").json()["error"]["code"] == "pair_again"


def test_an_unknown_token_is_told_to_pair_again_and_that_nothing_is_lost(server: Server) -> None:
    client = server.client(cookies={DEVICE_COOKIE: "nonsense"})
    answer = client.get("/api/v1/me")
    assert answer.status_code == 401
    assert answer.json()["error"]["code"] == "pair_again"
    assert "Everything on it is safe" in answer.json()["error"]["message"]


def test_a_token_unused_for_400_days_ends(server: Server) -> None:
    phone = server.client()
    asked = ask(phone)
    approve(server, asked["code"])
    phone.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
    token = {DEVICE_COOKIE: phone.cookies[DEVICE_COOKIE]}
    for _ in range(2):  # renewed by use
        server.clock.pass_seconds(399 * 24 * 3600)
        assert server.client(cookies=token).get("/api/v1/me").status_code == 200
    server.clock.pass_seconds(400 * 24 * 3600)
    assert server.client(cookies=token).get("/api/v1/me").status_code == 401


def test_on_this_machine_a_phone_is_paired_at_once(make_server: Callable[..., Server]) -> None:
    server = make_server("local")
    for address, device in (("127.0.0.1", PHONE), ("::1", phone_id("another phone"))):
        client = server.client(address)
        assert ask(client, device) == {"state": "approved"}
        assert client.get("/api/v1/me").json()["device"] == device


@pytest.mark.parametrize(
    "header",
    ["X-Forwarded-For", "Forwarded", "X-Real-IP", "Via", "X-Forwarded-Host", "X-Forwarded-Proto"],
)
def test_a_forwarded_request_is_never_taken_for_this_machine(
    make_server: Callable[..., Server], header: str
) -> None:
    server = make_server("local")
    client = server.client("127.0.0.1")
    answer = client.post("/api/v1/pairing", json=wish(), headers={header: "for=127.0.0.1"})
    assert answer.json()["state"] == "waiting"


@pytest.mark.parametrize("mode", ["lan", "proxy"])
def test_in_a_network_even_this_machine_needs_approval(
    make_server: Callable[..., Server], mode: str
) -> None:
    server = make_server(mode)
    assert ask(server.client("127.0.0.1"))["state"] == "waiting"


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"device": PHONE},
        wish() | {"device": PHONE.upper()},
        wish(name=""),
        wish(name=" "),
        wish(name="a\u0000b"),
        wish(name="x" * 61),
        wish() | {"more": 1},
        {"device": PHONE, "name": "x"},
        [],
        None,
    ],
)
def test_a_malformed_wish_is_refused_with_a_sentence(server: Server, body: object) -> None:
    answer = server.client().post("/api/v1/pairing", json=body)
    assert answer.status_code == 422
    assert answer.json()["error"]["code"] == "invalid"
    assert answer.json()["error"]["message"].endswith(".")


def test_words_are_equal_on_both_screens_and_differ_between_requests(server: Server) -> None:
    first = ask(server.client())
    second = ask(server.client("192.168.1.21"), device=phone_id("another phone"))
    shown = server.access.pairing.find(first["code"])
    assert shown is not None
    assert shown.words == first["words"] != second["words"]
    assert len(first["words"].split()) == 4


def test_words_depend_on_secret_device_and_name() -> None:
    base = words_for("s", "d", "n")
    assert (
        len({base, words_for("t", "d", "n"), words_for("s", "e", "n"), words_for("s", "d", "m")})
        == 4
    )


def test_the_word_list_is_256_distinct_short_words() -> None:
    assert len(WORDS) == len(set(WORDS)) == 256
    assert all(2 <= len(word) <= 8 and word.isascii() and word.islower() for word in WORDS)


@settings(max_examples=50, deadline=None, derandomize=True)
@given(st.text(alphabet=CODE_ALPHABET, min_size=CODE_LENGTH, max_size=CODE_LENGTH))
def test_a_code_is_read_however_it_is_typed(code: str) -> None:
    typed = f" {code[:4].lower()} – {code[4:].lower()} "
    assert plain_code(typed) == code
    assert plain_code(code.replace("1", "l").replace("0", "o").replace("V", "u")) == code


def test_a_code_has_40_random_bits() -> None:
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200
    assert len(CODE_ALPHABET) ** CODE_LENGTH == 2**40


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"key": ""}, "P-256 point"),
        ({"key": wish(phone_id("another phone"))["key"]}, "belongs to another key"),
        ({"device": wish(phone_id("another phone"))["device"]}, "belongs to another key"),
        ({"proof": wish(phone_id("another phone"))["proof"]}, "didn't sign for its ID"),
        ({"proof": ""}, "didn't sign for its ID"),
    ],
)
def test_a_phone_cannot_ask_under_the_id_of_another(
    server: Server, change: dict[str, str], sentence: str
) -> None:
    answer = server.client().post("/api/v1/pairing", json=wish() | change)
    assert answer.status_code == 422
    assert answer.json()["error"]["code"] == "key"
    assert sentence in answer.json()["error"]["message"]
