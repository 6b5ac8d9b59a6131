"""Where a request comes from."""

from __future__ import annotations

import ipaddress
from functools import lru_cache

from fastapi import Request

FORWARDING_HEADERS = (
    "forwarded",
    "via",
    "x-forwarded-for",
    "x-forwarded-host",
    "x-forwarded-proto",
    "x-real-ip",
)


def address_of(request: Request) -> str:
    """The client's address, or `unknown`; IPv4 plainly, even through an IPv6 socket."""
    host = request.client.host if request.client else "unknown"
    try:
        parsed = ipaddress.ip_address(host)
    except ValueError:
        return host
    mapped = parsed.ipv4_mapped if isinstance(parsed, ipaddress.IPv6Address) else None
    return str(mapped or parsed)


@lru_cache(maxsize=4_096)
def address_group(address: str) -> str:
    """What counts as one stranger: an IPv4 address, or the /64 of an IPv6 address."""
    try:
        parsed = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(parsed, ipaddress.IPv6Address):
        if parsed.ipv4_mapped is not None:
            return str(parsed.ipv4_mapped)
        return str(ipaddress.ip_network((parsed, 64), strict=False))
    return str(parsed)


def stranger_of(request: Request) -> str:
    """As what somebody is counted of whom nothing but the address is known."""
    return address_group(address_of(request))


_BROWSERS = (
    ("Edg", "Edge"),
    ("Firefox/", "Firefox"),
    ("FxiOS/", "Firefox"),
    ("CriOS/", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
)
_SYSTEMS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("CrOS", "ChromeOS"),
    ("Mac OS X", "Mac"),  # a browser says so: not shown
    ("Linux", "Linux"),
)


def browser_of(request: Request) -> str:
    """What a browser calls itself, such as `Firefox, Windows`; "" for what is none.

    To recognise a sign-in, not a person.
    """
    agent = request.headers.get("user-agent", "")
    browser = next((name for part, name in _BROWSERS if part in agent), "")
    system = next((name for part, name in _SYSTEMS if part in agent), "")
    return ", ".join(name for name in (browser, system) if name)


def is_loopback(request: Request) -> bool:
    """Whether the request was made on this machine by nothing that forwards for others."""
    if any(name in request.headers for name in FORWARDING_HEADERS):
        return False
    try:
        parsed = ipaddress.ip_address(address_of(request))
    except ValueError:
        return False
    return parsed.is_loopback
