"""Guessing costs more attempts than anybody is allowed, and a restart gives none back."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import pytest
from sqlalchemy import Engine
from sqlmodel import Session, select

from bradawl.access.core import rate_limits
from bradawl.access.core.client import address_group
from bradawl.access.core.rate_limits import PASSPHRASE, SWEEP_EVERY, Delay, Limit, Limits
from bradawl.access.core.tables import AttemptRow
from bradawl.access.core.transactions import writing
from bradawl.access.devices.pairing import LIFE_MS, WAITING
from bradawl.access.web.auth import Access
from bradawl.common.errors import ApiError
from tests.access.conftest import Server
from tests.access.devices.wishes import phone_id, wish

THREE = Limit("three", each=3, window_ms=60_000)
TWICE = Delay("twice", free=2, first_ms=10_000, longest_ms=60_000, window_ms=3_600_000)


def test_one_address_is_stopped_and_another_is_not(server: Server) -> None:
    counted = server.access.limits
    for _ in range(3):
        counted.count(THREE, "10.0.0.1")
    with pytest.raises(ApiError) as stopped:
        counted.count(THREE, "10.0.0.1")
    assert stopped.value.status == 429
    assert stopped.value.headers["Retry-After"] == "60"
    counted.count(THREE, "10.0.0.2")


def test_no_number_of_others_uses_up_what_one_may_do(server: Server) -> None:
    for number in range(300):
        server.access.limits.count(THREE, f"10.0.{number // 100}.{number % 100}")
    server.access.limits.count(THREE, "10.9.9.9")


def test_the_window_slides(server: Server) -> None:
    counted = server.access.limits
    for _ in range(3):
        counted.count(THREE, "10.0.0.1")
        server.clock.pass_seconds(10)
    with pytest.raises(ApiError) as stopped:
        counted.check(THREE, "10.0.0.1")
    assert stopped.value.headers["Retry-After"] == "30"
    server.clock.pass_seconds(30)
    counted.count(THREE, "10.0.0.1")
    with pytest.raises(ApiError):
        counted.count(THREE, "10.0.0.1")


def test_a_limit_outlives_a_restart(server: Server) -> None:
    for _ in range(3):
        server.access.limits.count(THREE, "10.0.0.1")
    restarted = Limits(server.engine, server.clock)
    with pytest.raises(ApiError):
        restarted.check(THREE, "10.0.0.1")


def test_a_limit_with_a_longer_name_counts_apart(server: Server) -> None:
    longer = Limit("three-more", each=1, window_ms=60_000)
    server.access.limits.count(longer, "10.0.0.1")
    assert server.access.limits.used(THREE, "10.0.0.1") == 0


def waited_s(server: Server, source: str = "10.0.0.1") -> int:
    """One more miss; how long the next attempt has to wait then."""
    server.access.limits.begin(TWICE, source)
    try:
        server.access.limits.take_back(server.access.limits.begin(TWICE, source))
    except ApiError as refused:
        return int(refused.headers["Retry-After"])
    return 0


def test_each_miss_doubles_the_wait_up_to_the_longest(server: Server) -> None:
    waits = []
    for _ in range(7):
        waits.append(waited_s(server))
        server.clock.pass_seconds(waits[-1])
    assert waits == [0, 10, 20, 40, 60, 60, 60]


def test_waiting_is_asked_of_who_missed_and_of_nobody_else(server: Server) -> None:
    for _ in range(4):
        server.clock.pass_seconds(waited_s(server))
    assert waited_s(server, "10.0.0.2") == 0


def test_a_wait_outlives_a_restart_and_ends_with_its_time(server: Server) -> None:
    assert [waited_s(server), waited_s(server)] == [0, 10]
    again = Limits(server.engine, server.clock)
    with pytest.raises(ApiError):
        again.begin(TWICE, "10.0.0.1")
    server.clock.pass_seconds(9.999)
    with pytest.raises(ApiError):
        again.begin(TWICE, "10.0.0.1")
    server.clock.pass_seconds(0.001)
    again.begin(TWICE, "10.0.0.1")


def test_in_a_folder_no_more_attempts_than_the_free_ones_begin_in_one_moment(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    moment = threading.Barrier(8)  # all have seen that they may, before the first is counted

    @contextmanager
    def together(engine: Engine) -> Iterator[Session]:
        moment.wait(60)
        with writing(engine) as session:
            yield session

    monkeypatch.setattr(rate_limits, "writing", together)

    def begun(_: int) -> bool:
        try:
            server.access.limits.begin(TWICE, "10.0.0.1")
        except ApiError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        assert sum(pool.map(begun, range(8))) == TWICE.free


def test_a_refused_attempt_costs_nothing(server: Server) -> None:
    assert [waited_s(server), waited_s(server)] == [0, 10]
    for _ in range(50):
        with pytest.raises(ApiError):
            server.access.limits.begin(TWICE, "10.0.0.1")
    server.clock.pass_seconds(10)
    assert waited_s(server) == 20


def test_what_was_right_is_taken_back_and_leaves_earlier_misses(server: Server) -> None:
    counted = server.access.limits
    assert waited_s(server) == 0
    for _ in range(5):
        counted.take_back(counted.begin(TWICE, "10.0.0.1"))
    assert waited_s(server) == 10
    counted.forgive(TWICE, "10.0.0.1")
    assert waited_s(server) == 0


@pytest.mark.parametrize("what", ["delay", "limit"])
def test_a_clock_that_stood_years_ahead_shuts_nobody_out_once_it_is_right(
    server: Server, what: str
) -> None:
    counted, years_s = server.access.limits, 10 * 365 * 24 * 3600
    server.clock.pass_seconds(years_s)
    for _ in range(2):
        counted.begin(TWICE, "10.0.0.1")
    for _ in range(3):
        counted.count(THREE, "10.0.0.1")
    server.clock.pass_seconds(-years_s)
    if what == "delay":
        assert waited_s(server) == 0
    else:
        counted.count(THREE, "10.0.0.1")


def test_what_no_longer_counts_is_deleted_in_time(server: Server) -> None:
    for number in range(SWEEP_EVERY - 1):
        server.access.limits.count(rate_limits.POLL_MISS, f"source {number}")
    server.clock.pass_seconds(rate_limits.POLL_MISS.window_ms / 1000)
    for number in range(SWEEP_EVERY):
        server.access.limits.count(rate_limits.PAIRING, f"source {number}")
    with Session(server.engine) as session:
        kept = session.exec(select(AttemptRow.key)).all()
    assert {key.partition("/")[0] for key in kept} == {"pairing"}


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("10.0.0.1", "10.0.0.2", False),
        ("::ffff:10.0.0.1", "10.0.0.1", True),
        ("fe80::1%eth0", "fe80::2", True),
        ("2001:db8:0:1::1", "2001:db8:0:1:ffff::9", True),
        ("2001:db8:0:1::1", "2001:db8:0:2::1", False),
        ("unknown", "unknown", True),
    ],
)
def test_an_ipv6_subscriber_counts_once(one: str, other: str, same: bool) -> None:
    # RFC 6177 section 2: an end site is given at least a /64, so one client owns all of it.
    assert (address_group(one) == address_group(other)) is same


def test_asking_to_be_paired_is_limited_per_address(make_server: Callable[..., Server]) -> None:
    server = make_server("lan")
    phone = server.client()
    for number in range(rate_limits.PAIRING.each):
        answer = phone.post("/api/v1/pairing", json=wish(phone_id(f"phone {number}")))
        assert answer.status_code == 200
    answer = phone.post("/api/v1/pairing", json=wish(phone_id("one more")))
    assert answer.status_code == 429
    assert int(answer.headers["retry-after"]) > 0


def test_on_this_machine_nothing_is_guessed_and_so_nothing_is_counted(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    for number in range(rate_limits.PAIRING.each + 2):
        phone = server.client("127.0.0.1")
        answer = phone.post("/api/v1/pairing", json=wish(phone_id(f"phone {number}")))
        assert answer.json() == {"state": "approved"}


def test_guessing_a_poll_secret_is_limited_and_polling_with_the_right_one_is_not(
    server: Server,
) -> None:
    honest, guesser = server.client("10.0.0.1"), server.client("10.0.0.2")
    asked = honest.post("/api/v1/pairing", json=wish()).json()
    for number in range(rate_limits.POLL_MISS.each):
        answer = guesser.post("/api/v1/pairing/poll", json={"secret": f"guess{number}"})
        assert answer.json() == {"state": "expired"}
    assert guesser.post("/api/v1/pairing/poll", json={"secret": "x"}).status_code == 429
    for _ in range(rate_limits.POLL_MISS.each + 5):
        answer = honest.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
        assert answer.json() == {"state": "waiting"}


def test_the_arithmetic_of_guessing() -> None:
    """What the README claims, computed from the limits that are in force."""
    # A pairing code: five tries of an owner, then every request is closed.
    assert rate_limits.CODE_MISS.each * WAITING / 2**40 < 1e-8
    # A secret of 256 bits: even if every request of a fast server were a guess.
    guesses = 10_000 * LIFE_MS / 1000
    assert guesses * WAITING / 2**256 < 1e-60
    # A passphrase, from one address or one /64, for a whole day.
    elapsed_ms, misses = 0, 0
    while elapsed_ms < PASSPHRASE.window_ms:
        misses += 1
        elapsed_ms += PASSPHRASE.after_ms(misses)
    assert misses <= 110


def test_a_server_made_anew_on_the_same_database_keeps_counting(server: Server) -> None:
    phone = server.client()
    for number in range(rate_limits.PAIRING.each):
        phone.post("/api/v1/pairing", json=wish(phone_id(f"phone {number}")))
    again = Access(server.engine, "lan", clock=server.clock)
    with pytest.raises(ApiError):
        again.limits.count(rate_limits.PAIRING, "192.168.1.20")
