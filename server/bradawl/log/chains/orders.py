"""What the shop ordered: corrected clocks, fences and erasures, read from its own chains."""

from __future__ import annotations

from threading import Lock
from typing import TYPE_CHECKING

from sqlalchemy import Connection, select

from bradawl.judge import obeyed, orders
from bradawl.log.chains import scopes
from bradawl.log.format import events
from bradawl.log.format.tables import DEVICES, SCOPES

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event, Orders

CLOCK = "clock/"
NOTHING: Orders = {"clock": {}, "fence": {}, "erase": []}


class Controls:
    """The shop's orders, read anew only when the shop has recorded something."""

    def __init__(self) -> None:
        self._read: tuple[tuple[int, str], Orders] = ((0, ""), NOTHING)
        self._lock = Lock()

    def orders(self, connection: Connection) -> Orders:
        """As `judge.orders` gives them. Raises ApiError "damaged"."""
        row = connection.execute(
            select(SCOPES.c.events, SCOPES.c.last_at).where(SCOPES.c.scope == events.SHOP)
        ).first()
        if row is None:
            return NOTHING
        state = (row.events, row.last_at)
        with self._lock:
            read_at, ordered = self._read
        if read_at != state:
            ordered = orders(scopes.events_in(connection, events.SHOP), own_devices(connection))
            with self._lock:
                self._read = (state, ordered)
        return ordered

    def events_in(self, connection: Connection, scope: str) -> list[Event]:
        """A scope's events with `rank` and `fenced` where the shop ordered so."""
        return obeyed(scopes.events_in(connection, scope), self.orders(connection))


def own_devices(connection: Connection) -> list[str]:
    """Ids of the chains that this server writes as the shop, in order."""
    rows = connection.execute(
        select(DEVICES.c.device).where(DEVICES.c.kind == "shop").order_by(DEVICES.c.device)
    )
    return [row.device for row in rows]


def clock_order(
    device: str, from_seq: int, to_seq: int, received_ms: int
) -> tuple[str, str, dict[str, int]]:
    """(scope, path, value): events that were stamped far ahead rank by when they came."""
    return (
        events.SHOP,
        f"{CLOCK}{device}/{from_seq}",
        {"to_seq": to_seq, "received_ms": received_ms},
    )
