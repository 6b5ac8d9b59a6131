"""What this machine is called and where it is reached: private names and addresses only."""

from __future__ import annotations

import ipaddress
import re
import socket
from dataclasses import dataclass

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network

#: Domains that no public authority may vouch for, because they are nobody's: RFC 6762 section 3
#: (multicast DNS), RFC 8375 section 3 (home networks), and .internal, which ICANN's board set
#: aside for private use on 29 July 2024 (resolution 2024.07.29.06, from memory).
PRIVATE_DOMAINS = ("local", "home.arpa", "internal")
#: RFC 1918 section 3; RFC 3927 (link-local); RFC 4193 section 3.1; RFC 4291 sections 2.5.6
#: (link-local) and 2.5.3 (loopback); RFC 1122 section 3.2.1.3 (loopback). Not the shared space of
#: RFC 6598: what a phone finds there may be its provider's.
PRIVATE_NETWORKS: tuple[Network, ...] = tuple(
    ipaddress.ip_network(network)
    for network in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "169.254.0.0/16",
        "127.0.0.0/8",
        "fc00::/7",
        "fe80::/10",
        "::1/128",
    )
)
_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")


@dataclass(frozen=True)
class Place:
    """Names and private addresses of a machine, in the order of preference."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]


def is_private_name(name: str) -> bool:
    """Whether a name lies below one of `PRIVATE_DOMAINS`; a bare name never does."""
    return any(
        name.endswith(f".{domain}")
        and all(_LABEL.fullmatch(label) for label in name.removesuffix(f".{domain}").split("."))
        for domain in PRIVATE_DOMAINS
    )


def is_private(address: Address) -> bool:
    """Whether an address means something in its own network alone."""
    return any(address in network for network in PRIVATE_NETWORKS)


def this_machine() -> Place:
    """The names and private addresses under which this machine can be reached now."""
    host = socket.gethostname().split(".")[0].lower()
    names: tuple[str, ...] = ()
    # RFC 6761 section 6.3: what is called localhost is every machine's own.
    if _LABEL.fullmatch(host) and host != "localhost":
        names = tuple(f"{host}.{domain}" for domain in PRIVATE_DOMAINS)
    addresses: dict[Address, None] = {}
    for target in ("192.0.2.1", "10.254.254.254", "172.30.254.254", "192.168.254.254"):
        _note_source(addresses, socket.AF_INET, target)
    for target in ("2001:db8::1", "fd00::1"):
        _note_source(addresses, socket.AF_INET6, target)
    try:
        for entry in socket.getaddrinfo(socket.gethostname(), None):
            addresses[ipaddress.ip_address(str(entry[4][0]).partition("%")[0])] = None
    except OSError:
        pass  # a machine that cannot look up its own name is reached by address
    addresses[ipaddress.ip_address("127.0.0.1")] = None
    addresses[ipaddress.ip_address("::1")] = None
    usable = [
        address for address in addresses if is_private(address) and not address.is_unspecified
    ]
    return Place(names, tuple(sorted(usable, key=_preference)))


def _note_source(addresses: dict[Address, None], family: socket.AddressFamily, target: str) -> None:
    # Connecting a datagram socket sends nothing; it asks which own address would be used.
    with socket.socket(family, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((target, 9))
            addresses[ipaddress.ip_address(probe.getsockname()[0].partition("%")[0])] = None
        except OSError:
            return


def _preference(address: Address) -> tuple[bool, bool, bool, int]:
    return (address.is_loopback, address.version == 6, address.is_link_local, int(address))
