"""Who may reach Bradawl and do what: pairing, people, roles, links, certificates, audit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.deferred import deferred

if TYPE_CHECKING:
    from bradawl.access.access import DESK_COOKIE, DEVICE_COOKIE, Access
    from bradawl.access.people import Device, Person

__all__ = ["DESK_COOKIE", "DEVICE_COOKIE", "Access", "Device", "Person"]

__getattr__ = deferred(
    __name__,
    {
        "access": ("DESK_COOKIE", "DEVICE_COOKIE", "Access"),
        "people": ("Device", "Person"),
    },
)
