"""Guessing is slow for who guesses; the owner gets in meanwhile, from anywhere else."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest
from fastapi.testclient import TestClient

from bradawl.access.core.rate_limits import INVITATION_MISS, PASSPHRASE
from bradawl.access.people import passphrases
from bradawl.access.people.known_browsers import BROWSER_LIFE_MS, MOST
from bradawl.access.people.sessions import CONFIRMED_MS
from bradawl.access.web.auth import BROWSER_COOKIE, DESK_COOKIE
from tests.access.conftest import PASSPHRASE as RIGHT
from tests.access.conftest import Server
from tests.access.devices.test_device_pages import pair
from tests.amount import amount

WRONG = "nine rusty hinges sink"


def sign_in(client: TestClient, passphrase: str = RIGHT, name: str = "Ada") -> int:
    answer = client.post("/desk/sign-in", data={"name": name, "passphrase": passphrase})
    return int(answer.status_code)


def guess(server: Server, addresses: list[str], times: int) -> None:
    """So many times from each; those who have to wait are refused, and try all the same."""
    for _ in range(times):
        for address in addresses:
            assert sign_in(server.client(address), WRONG) in (401, 429)


def known_at(server: Server, address: str, browser: TestClient) -> TestClient:
    """The browser after its sign-in was forgotten, at another address."""
    client = server.client(address)
    # where the library puts what `localhost` sets
    client.cookies.set(BROWSER_COOKIE, browser.cookies[BROWSER_COOKIE], domain="localhost.local")
    return client


def test_sixty_guesses_from_six_addresses_shut_nobody_out_however_often(server: Server) -> None:
    desk = server.desk()
    six = [f"192.168.1.{last}" for last in range(60, 66)]
    for _ in range(3):
        guess(server, six, 10)
        assert sign_in(server.client("192.168.1.5")) == 303
        known = known_at(server, six[0], desk)
        assert sign_in(known) == 303
        desk = known
        server.clock.pass_seconds(60)


def test_hundreds_of_guesses_from_two_hundred_addresses_shut_nobody_out(server: Server) -> None:
    server.desk()
    many = [f"10.1.{number // 100}.{number % 100}" for number in range(100)]
    many += [f"2001:db8:0:{number:x}::1" for number in range(100)]
    guess(server, many, amount(5, short=2))
    assert sign_in(server.client("192.168.1.5")) == 303
    assert sign_in(server.client("2001:db8:0:ffff::1")) == 303


def test_one_address_waits_longer_after_each_guess(server: Server) -> None:
    server.desk()
    guesser = server.client("10.0.0.66")
    for _ in range(PASSPHRASE.free):
        assert sign_in(guesser, WRONG) == 401
    waits = []
    for _ in range(9):
        answer = guesser.post("/desk/sign-in", data={"name": "Ada", "passphrase": RIGHT})
        assert answer.status_code == 429
        assert "Try again in" in answer.text
        waits.append(int(answer.headers["retry-after"]))
        server.clock.pass_seconds(waits[-1])
        assert sign_in(guesser, WRONG) == 401
    assert waits == [10, 20, 40, 80, 160, 320, 640, 900, 900]
    server.clock.pass_seconds(900)
    assert sign_in(guesser) == 303


def test_a_wait_outlives_a_restart(make_server: Callable[..., Server]) -> None:
    server = make_server("lan")
    server.desk()
    guess(server, ["10.0.0.66"], PASSPHRASE.free)
    assert sign_in(make_server("lan").client("10.0.0.66")) == 429


def test_the_addresses_of_one_ipv6_network_count_as_one(server: Server) -> None:
    server.desk()
    for number in range(PASSPHRASE.free):
        assert sign_in(server.client(f"2001:db8:0:1::{number + 1:x}"), WRONG) == 401
    assert sign_in(server.client("2001:db8:0:1::99"), WRONG) == 429
    assert sign_in(server.client("2001:db8:0:2::99")) == 303


def test_in_a_folder_attempts_that_run_beside_one_another_all_count(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    server.desk()
    checked = []
    real = passphrases.matches
    monkeypatch.setattr(
        passphrases, "matches", lambda typed, kept: checked.append(typed) or real(typed, kept)
    )
    with ThreadPoolExecutor(12) as pool:
        clients = [server.client("10.0.0.66") for _ in range(24)]
        codes = list(pool.map(lambda client: sign_in(client, WRONG), clients))
    assert codes.count(401) == len(checked) <= PASSPHRASE.free
    assert codes.count(401) + codes.count(429) == 24


def test_a_right_passphrase_does_not_wipe_an_addresss_misses(server: Server) -> None:
    """Else whoever has any account here could guess another's, and sign in between."""
    server.desk()
    server.desk("Rea", "reader")
    for _ in range(PASSPHRASE.free):
        assert sign_in(server.client("10.0.0.66"), WRONG) == 401
        if _ < PASSPHRASE.free - 1:
            assert sign_in(server.client("10.0.0.66"), name="Rea") == 303
    assert sign_in(server.client("10.0.0.66"), name="Rea") == 429


