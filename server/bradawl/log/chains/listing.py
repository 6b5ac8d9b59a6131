"""Chains as the owner looks through them: whose they are, why they wait, what is in each."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, select

from bradawl.language import text
from bradawl.log.chains.scopes import INSPECTION
from bradawl.log.chains.stored import REASONS
from bradawl.log.format import events
from bradawl.log.format.tables import BATCH_SCOPES, BATCHES, DEVICES

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event


@dataclass(frozen=True)
class ListedChain:
    """One device's chain as the owner sees it.

    `marked` is a key of `chains.REASONS`, `reason` its words; both are empty once confirmed.
    """

    device: str
    kind: str
    held: int
    received_ms: int
    continues: str
    marked: str

    @property
    def reason(self) -> str:
        known = self.marked if self.marked in REASONS else "unknown"
        return text("server-chain-" + known.replace("_", "-")) if self.marked else ""


def chains(connection: Connection) -> list[ListedChain]:
    """Every chain, those that wait for the owner first, the last to arrive on top."""
    rows = connection.execute(select(DEVICES).order_by(DEVICES.c.device)).all()
    listed = [
        ListedChain(r.device, r.kind, r.held, r.received_ms, r.continues, r.marked) for r in rows
    ]
    return sorted(listed, key=lambda chain: (chain.marked == "", -chain.received_ms))


def marked(connection: Connection) -> dict[str, str]:
    """Device and reason of every chain that waits for the owner."""
    rows = connection.execute(
        select(DEVICES.c.device, DEVICES.c.marked).where(DEVICES.c.marked != "")
    )
    return {row.device: row.marked for row in rows}


def stands_for(connection: Connection, device: str) -> str:
    """Who is behind a chain: the writer at the desk, or the device that it goes on from."""
    rows = connection.execute(
        select(DEVICES.c.device, DEVICES.c.stands_for, DEVICES.c.continues, DEVICES.c.marked)
    ).all()
    # whoever is marked may say anything of itself
    origins = {row.device: row.stands_for or row.continues for row in rows if not row.marked}
    seen = set()
    while origins.get(device) and device not in seen:
        seen.add(device)
        device = origins[device]
    return device


def events_by(connection: Connection, device: str, first: int, count: int) -> list[Event]:
    """A device's events `first` to `first + count - 1`, as `events.plain` gives them.

    Damaged ones are passed over. Raises ApiError "damaged".
    """
    rows = connection.execute(
        select(BATCHES)
        .where(
            BATCHES.c.device == device,
            BATCHES.c.to_seq >= first,
            BATCHES.c.from_seq < first + count,
            BATCHES.c.damaged.is_(False),
        )
        .order_by(BATCHES.c.from_seq)
    )
    listed = []
    for row in rows:
        written = events.unpack(row.body)
        full = events.chain(row.device, row.from_seq, row.prev, written)
        listed += [
            events.plain(event, stored)
            for event, stored in zip(full, written, strict=True)
            if first <= event.seq < first + count
        ]
    return listed


def scopes_of(connection: Connection, device: str) -> list[str]:
    """The scopes that a device has written to, in order."""
    rows = connection.execute(
        select(BATCH_SCOPES.c.scope)
        .where(BATCH_SCOPES.c.device == device)
        .distinct()
        .order_by(BATCH_SCOPES.c.scope)
    )
    return [row.scope for row in rows]


def ordered(connection: Connection, orders: Mapping[str, Any]) -> dict[str, str]:
    """Per inspection a text that changes with the shop's orders about whoever wrote to it."""
    by_device: dict[str, list[Any]] = {}
    for kind in ("clock", "fence"):
        for device, rows in orders[kind].items():
            by_device.setdefault(device, []).append([kind, rows])
    for order in orders["erase"]:
        by_device.setdefault(order["device"], []).append(["erase", order["seq"]])
    if not by_device:
        return {}
    rows = connection.execute(
        select(BATCH_SCOPES.c.scope, BATCH_SCOPES.c.device)
        .where(BATCH_SCOPES.c.device.in_(list(by_device)))
        .distinct()
        .order_by(BATCH_SCOPES.c.scope, BATCH_SCOPES.c.device)
    )
    names: dict[str, Any] = {}
    for row in rows:
        orders_text = json.dumps([row.device, by_device[row.device]]).encode()
        names.setdefault(row.scope, hashlib.sha256()).update(orders_text)
    return {
        scope.removeprefix(INSPECTION): name.hexdigest()[:16]
        for scope, name in names.items()
        if scope.startswith(INSPECTION)
    }
