"""Who is let in and who gives way, without a network: the clock is the test's."""

from __future__ import annotations

import asyncio
import logging
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.listening.admission import Admission
from bradawl.listening.connections import Connection, Phase
from bradawl.listening.limits import Limits

LIMITS = Limits(open_in_all=40, open_per_network=20, free_per_address=4)


class Clock(asyncio.SelectorEventLoop):
    """A loop that is never run; its time is set."""

    now = 1_000.0

    def time(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Iterator[Clock]:
    loop = Clock()
    yield loop
    loop.close()


class Visitors:
    """Connections let in, and those of them that it cut."""

    def __init__(self, admission: Admission, clock: Clock) -> None:
        self.admission = admission
        self.clock = clock
        self.cut: list[Connection] = []

    def come(self, address: str, phase: Phase = Phase.HALF_OPEN) -> Connection | None:
        self.clock.now += 0.001
        connection = self.admission.admit(address)
        if connection is not None:
            one = connection
            connection.cut = lambda: self.cut.append(one)
            connection.enter(phase, self.clock.now)
        return connection


@pytest.fixture
def visitors(clock: Clock) -> Visitors:
    return Visitors(Admission(LIMITS, clock), clock)


def test_a_flood_of_one_address_leaves_room_for_every_other(visitors: Visitors) -> None:
    for _ in range(500):
        assert visitors.come("192.0.2.1") is not None
    assert len(visitors.admission) == LIMITS.open_per_network
    for number in range(20):
        assert visitors.come(f"198.51.100.{number}") is not None
    assert {one.address for one in visitors.cut} == {"192.0.2.1"}


def test_the_oldest_half_open_one_of_the_greedy_address_gives_way(visitors: Visitors) -> None:
    first = [visitors.come("192.0.2.1") for _ in range(20)]
    visitors.come("192.0.2.1")
    assert visitors.cut == first[:1]


def test_where_all_room_is_taken_the_greediest_address_gives_way(visitors: Visitors) -> None:
    honest = visitors.come("198.51.100.1")
    for number in range(39):
        visitors.come(f"192.0.2.{number % 3}")
    assert len(visitors.admission) == LIMITS.open_in_all
    visitors.come("198.51.100.2")
    assert len(visitors.admission) == LIMITS.open_in_all
    assert [one.address[:5] for one in visitors.cut] == ["192.0"]
    assert honest not in visitors.cut


def test_many_addresses_with_few_each_lose_their_oldest(visitors: Visitors) -> None:
    """Nobody is greedy then: whoever has waited longest for its own head goes."""
    first = visitors.come("192.0.2.0")
    for number in range(1, 40):
        visitors.come(f"192.0.2.{number}")
    phone = [visitors.come("198.51.100.1") for _ in range(4)]
    assert visitors.cut[0] is first
    assert not set(phone) & set(visitors.cut)


@pytest.mark.parametrize("phase", [Phase.RECEIVING, Phase.WORKING])
def test_what_is_half_open_or_idle_gives_way_before_a_request(
    visitors: Visitors, phase: Phase
) -> None:
    served = [visitors.come("192.0.2.1", phase) for _ in range(18)]
    idle = visitors.come("192.0.2.1", Phase.IDLE)
    half = visitors.come("192.0.2.1")
    visitors.come("192.0.2.1", Phase.WORKING)
    visitors.come("192.0.2.1", Phase.WORKING)
    assert visitors.cut == [half, idle]
    assert visitors.come("192.0.2.1") is None
    assert not set(served) & set(visitors.cut)


def test_a_request_that_is_worked_on_is_never_cut(visitors: Visitors) -> None:
    for number in range(40):
        assert visitors.come(f"192.0.2.{number % 2}", Phase.WORKING) is not None
    assert visitors.come("198.51.100.1") is None
    assert not visitors.admission.make_room()
    assert visitors.cut == []


def test_bodies_of_a_few_greedy_addresses_do_not_shut_out_the_rest(visitors: Visitors) -> None:
    for number in range(40):
        one = visitors.come(f"192.0.2.{number % 4}", Phase.RECEIVING)
        assert one is not None
        one.received(1_000_000)
    assert visitors.come("198.51.100.1") is not None
    assert len(visitors.cut) == 1


def test_a_body_that_crawls_gives_way_where_nobody_is_greedy(visitors: Visitors) -> None:
    crowd = [visitors.come(f"192.0.2.{number}", Phase.RECEIVING) for number in range(40)]
    visitors.clock.now += 10
    for number, one in enumerate(crowd):
        assert one is not None
        one.received(10 if number == 7 else 1_000_000)
    assert visitors.come("198.51.100.1", Phase.WORKING) is not None
    assert visitors.cut == [crowd[7]]
    assert visitors.come("198.51.100.2") is None


def test_one_host_of_an_ipv6_network_does_not_push_out_its_neighbours(visitors: Visitors) -> None:
    phone = [visitors.come("2001:db8::1") for _ in range(4)]
    for _ in range(50):
        visitors.come("2001:db8::bad")
    assert not set(phone) & set(visitors.cut)
    assert len(visitors.admission) == LIMITS.open_per_network


def test_a_door_behind_a_proxy_counts_all_together(clock: Clock) -> None:
    visitors = Visitors(Admission(replace(LIMITS, open_per_network=None), clock), clock)
    for _ in range(40):
        assert visitors.come("127.0.0.1", Phase.WORKING) is not None
    assert visitors.cut == []


ADDRESSES = st.sampled_from(
    [f"192.0.2.{n}" for n in range(6)] + [f"2001:db8::{n}" for n in range(6)] + ["::ffff:192.0.2.1"]
)
STEPS = st.lists(st.tuples(ADDRESSES, st.sampled_from(Phase), st.integers(0, 30)), max_size=150)


@settings(max_examples=60)
@given(STEPS)
def test_whatever_comes_the_caps_hold_and_work_goes_on(
    steps: list[tuple[str, Phase, int]],
) -> None:
    clock = Clock()
    try:
        visitors = Visitors(Admission(LIMITS, clock), clock)
        inside: list[Connection] = []
        for address, phase, passes_s in steps:
            clock.now += passes_s
            came = visitors.come(address, phase)
            inside = [one for one in inside if one not in visitors.cut]
            if came is not None:
                inside.append(came)
            per_network = Counter(one.network for one in inside)
            assert len(visitors.admission) == len(inside) <= LIMITS.open_in_all
            assert LIMITS.open_per_network is not None
            assert max(per_network.values(), default=0) <= LIMITS.open_per_network
        assert all(one._phase is not Phase.WORKING for one in visitors.cut)
    finally:
        clock.close()


# What is said


def test_a_flood_is_one_line_a_minute_that_names_where_it_came_from(
    visitors: Visitors, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO):
        for second in range(180):
            for number in range(50):
                visitors.come("192.0.2.66" if number else f"192.0.2.{second}")
            visitors.clock.now += 1
            visitors.admission._look()
    assert 3 <= len(caplog.records) <= 4
    assert all("192.0.2.66" in record.getMessage() for record in caplog.records)
    assert "for want of room" in caplog.text


def test_what_is_counted_for_the_log_has_an_end(
    visitors: Visitors, caplog: pytest.LogCaptureFixture
) -> None:
    for number in range(5_000):
        visitors.come(f"10.0.{number // 256}.{number % 256}")
    assert len(visitors.admission._closings._networks) <= 1_001
    visitors.admission.close()
    assert "other addresses" in caplog.text