# known browsers


def test_a_browser_that_signed_in_before_is_known_by_a_cookie_out_of_reach(
    server: Server,
) -> None:
    server.desk()
    client = server.client()
    answer = client.post("/desk/sign-in", data={"name": "Ada", "passphrase": RIGHT})
    cookies = answer.headers.get_list("set-cookie")
    (cookie,) = [one for one in cookies if one.startswith(f"{BROWSER_COOKIE}=")]
    for part in ("Secure", "HttpOnly", "SameSite=strict", "Path=/", "Max-Age=34560000"):
        assert part in cookie
    assert "Domain" not in cookie
    raw = b"".join(path.read_bytes() for path in server.data.glob("bradawl.sqlite3*"))
    assert client.cookies[BROWSER_COOKIE].encode() not in raw
    # It opens nothing.
    assert known_at(server, "10.0.0.66", client).get("/desk/").status_code == 303


def test_a_known_browser_gets_in_where_its_address_has_to_wait(server: Server) -> None:
    desk = server.desk(address="10.0.0.66")
    guess(server, ["10.0.0.66"], PASSPHRASE.free + 3)
    assert sign_in(server.client("10.0.0.66")) == 429
    assert sign_in(known_at(server, "10.0.0.66", desk)) == 303


def test_signing_out_does_not_make_a_browser_a_stranger(server: Server) -> None:
    desk = server.desk(address="10.0.0.66")
    desk.post("/desk/sign-out")
    guess(server, ["10.0.0.66"], PASSPHRASE.free)
    assert sign_in(desk) == 303


def test_what_is_guessed_in_a_known_browser_is_counted_there_and_slow_too(
    server: Server,
) -> None:
    desk = server.desk(address="10.0.0.66")
    known = known_at(server, "10.0.0.66", desk)
    for _ in range(PASSPHRASE.free):
        assert sign_in(known, WRONG) == 401
    assert sign_in(known, WRONG) == 429
    assert sign_in(server.client("10.0.0.66")) == 303  # the address did nothing wrong
    elsewhere = known_at(server, "10.0.0.67", desk)
    assert sign_in(elsewhere) == 429  # nor does another address help who copied the token


def test_a_known_browser_is_known_for_its_own_person_only(server: Server) -> None:
    """Else a reader's browser would be one more source of guesses at the owner's passphrase."""
    server.desk()
    reader = server.desk("Rea", "reader", address="10.0.0.66")
    guess(server, ["10.0.0.66"], PASSPHRASE.free)
    assert sign_in(reader, name="Ada") == 429
    assert sign_in(reader, name="Rea") == 303


def test_two_people_who_share_a_browser_are_both_known_in_it(server: Server) -> None:
    server.desk()
    server.desk("Bo", "inspector")
    shared = server.client("10.0.0.66")
    assert sign_in(shared) == 303
    assert sign_in(shared, name="Bo") == 303
    shared.cookies.delete(DESK_COOKIE)
    guess(server, ["10.0.0.66"], PASSPHRASE.free)
    for name in ("Ada", "Bo"):
        client = known_at(server, "10.0.0.66", shared)
        assert sign_in(client, name=name) == 303
        shared = client


def test_each_sign_in_gives_a_browser_a_new_token_and_ends_the_old(server: Server) -> None:
    desk = server.desk(address="10.0.0.66")
    copied = known_at(server, "10.0.0.66", desk)
    assert sign_in(desk) == 303
    assert desk.cookies[BROWSER_COOKIE] != copied.cookies[BROWSER_COOKIE]
    guess(server, ["10.0.0.66"], PASSPHRASE.free)
    assert sign_in(copied) == 429


@pytest.mark.parametrize("how", ["another passphrase", "everywhere else", "shut out", "400 days"])
def test_a_browser_is_a_stranger_again(server: Server, how: str) -> None:
    server.desk()
    bo = server.desk("Bo", "inspector", address="10.0.0.66")
    other = server.client("10.0.0.67")
    assert sign_in(other, name="Bo") == 303
    person = server.access.people.id_of("Bo")
    if how == "another passphrase":
        code = server.access.people.invite(person)
        assert server.access.people.accept(code, "Bo", RIGHT, RIGHT) is not None
    elif how == "everywhere else":
        other.post("/desk/sessions/end-others")
        assert server.access.browsers.is_known(other.cookies[BROWSER_COOKIE], person)
    elif how == "shut out":
        server.access.people.shut_out(person)
    else:
        server.clock.pass_seconds(BROWSER_LIFE_MS / 1000)
    assert not server.access.browsers.is_known(bo.cookies[BROWSER_COOKIE], person)


def test_a_person_has_only_so_many_known_browsers(server: Server) -> None:
    person = server.access.first_owner().id
    kept = []
    for _ in range(MOST + 3):
        kept.append(server.access.browsers.remember(person, ""))
        server.clock.pass_seconds(1)
    known = [server.access.browsers.is_known(token, person) for token in kept]
    assert known == [False] * 3 + [True] * MOST


# while strangers try


