"""What access needs to know of a request: where it comes from, and its small form."""

from __future__ import annotations

import ipaddress
from urllib.parse import parse_qsl

from fastapi import Request

from bradawl.errors import ApiError

FORWARDING_HEADERS = ("forwarded", "x-forwarded-for", "x-real-ip")
FORM_FIELDS = 50


def address_of(request: Request) -> str:
    """The client's address, or `unknown`."""
    return request.client.host if request.client else "unknown"


def is_loopback(request: Request) -> bool:
    """Whether the request was made on this machine by nothing that forwards for others."""
    if any(name in request.headers for name in FORWARDING_HEADERS):
        return False
    try:
        parsed = ipaddress.ip_address(address_of(request))
    except ValueError:
        return False
    mapped = parsed.ipv4_mapped if isinstance(parsed, ipaddress.IPv6Address) else None
    return (mapped or parsed).is_loopback


async def form_of(request: Request) -> dict[str, str]:
    """The fields of a small URL-encoded form; the last of equal names counts."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/x-www-form-urlencoded":
        raise ApiError(
            "form", "This address takes a form (application/x-www-form-urlencoded).", 415
        )
    body = await request.body()
    try:
        pairs = parse_qsl(
            body.decode("utf-8"),
            keep_blank_values=True,
            max_num_fields=FORM_FIELDS,
            errors="strict",
        )
    except ValueError as wrong:
        raise ApiError("form", "The form could not be read; send it again.", 400) from wrong
    return {name: value.strip() for name, value in pairs}
