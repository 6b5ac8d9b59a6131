"""Chains of entries as an owner reads of them: what waits, what is fenced, whose clock was wrong.

A fence is a shop order: what it names is kept, shown as fenced, and passed over wherever the
record is put together.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from bradawl.common.errors import ApiError
from bradawl.desk.model import recorded
from bradawl.desk.model.labels import car_name, label
from bradawl.desk.model.log import Chain, DeskLog
from bradawl.desk.model.photo_views import NameOf
from bradawl.inspection.snapshot import Snapshot, UnknownVisit
from bradawl.language import catalogue, message, text

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event

SHOP = "shop"
#: Why an owner excluded entries, where nobody said more.
BY_OWNER = "set aside by the owner"  # stored: not shown
_DEVICE = re.compile(r"[0-9a-f]{32}", re.ASCII).fullmatch


def any_orders(orders: Mapping[str, Any]) -> bool:
    """Whether a fence stands or a clock was corrected, so that there is something to look at."""
    return bool(orders["fence"] or orders["clock"])


def chain_of(log: DeskLog, device: str) -> Chain:
    """A chain that there is. Raises ApiError 404."""
    for chain in log.chains():
        if chain.device == device:
            return chain
    raise ApiError("unknown_chain", message("desk-chains-unknown"), 404)


class Names:
    """What devices and inspections are called, each looked up once for a page."""

    def __init__(self, name_of: NameOf, snapshot_of: Callable[[str], Snapshot]) -> None:
        #: A phone's name, or its number.
        self.device = name_of
        self._snapshot_of = snapshot_of
        self._snapshots: dict[str, Snapshot | None] = {}

    def snapshot(self, scope: str) -> Snapshot | None:
        """The inspection of a scope, where it is one that can be shown."""
        visit = scope.removeprefix("inspection/")
        if visit == scope:
            return None
        if visit not in self._snapshots:
            try:
                self._snapshots[visit] = self._snapshot_of(visit)
            except UnknownVisit:
                self._snapshots[visit] = None
        return self._snapshots[visit]

    def scope(self, scope: str) -> dict[str, str]:
        """{"visit", "text"}: an inspection by its car; other scopes in words."""
        snapshot = self.snapshot(scope)
        if snapshot is not None:
            return {"visit": snapshot.visit, "text": car_name(snapshot.cells)}
        if scope == SHOP:
            return {"visit": "", "text": text("desk-chains-the-shop")}
        kind = scope.partition("/")[0]
        return {"visit": "", "text": text("desk-chains-a-car") if kind == "car" else kind}


def reason_text(marked: str) -> str:
    """Why somebody has to look at a chain; "" once it was confirmed."""
    name = "desk-chain-reason-" + marked.replace("_", "-")
    return text(name if catalogue.has(name) else "desk-chain-reason-unknown") if marked else ""


def chain_view(log: DeskLog, chain: Chain, names: Names) -> dict[str, Any]:
    """A chain as the owner reads of it."""
    return {
        "device": chain.device,
        "name": names.device(chain.device),
        "after": names.device(chain.continues) if chain.continues else "",
        "reason": reason_text(chain.marked),
        "marked": bool(chain.marked),
        "held": chain.held,
        "received": f"{chain.received_ms:015d}",
        "touches": [names.scope(scope) for scope in log.scopes_of(chain.device)],
        "fence": fence_of(log.orders(), chain.device, 1),
    }


def fence_of(orders: Mapping[str, Any], device: str, seq: int) -> int | None:
    """From which entry on the fence reaches that an entry lies behind; None outside of any."""
    for first, last, _ in orders["fence"].get(device, ()):
        if first <= seq and (last is None or seq <= last):
            return int(first)
    return None


def fences_of(log: DeskLog, names: Names) -> list[dict[str, Any]]:
    """Every fence that stands."""
    return [
        {
            "device": device,
            "name": names.device(device),
            "first": first,
            "last": last,
            "why": text("desk-chains-excluded-by-owner") if why == BY_OWNER else why,
        }
        for device, rows in sorted(log.orders()["fence"].items())
        for first, last, why in rows
        if _DEVICE(device)
    ]


def clocks_of(log: DeskLog, names: Names) -> list[dict[str, Any]]:
    """Every run of entries whose clock lay far ahead, with how far."""
    rows = []
    for device, runs in sorted(log.orders()["clock"].items()):
        for first, last, received_ms in runs:
            events = log.events_by(device, first, 1)
            stamped_ms = int(events[0]["at"][:15]) if events else received_ms
            rows.append(
                {
                    "device": device,
                    "name": names.device(device),
                    "first": first,
                    "last": last,
                    "ahead_ms": stamped_ms - received_ms,
                    "received": f"{received_ms:015d}",
                }
            )
    return rows


def entry_view(log: DeskLog, event: Event, names: Names) -> dict[str, Any]:
    """One entry of a chain in words."""
    snapshot = names.snapshot(event["scope"])
    bundle: Mapping[str, Any] = snapshot.texts if snapshot is not None else {}
    return {
        "seq": event["seq"],
        "device": event["device"],
        "at": recorded.rank_of(event),
        "scope": names.scope(event["scope"]),
        "label": label(event["put"], bundle),
        "text": recorded.event_text(event, snapshot),
        "fence": fence_of(log.orders(), event["device"], event["seq"]),
    }