def test_an_owner_who_is_signed_in_confirms_and_revokes_a_phone_meanwhile(
    server: Server,
) -> None:
    desk, phone = server.desk(address="10.0.0.66"), server.client()
    pair(desk, phone)
    guess(server, [f"10.0.0.{last}" for last in range(60, 72)], PASSPHRASE.free + 3)
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    device = server.access.devices.all()[0].id
    asked = desk.post(f"/desk/devices/{device}/revoke")
    assert asked.headers["location"].startswith("/desk/confirm")
    confirmed = desk.post("/desk/confirm", data={"passphrase": RIGHT, "next": "/desk/devices"})
    assert confirmed.status_code == 303
    assert desk.post(f"/desk/devices/{device}/revoke").status_code == 303
    assert phone.get("/api/v1/me").status_code == 401


def test_an_open_sign_in_is_as_good_as_a_known_browser(server: Server) -> None:
    desk = server.desk(address="10.0.0.66")
    guess(server, ["10.0.0.66"], PASSPHRASE.free)
    only_session = {DESK_COOKIE: desk.cookies[DESK_COOKIE]}
    assert sign_in(server.client("10.0.0.66", cookies=only_session)) == 303


def test_who_has_stolen_a_session_guesses_slowly_too(server: Server) -> None:
    desk = server.desk()
    server.clock.pass_seconds(CONFIRMED_MS / 1000)
    thief = server.client("10.0.0.66", cookies={DESK_COOKIE: desk.cookies[DESK_COOKIE]})
    for _ in range(PASSPHRASE.free):
        assert thief.post("/desk/confirm", data={"passphrase": WRONG}).status_code == 401
    assert thief.post("/desk/confirm", data={"passphrase": RIGHT}).status_code == 429
    # The owner signs in anew where the owner is known.
    assert sign_in(known_at(server, "10.0.0.5", desk)) == 303


def test_a_one_time_code_works_whatever_others_tried_from_there(server: Server) -> None:
    code = server.access.people.invite(server.access.first_owner().id)
    client = server.client("10.0.0.66")
    for number in range(INVITATION_MISS.each + 2):
        client.post("/desk/first", data={"token": f"guess{number}"})
    assert client.post("/desk/first", data={"token": "another"}).status_code == 429
    form = {"token": code, "name": "Ada", "passphrase": RIGHT, "again": RIGHT}
    assert client.post("/desk/first", data=form).status_code == 303


class Held:
    """Passphrases whose check lasts until the test lets it end."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.checked: list[str] = []
        self.most = 0
        self.go = threading.Event()
        self._at_work = 0
        self._lock = threading.Lock()
        monkeypatch.setattr(passphrases, "matches", self.matches)

    def matches(self, passphrase: str, kept: str) -> bool:
        with self._lock:
            self.checked.append(passphrase)
            self._at_work += 1
            self.most = max(self.most, self._at_work)
        if passphrase != RIGHT:
            assert self.go.wait(180)
        with self._lock:
            self._at_work -= 1
        return passphrase == RIGHT and bool(kept)

    def until(self, count: int) -> None:
        """Wait until so many were begun."""
        limit = time.monotonic() + 180
        while len(self.checked) < count:
            assert time.monotonic() < limit
            time.sleep(0.005)


def test_a_crowd_of_guessers_takes_one_check_at_a_time_and_no_turn_of_the_owners(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = server.desk(address="10.0.0.200")
    known = known_at(server, "10.0.0.200", desk)
    held = Held(monkeypatch)
    with ThreadPoolExecutor(42) as pool:
        crowd = [pool.submit(sign_in, server.client(f"10.0.0.{last}"), WRONG) for last in range(40)]
        held.until(1)
        try:
            # All strangers wait behind one check that does not end; the owner's own does.
            assert pool.submit(sign_in, known).result(180) == 303
            confirmed = pool.submit(desk.post, "/desk/confirm", data={"passphrase": RIGHT})
            assert confirmed.result(180).status_code == 303
            assert held.checked.count(WRONG) == 1
        finally:
            held.go.set()
        assert [one.result() for one in crowd] == [401] * 40
    assert held.most <= 2


def test_a_crowd_at_the_sign_in_page_leaves_the_rest_of_the_server_free(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who waits holds no thread: with one each, forty would hold all that a server has."""
    server.desk()
    held = Held(monkeypatch)

    async def request(method: str, last: int, **form: str) -> int:
        transport = httpx.ASGITransport(app=server.app, client=(f"10.0.0.{last}", 1))
        async with httpx.AsyncClient(transport=transport, base_url="https://localhost") as client:
            answer = await client.request(method, "/desk/sign-in", data=form or None)
            return answer.status_code

    async def crowd() -> None:
        waiting = [
            asyncio.create_task(request("POST", last, name="Ada", passphrase=WRONG))
            for last in range(80)
        ]
        while not held.checked:
            await asyncio.sleep(0.005)
        try:
            async with asyncio.timeout(120):
                assert await request("GET", 200) == 200
        finally:
            held.go.set()
        assert await asyncio.gather(*waiting) == [401] * 80

    asyncio.run(crowd())
