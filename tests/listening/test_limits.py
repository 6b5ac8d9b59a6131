"""How many connections a process holds, by its limit of open files."""

from __future__ import annotations

import ipaddress
import resource
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.listening.connections import placed
from bradawl.listening.limits import MOST_OPEN, RESERVED_FILES, for_files


@given(st.integers(64, 2_000_000))
def test_connections_leave_the_server_its_own_files(files: int) -> None:
    limits = for_files(files)
    assert 16 <= limits.open_in_all <= MOST_OPEN
    assert limits.open_in_all == 16 or files - limits.open_in_all >= RESERVED_FILES
    assert limits.open_per_network is not None
    assert limits.free_per_address <= limits.open_per_network <= limits.open_in_all


def test_the_figures_at_the_usual_limit() -> None:
    limits = for_files(1_024)
    assert (limits.open_in_all, limits.open_per_network) == (512, 64)


def test_a_proxy_is_not_one_address_with_too_many_connections() -> None:
    assert for_files(1_024, behind_proxy=True).open_per_network is None


@pytest.mark.parametrize(
    ("soft", "hard", "in_all"), [(256, 1_024, 512), (256, 256, 32), (1_024, 1_024, 512)]
)
def test_a_low_limit_that_may_be_raised_is_raised(soft: int, hard: int, in_all: int) -> None:
    script = (
        "from bradawl.listening import limits; import resource; "
        "print(limits.for_this_process().open_in_all, "
        "resource.getrlimit(resource.RLIMIT_NOFILE)[0])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard)),
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == [str(in_all), str(hard)]


# What an address is counted with


@given(st.ip_addresses(v=6), st.integers(0, 2**64 - 1))
def test_a_whole_64_counts_as_one(address: ipaddress.IPv6Address, rest: int) -> None:
    """RFC 4291 section 2.5.4: 64 bits name an interface within its network."""
    neighbour = ipaddress.IPv6Address((int(address) >> 64 << 64) | rest)
    if address.ipv4_mapped is None and neighbour.ipv4_mapped is None:
        assert placed(str(address))[1] == placed(str(neighbour))[1]
        assert placed(str(address))[0] == str(address)


@given(st.ip_addresses(v=4))
def test_ipv4_counts_by_address_even_through_an_ipv6_socket(
    address: ipaddress.IPv4Address,
) -> None:
    """RFC 4291 section 2.5.5.2."""
    assert placed(str(address)) == placed(f"::ffff:{address}") == (str(address), str(address))


def test_link_local_addresses_of_two_interfaces_are_two_networks() -> None:
    """RFC 4007 section 6: a link-local address means nothing without its zone."""
    assert placed("fe80::1%eth0")[1] != placed("fe80::1%wlan0")[1]
    assert placed("fe80::1%eth0")[1] == placed("fe80::2%eth0")[1]
