"""Guessing costs more attempts than anybody is allowed, and a restart gives none back."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bradawl.access import limits
from bradawl.access.access import Access
from bradawl.access.limits import Limit, Limits, address_group
from bradawl.errors import ApiError
from tests.access.conftest import Server

THREE = Limit("three", each=3, all=5, window_ms=60_000)


def test_one_address_is_stopped_and_another_is_not(server: Server) -> None:
    counted = server.access.limits
    for _ in range(3):
        counted.count(THREE, "10.0.0.1")
    with pytest.raises(ApiError) as stopped:
        counted.count(THREE, "10.0.0.1")
    assert stopped.value.status == 429
    assert stopped.value.headers["Retry-After"] == "60"
    counted.count(THREE, "10.0.0.2")


def test_many_addresses_together_are_stopped_too(server: Server) -> None:
    for last in range(5):
        server.access.limits.count(THREE, f"10.0.0.{last}")
    with pytest.raises(ApiError):
        server.access.limits.count(THREE, "10.0.0.99")


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
    longer = Limit("three-more", each=1, all=1, window_ms=60_000)
    server.access.limits.count(longer, "10.0.0.1")
    assert server.access.limits.used(THREE) == 0


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
    for number in range(limits.PAIRING.each):
        wish = {"device": f"{number:032x}", "name": "x"}
        assert phone.post("/api/v1/pairing", json=wish).status_code == 200
    answer = phone.post("/api/v1/pairing", json={"device": "ef" * 16, "name": "x"})
    assert answer.status_code == 429
    assert int(answer.headers["retry-after"]) > 0


def test_on_this_machine_nothing_is_guessed_and_so_nothing_is_counted(
    make_server: Callable[..., Server],
) -> None:
    server = make_server("local")
    for number in range(limits.PAIRING.each + 2):
        wish = {"device": f"{number:032x}", "name": "x"}
        phone = server.client("127.0.0.1")
        assert phone.post("/api/v1/pairing", json=wish).json() == {"state": "approved"}


def test_guessing_a_poll_secret_is_limited_and_polling_with_the_right_one_is_not(
    server: Server,
) -> None:
    honest, guesser = server.client("10.0.0.1"), server.client("10.0.0.2")
    asked = honest.post("/api/v1/pairing", json={"device": "ab" * 16, "name": "x"}).json()
    for number in range(limits.POLL_MISS.each):
        answer = guesser.post("/api/v1/pairing/poll", json={"secret": f"guess{number}"})
        assert answer.json() == {"state": "expired"}
    assert guesser.post("/api/v1/pairing/poll", json={"secret": "x"}).status_code == 429
    for _ in range(limits.POLL_MISS.each + 5):
        answer = honest.post("/api/v1/pairing/poll", json={"secret": asked["secret"]})
        assert answer.json() == {"state": "waiting"}


def test_the_arithmetic_of_guessing() -> None:
    """What the README claims, computed from the limits that are in force."""
    window_s = limits.POLL_MISS.window_ms / 1000
    secret_guesses = limits.POLL_MISS.all * 300 / window_s  # in the five minutes of a request
    assert secret_guesses <= 100
    assert secret_guesses * 20 / 2**256 < 1e-70  # with twenty phones waiting
    assert limits.CODE_MISS.all * 20 / 2**40 < 1e-10


def test_a_server_made_anew_on_the_same_database_keeps_counting(server: Server) -> None:
    phone = server.client()
    for number in range(limits.PAIRING.each):
        phone.post("/api/v1/pairing", json={"device": f"{number:032x}", "name": "x"})
    again = Access(server.engine, "lan", clock=server.clock)
    with pytest.raises(ApiError):
        again.limits.count(limits.PAIRING, "192.168.1.20")
