"""Who may reach Bradawl and do what: pairing, people, roles, links, certificates, audit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.common.lazy_imports import deferred

if TYPE_CHECKING:
    from bradawl.access.core.models import Device, Person
    from bradawl.access.web.auth import DESK_COOKIE, DEVICE_COOKIE, Access

__all__ = ["DESK_COOKIE", "DEVICE_COOKIE", "Access", "Device", "Person"]

__getattr__ = deferred(
    __name__,
    {
        "web.auth": ("DESK_COOKIE", "DEVICE_COOKIE", "Access"),
        "core.models": ("Device", "Person"),
    },
)
